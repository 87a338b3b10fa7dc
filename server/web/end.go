package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"fairday/domain/shoot"
	"fairday/server/access"
	"fairday/server/house"
	"fairday/sync/desk"
)

// The end of a shoot. Archived, it is kept whole and out of everybody's way: phones are
// signed out and links do not work until an owner brings it back. Deleted, it is gone.

// keeper is who may do that: an owner, or a producer of the shoot.
type keeper struct {
	me    owner // empty for a producer
	shoot string
	state *shoot.State
}

func (k keeper) owner() bool { return k.me.ID != "" }

// keeper finds who a request about a shoot as a whole comes from; the error is a
// problem, no_owner for anybody else.
func (a *App) keeper(c echo.Context) (k keeper, err error) {
	k.shoot = c.Param("id")
	if k.me, err = a.owner(c); err != nil {
		v, vErr := a.producer(c)
		if vErr != nil || v.runner.Shoot != k.shoot {
			return k, err
		}
	}
	k.state, err = a.stateOf(c.Request().Context(), k.shoot)
	return k, err
}

// Archive puts a shoot away, or brings it back. A shoot that is away lets nobody in;
// bringing it back needs new links.
func (a *App) Archive(id string, away bool) error {
	err := a.Store.ChangeShelved(id, func(row *house.Shelved) error {
		if away && row.Archived == 0 {
			row.Archived = a.now()
		} else if !away {
			row.Archived = 0
		}
		return nil
	})
	if err != nil || !away {
		return err
	}
	return a.shut(id)
}

// shut voids the links of a shoot and signs all its phones out. It does so twice, for
// who came in between.
func (a *App) shut(id string) error {
	for range 2 {
		links, err := a.Store.Links(id)
		if err != nil {
			return err
		}
		for h, l := range links {
			if l.Usable(a.now()) != nil {
				continue
			}
			if err := a.Store.CancelLink(h); err != nil {
				return err
			}
		}
		sessions, err := a.Store.Sessions(id, a.now())
		if err != nil {
			return err
		}
		var all []access.Hash
		for h := range sessions {
			all = append(all, h)
		}
		if err := a.signOut(all...); err != nil {
			return err
		}
	}
	return nil
}

// Delete deletes a shoot for good.
func (a *App) Delete(ctx context.Context, id string) error {
	if err := a.shut(id); err != nil {
		return err
	}
	var people []shoot.PersonID
	err := a.Shoots.Look(ctx, id, func(s *shoot.State) error {
		for p := range s.Floor.People {
			people = append(people, p)
		}
		return nil
	})
	if err != nil { // one that cannot be read any more goes all the same
		a.Log.Warn("a shoot that is deleted could not be read", "shoot", id, "cause", err)
	}
	a.Shoots.Drop(id)
	if err := a.Store.Drop(id, people); err != nil {
		return err
	}
	a.known.mu.Lock()
	defer a.known.mu.Unlock()
	delete(a.known.all, id)
	a.Log.Info("a shoot was deleted", "shoot", id)
	return nil
}

// archiveShoot puts a shoot away, or brings it back where "back" says so.
func (a *App) archiveShoot(c echo.Context) error {
	k, err := a.keeper(c)
	if err != nil {
		return err
	}
	away := c.FormValue("back") == ""
	if err := a.Archive(k.shoot, away); err != nil {
		return err
	}
	a.Log.Info("a shoot was put away or brought back", "shoot", k.shoot, "away", away)
	if !k.owner() {
		return page(c, http.StatusOK, "problem.html", problemPage{frame{Title: k.state.Floor.Shoot.Title + " is archived"},
			"It is kept on the server. Everybody is signed out, you as well; an owner can bring it back.", false})
	}
	return c.Redirect(http.StatusSeeOther, "/shoots/"+k.shoot)
}

type deletePage struct {
	frame
	ID, Typed, Say string
	Goes           []string
}

// askDelete says what would go, and asks for the title.
func (a *App) askDelete(c echo.Context) error { return a.drawDelete(c, http.StatusOK, "", "") }

func (a *App) drawDelete(c echo.Context, status int, typed, say string) error {
	k, err := a.keeper(c)
	if err != nil {
		return err
	}
	goes, err := a.goes(k.shoot, k.state)
	if err != nil {
		return err
	}
	return page(c, status, "delete.html", deletePage{frame{Title: "Delete " + k.state.Floor.Shoot.Title + "?", Owner: k.owner()}, k.shoot, typed, say, goes})
}

// WhatGoes says what is deleted with a shoot.
func (a *App) WhatGoes(ctx context.Context, id string) (out []string, err error) {
	lookErr := a.Shoots.Look(ctx, id, func(s *shoot.State) error { out, err = a.goes(id, s); return nil })
	if errors.Is(lookErr, desk.ErrDamaged) {
		return []string{"a log that cannot be read to its end; a backup may be better"}, nil
	}
	return out, errors.Join(lookErr, err)
}

func (a *App) goes(id string, s *shoot.State) ([]string, error) {
	last, err := a.Store.Last(id)
	if err != nil {
		return nil, err
	}
	sessions, err := a.Store.Sessions(id, a.now())
	if err != nil {
		return nil, err
	}
	shots, hours := 0, 0
	for _, shot := range s.Floor.Shots {
		if !shot.Untouched() {
			shots++
		}
	}
	for _, h := range s.Floor.Hours {
		if len(h.Marks) > 0 {
			hours++
		}
	}
	out := []string{count(int(last), "edit", "edits") + ": everything that was planned and everything that happened",
		count(len(s.Floor.People), "person", "people") + ", with phone numbers, what they eat and their terms"}
	if n := len(s.Floor.Shots); n > 0 {
		out = append(out, fmt.Sprintf("%s, %d worked on", count(n, "shot", "shots"), shots))
	}
	if hours > 0 {
		out = append(out, "the hours of "+count(hours, "working day", "working days")+", with their signatures")
	}
	if n := len(sessions); n > 0 {
		out = append(out, "the way in of "+count(n, "phone", "phones")+"; what waits on one and was not sent yet cannot be sent any more")
	}
	return out, nil
}

// deleteShoot deletes a shoot whose title was typed.
func (a *App) deleteShoot(c echo.Context) error {
	k, err := a.keeper(c)
	if err != nil {
		return err
	}
	title := strings.Join(strings.Fields(k.state.Floor.Shoot.Title), " ")
	typed := c.FormValue("title")
	if !strings.EqualFold(strings.Join(strings.Fields(typed), " "), title) {
		return a.drawDelete(c, http.StatusUnprocessableEntity, typed, "Nothing was deleted. Type “"+title+"” to delete it.")
	}
	if err := a.Delete(c.Request().Context(), k.shoot); err != nil {
		return err
	}
	if k.owner() {
		return c.Redirect(http.StatusSeeOther, "/shoots")
	}
	return page(c, http.StatusOK, "problem.html", problemPage{frame{Title: title + " is deleted"}, "Everybody is signed out, you as well.", false})
}

// open refuses what needs a shoot that is not away.
func (a *App) open(id string) error {
	rows, err := a.Store.Shelf()
	if err == nil && rows[id].Archived != 0 {
		err = fail(codeArchived, nil)
	}
	return err
}

// count writes a number of things.
func count(n int, one, more string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, more)
}
