package web

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/labstack/echo/v4"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/server/house"
	"fairday/sync/desk"
)

// Stage is where a shoot stands in time.
type Stage string

// The stages, in the order in which they are listed.
const (
	StageRunning  Stage = "running"
	StageToCome   Stage = "to come"
	StageWrapped  Stage = "wrapped"
	StageArchived Stage = "archived"
)

// Summary is what the list says of a shoot.
type Summary struct {
	ID, Title, Client string
	Days              []shoot.Day
	People            int
	OnClock           bool // somebody is signed in
	Damaged           bool
	Row               house.Shelved
}

// summarise reads a shoot for the list.
func summarise(id string, s *shoot.State) Summary {
	out := Summary{ID: id, Title: s.Floor.Shoot.Title, Client: s.Floor.Shoot.Client, Days: slices.Clone(s.DaysInOrder())}
	for _, p := range s.Floor.People {
		if !p.Revoked {
			out.People++
		}
	}
	for _, h := range s.Floor.Hours {
		if n := len(h.Marks); n > 0 && h.Marks[n-1].Kind != shoot.MarkOut {
			out.OnClock = true
		}
	}
	return out
}

// Stage is where a shoot stands now. It has wrapped when its last date is over where
// it is shot; who is still on the clock then holds it for a day at most, as some
// forget to sign out.
func (s Summary) Stage(now time.Time) Stage {
	if s.Row.Archived != 0 {
		return StageArchived
	}
	if len(s.Days) == 0 {
		return StageToCome
	}
	at := when.FromTime(now)
	first, last := s.Days[0], s.Days[len(s.Days)-1]
	if today, _, err := first.Zone.Local(at); err != nil || today < first.Date {
		return StageToCome
	}
	today, _, err := last.Zone.Local(at)
	if err != nil || today <= last.Date || s.OnClock && today <= last.Date.Add(1) {
		return StageRunning
	}
	return StageWrapped
}

// Dates says when a shoot is.
func (s Summary) Dates() string {
	switch n := len(s.Days); n {
	case 0:
		return "No day yet"
	case 1:
		return s.Days[0].Date.Long()
	default:
		return fmt.Sprintf("%s to %s, %d days", s.Days[0].Date.Long(), s.Days[n-1].Date.Long(), n)
	}
}

// summaries remembers what the list says of shoots, for as long as their logs have not
// grown: a shoot that is over is read once.
type summaries struct {
	mu  sync.Mutex
	all map[string]remembered
}

type remembered struct {
	last uint64 // entry of the log
	Summary
}

// summary gives what the list says of a shoot.
func (a *App) summary(ctx context.Context, id string) (Summary, error) {
	last, err := a.Store.Last(id)
	if err != nil {
		return Summary{}, err
	}
	a.known.mu.Lock()
	was, ok := a.known.all[id]
	a.known.mu.Unlock()
	if ok && was.last == last {
		return was.Summary, nil
	}
	var now Summary
	err = a.Shoots.Look(ctx, id, func(s *shoot.State) error { now = summarise(id, s); return nil })
	if errors.Is(err, desk.ErrDamaged) {
		return Summary{ID: id, Title: "A shoot that cannot be read", Damaged: true}, nil
	}
	if err != nil {
		return Summary{}, err
	}
	a.known.mu.Lock()
	defer a.known.mu.Unlock()
	if a.known.all == nil {
		a.known.all = map[string]remembered{}
	}
	a.known.all[id] = remembered{last, now}
	return now, nil
}

// Every gives all shoots, those of the nearest dates first.
func (a *App) Every(ctx context.Context) ([]Summary, error) {
	ids, err := a.Store.Shoots()
	if err != nil {
		return nil, err
	}
	rows, err := a.Store.Shelf()
	if err != nil {
		return nil, err
	}
	var out []Summary
	for _, id := range ids {
		s, err := a.summary(ctx, id)
		if err != nil {
			return nil, err
		}
		s.Row = rows[id]
		out = append(out, s)
	}
	slices.SortFunc(out, func(x, y Summary) int {
		return cmp.Or(cmp.Compare(x.firstDate(), y.firstDate()), cmp.Compare(x.Title, y.Title), cmp.Compare(x.ID, y.ID))
	})
	return out, nil
}

func (s Summary) firstDate() when.Date {
	if len(s.Days) == 0 {
		return ""
	}
	return s.Days[0].Date
}

// A shoot as the list shows it.
type shelfRow struct {
	ID, Title, Says string
	Damaged         bool
}

type shelfPart struct {
	Stage Stage
	Title string
	Rows  []shelfRow
}

type shelfPage struct {
	frame
	Parts []shelfPart
}

// shelf lists the shoots for an owner.
func (a *App) shelf(c echo.Context) error {
	if _, err := a.owner(c); err != nil {
		return err
	}
	all, err := a.Every(c.Request().Context())
	if err != nil {
		return err
	}
	parts := []shelfPart{{Stage: StageRunning, Title: "Running"}, {Stage: StageToCome, Title: "To come"},
		{Stage: StageWrapped, Title: "Wrapped"}, {Stage: StageArchived, Title: "Archived"}}
	for _, s := range all {
		i := slices.IndexFunc(parts, func(p shelfPart) bool { return p.Stage == s.Stage(a.Now()) })
		parts[i].Rows = append(parts[i].Rows, shelfRow{s.ID, s.Title, s.Says(), s.Damaged})
	}
	for i := range parts[2:] { // what was last is looked for first
		slices.Reverse(parts[2+i].Rows)
	}
	return page(c, http.StatusOK, "shelf.html", shelfPage{frame{Title: "Shoots", Owner: true}, parts})
}

// Says tells the essentials in a line.
func (s Summary) Says() string {
	if s.Damaged {
		return "Its log is damaged. Run “fairday verify” on the server; it says what to do."
	}
	var all []string
	if s.Client != "" {
		all = append(all, "for "+s.Client)
	}
	return strings.Join(append(all, s.Dates(), count(s.People, "person", "people")), " · ")
}
