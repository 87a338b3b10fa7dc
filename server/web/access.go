package web

import (
	"encoding/base64"
	"io"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/server/access"
	"fairday/server/live"
)

const (
	cookieName = "fairday"
	// SessionLife is how long a session holds since it was last used.
	SessionLife = 30 * 24 * time.Hour
	linkLife    = 14 * 24 * time.Hour
	codeLife    = 10 * time.Minute
	extendEvery = 24 * time.Hour // how often the end of a session moves at most
)

// caller is whose session a request comes with.
type caller struct {
	hash    access.Hash
	session access.Session
	runner  *live.Runner
}

func hasCookie(r *http.Request) bool {
	_, err := r.Cookie(cookieName)
	return err == nil
}

// caller finds whose session a request comes with, notes that it was here and
// moves the session's end. The error is a problem, no_session for nobody.
func (a *App) caller(c echo.Context) (caller, error) {
	h, s, err := a.session(c, cookieName)
	if err == nil && s.Shoot == access.House {
		err = fail(CodeNoSession, nil)
	}
	if err != nil {
		return caller{}, err
	}
	who := caller{hash: h, session: s}
	who.runner, err = a.Shoots.Get(s.Shoot)
	return who, err
}

// session finds the session that a cookie names, notes that it was here and moves
// its end.
func (a *App) session(c echo.Context, name string) (h access.Hash, s access.Session, err error) {
	cookie, err := c.Request().Cookie(name)
	if err != nil {
		return h, s, fail(CodeNoSession, nil)
	}
	h = access.HashOf(cookie.Value)
	s, ok, err := a.Store.Session(h, a.now())
	if err != nil {
		return h, s, fail(codeFault, err)
	}
	if !ok {
		return h, s, fail(CodeNoSession, nil)
	}
	a.seen.note(h, a.now())
	if until := a.Now().Add(SessionLife); when.Instant(until.Add(-extendEvery).UnixMilli()) > s.Until {
		if err := a.Store.Extend(h, when.Instant(until.UnixMilli())); err != nil {
			return h, s, fail(codeFault, err)
		}
		c.SetCookie(a.cookie(c.Request(), name, cookie.Value, until))
	}
	return h, s, nil
}

// visitor is a caller who may come in, as they are now.
type visitor struct {
	caller
	live.Member
}

// visitor finds who a request comes from; the error is a problem: no_session for
// nobody, access_withdrawn for somebody who may no longer come in, access_changed
// where the session was made for what they were before.
func (a *App) visitor(c echo.Context) (visitor, error) {
	who, err := a.caller(c)
	if err != nil {
		return visitor{}, err
	}
	m, err := who.runner.Admit(c.Request().Context(), who.session.Person, who.session.Epoch)
	return visitor{who, m}, err
}

// producer is a visitor who is one; the error is a problem, not_allowed for others.
func (a *App) producer(c echo.Context) (visitor, error) {
	v, err := a.visitor(c)
	if err == nil && v.Role != shoot.Producer {
		err = fail(codeNotAllowed, nil)
	}
	return v, err
}

// token makes 256 random bits, written for use in an address.
func (a *App) token() (string, error) {
	var b [32]byte
	_, err := io.ReadFull(a.Rand, b[:])
	return base64.RawURLEncoding.EncodeToString(b[:]), err
}

func (a *App) cookie(r *http.Request, name, token string, until time.Time) *http.Cookie {
	return &http.Cookie{
		Name: name, Value: token, Path: "/", Expires: until,
		HttpOnly: true, SameSite: http.SameSiteLaxMode,
		Secure: a.schemeOf(r) == "https",
	}
}

func (a *App) dropCookie(c echo.Context, name string) {
	gone := a.cookie(c.Request(), name, "", time.Unix(1, 0))
	gone.MaxAge = -1
	c.SetCookie(gone)
}

// signOut ends sessions and says bye to their sockets.
func (a *App) signOut(all ...access.Hash) error {
	if err := a.Store.EndSessions(all...); err != nil {
		return fail(codeFault, err)
	}
	for _, h := range all {
		a.Sockets.SignOut(h)
	}
	return nil
}

// me is the answer to "who am I here".
func (a *App) me(c echo.Context) error {
	v, err := a.visitor(c)
	if err != nil {
		if p := problemOf(err); p.Code == CodeNoSession || p.Code == codeAccessChanged {
			p.Demo = a.Demo
			return p
		}
		return err
	}
	return c.JSON(http.StatusOK, a.meOf(v))
}

func (a *App) meOf(v visitor) Me {
	return Me{Shoot: v.runner.Shoot, Title: v.Title, Person: v.ID, Name: v.Name, Role: v.Role, RoleLabel: v.Role.Label(),
		Epoch: v.Epoch, Demo: a.Demo, Session: v.hash.Name()}
}

// leave ends the session on this browser. Without one it is done already.
func (a *App) leave(c echo.Context) error {
	old, err := c.Cookie(cookieName)
	if err != nil {
		return c.NoContent(http.StatusNoContent)
	}
	h := access.HashOf(old.Value)
	if c.Request().ContentLength != 0 { // pages of before send nothing
		var ask AskLeave
		if err := body(c, &ask); err != nil {
			return err
		}
		if ask.Session != "" && ask.Session != h.Name() {
			return c.NoContent(http.StatusNoContent)
		}
	}
	if err := a.signOut(h); err != nil {
		return err
	}
	a.dropCookie(c, cookieName)
	return c.NoContent(http.StatusNoContent)
}
