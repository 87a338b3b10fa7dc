package web

import (
	"encoding/base64"
	"encoding/json"
	"io"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/server/live"
	"fairday/server/store"
)

const (
	cookieName  = "fairday"
	SessionLife = 30 * 24 * time.Hour // since it was last used
	linkLife    = 14 * 24 * time.Hour
	extendEvery = 24 * time.Hour // how often the end of a session moves at most
)

// caller is whose session a request comes with.
type caller struct {
	session store.Hash
	runner  *live.Runner
	person  shoot.PersonID
}

func hasCookie(r *http.Request) bool {
	_, err := r.Cookie(cookieName)
	return err == nil
}

// caller finds whose session a request comes with, and moves the session's end.
// The error is a problem, no_session for nobody.
func (a *App) caller(c echo.Context) (caller, error) {
	cookie, err := c.Request().Cookie(cookieName)
	if err != nil {
		return caller{}, Fail(CodeNoSession, nil)
	}
	who := caller{session: store.HashOf(cookie.Value)}
	s, ok, err := a.Store.Session(who.session, a.now())
	if err != nil {
		return caller{}, Fail(codeFault, err)
	}
	if !ok {
		return caller{}, Fail(CodeNoSession, nil)
	}
	if until := a.Now().Add(SessionLife); when.Instant(until.Add(-extendEvery).UnixMilli()) > s.Until {
		if err := a.Store.Extend(who.session, when.Instant(until.UnixMilli())); err != nil {
			return caller{}, Fail(codeFault, err)
		}
		c.SetCookie(a.cookie(c.Request(), cookie.Value, until))
	}
	who.person = s.Person
	who.runner, err = a.Shoots.Get(s.Shoot)
	return who, err
}

// visitor is a caller who may come in, as they are now.
type visitor struct {
	caller
	live.Member
}

// visitor finds who a request comes from; the error is a problem, no_session
// for nobody and access_withdrawn for somebody who may no longer come in.
func (a *App) visitor(c echo.Context) (visitor, error) {
	who, err := a.caller(c)
	if err != nil {
		return visitor{}, err
	}
	m, err := who.runner.Member(c.Request().Context(), who.person)
	return visitor{who, m}, err
}

// token makes 256 random bits, written for use in an address.
func (a *App) token() (string, error) {
	var b [32]byte
	_, err := io.ReadFull(a.Rand, b[:])
	return base64.RawURLEncoding.EncodeToString(b[:]), err
}

// Invite makes a join link and gives its address below base.
func (a *App) Invite(base string, l store.Link) (string, error) {
	token, err := a.token()
	if err != nil {
		return "", err
	}
	l.Made = a.now()
	l.Until = l.Made + when.Instant(linkLife.Milliseconds())
	if err := a.Store.AddLink(store.HashOf(token), l); err != nil {
		return "", err
	}
	return base + "/join/" + token, nil
}

// showJoin draws the page behind a join link. It changes nothing, so that the
// preview of a chat program cannot use the link up.
func (a *App) showJoin(c echo.Context) error {
	link, err := a.Store.Link(store.HashOf(c.Param("token")))
	if err != nil {
		return err
	}
	now, err := a.visitor(c)
	joined := err == nil
	if joined && now.runner.Shoot == link.Shoot && now.ID == link.Person {
		return c.Redirect(http.StatusSeeOther, "/")
	}
	if err := link.Usable(a.now()); err != nil {
		return err
	}
	r, err := a.Shoots.Get(link.Shoot)
	if err != nil {
		return err
	}
	m, err := r.Member(c.Request().Context(), link.Person)
	if err != nil {
		return err
	}
	p := joinPage{frame: frame{Title: m.Title}, Name: m.Name, Role: m.Role.Label(), Many: link.Many}
	if joined {
		p.Now = now.Name
	}
	return page(c, http.StatusOK, "join.html", p)
}

// join uses a link: it starts a session and sends the browser to the client.
func (a *App) join(c echo.Context) error {
	hash := store.HashOf(c.Param("token"))
	link, err := a.Store.Link(hash)
	if err != nil {
		return err
	}
	if v, err := a.visitor(c); err == nil && v.runner.Shoot == link.Shoot && v.ID == link.Person {
		return c.Redirect(http.StatusSeeOther, "/")
	}
	r, err := a.Shoots.Get(link.Shoot)
	if err != nil {
		return err
	}
	if _, err := r.Member(c.Request().Context(), link.Person); err != nil {
		return err
	}
	token, err := a.token()
	if err != nil {
		return Fail(codeFault, err)
	}
	until := a.Now().Add(SessionLife)
	s, err := a.Store.Spend(hash, store.HashOf(token), a.now(), when.Instant(until.UnixMilli()))
	if err != nil {
		return err
	}
	if old, err := c.Cookie(cookieName); err == nil { // this browser was somebody else
		if err := a.signOut(store.HashOf(old.Value)); err != nil {
			return err
		}
	}
	a.Log.Info("joined", "shoot", s.Shoot, "person", s.Person)
	c.SetCookie(a.cookie(c.Request(), token, until))
	return c.Redirect(http.StatusSeeOther, "/")
}

func (a *App) cookie(r *http.Request, token string, until time.Time) *http.Cookie {
	return &http.Cookie{
		Name: cookieName, Value: token, Path: "/", Expires: until,
		HttpOnly: true, SameSite: http.SameSiteLaxMode,
		Secure: a.schemeOf(r) == "https",
	}
}

// signOut ends a session and says bye to its sockets.
func (a *App) signOut(h store.Hash) error {
	if err := a.Store.DropSession(h); err != nil {
		return Fail(codeFault, err)
	}
	a.Sockets.SignOut(h)
	return nil
}

// Me is the answer to "who am I here".
type Me struct {
	Shoot     string         `json:"shoot"`
	Title     string         `json:"title"`
	Person    shoot.PersonID `json:"person"`
	Name      string         `json:"name"`
	Role      shoot.Role     `json:"role"`
	RoleLabel string         `json:"roleLabel"`
	Epoch     int            `json:"epoch"` // of what this person may see
	Demo      bool           `json:"demo"`
}

func (a *App) me(c echo.Context) error {
	v, err := a.visitor(c)
	if err != nil {
		if p := problemOf(err); p.Code == CodeNoSession {
			p.Demo = a.Demo
			return p
		}
		return err
	}
	return c.JSON(http.StatusOK, Me{v.runner.Shoot, v.Title, v.ID, v.Name, v.Role, v.Role.Label(), v.Epoch, a.Demo})
}

// newLink makes a join link for a person; only a producer may.
func (a *App) newLink(c echo.Context) error {
	v, err := a.visitor(c)
	if err != nil {
		return err
	}
	if v.Role != shoot.Producer {
		return Fail(codeNotAllowed, nil)
	}
	var ask struct {
		Person shoot.PersonID `json:"person"`
	}
	dec := json.NewDecoder(c.Request().Body)
	dec.DisallowUnknownFields()
	if err := dec.Decode(&ask); err != nil {
		return Fail(CodeMalformed, err)
	}
	who, err := v.runner.Member(c.Request().Context(), ask.Person)
	if err != nil {
		return err
	}
	address, err := a.Invite(a.baseOf(c.Request()), store.Link{Shoot: v.runner.Shoot, Person: who.ID, By: v.ID})
	if err != nil {
		return Fail(codeFault, err)
	}
	code, err := QRImage(address)
	if err != nil {
		return Fail(codeFault, err)
	}
	return c.JSON(http.StatusCreated, map[string]any{
		"url": address, "code": code, "name": who.Name, "until": a.now() + when.Instant(linkLife.Milliseconds()),
	})
}

// leave ends the session on this browser. Without one it is done already.
func (a *App) leave(c echo.Context) error {
	old, err := c.Cookie(cookieName)
	if err != nil {
		return c.NoContent(http.StatusNoContent)
	}
	if err := a.signOut(store.HashOf(old.Value)); err != nil {
		return err
	}
	gone := a.cookie(c.Request(), "", time.Unix(1, 0))
	gone.MaxAge = -1
	c.SetCookie(gone)
	return c.NoContent(http.StatusNoContent)
}
