package web

import (
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"fairday/domain/when"
	"fairday/server/access"
	"fairday/server/live"
)

// Invite keeps a join link and gives its address below base.
func (a *App) Invite(base string, l access.Link) (string, error) {
	token, err := a.token()
	if err != nil {
		return "", err
	}
	l.Made = a.now()
	l.Until = l.Made + when.Instant(linkLife.Milliseconds())
	if err := a.Store.AddLink(access.HashOf(token), l); err != nil {
		return "", err
	}
	return base + "/join/" + token, nil
}

// invitation is a link that somebody came with, and whom it is for.
type invitation struct {
	hash   access.Hash
	link   access.Link
	runner *live.Runner
	person live.Member
	now    visitor // who this browser is already
	joined bool    // it is somebody
	same   bool    // and it is the person of the link
}

// invitation looks at the link of a request, without using it. The error is a
// problem.
func (a *App) invitation(c echo.Context) (in invitation, err error) {
	in.hash = access.HashOf(tokenOf(c.Param("token")))
	if in.link, err = a.Store.Link(in.hash); err != nil {
		return in, err
	}
	in.now, err = a.visitor(c)
	in.joined = err == nil
	in.same = in.joined && in.now.runner.Shoot == in.link.Shoot && in.now.ID == in.link.Person
	if in.runner, err = a.Shoots.Get(in.link.Shoot); err != nil || in.same {
		return in, err
	}
	if err := in.link.Usable(a.now()); err != nil {
		return in, err
	}
	in.person, err = in.runner.Admit(c.Request().Context(), in.link.Person, in.link.Epoch)
	if p := problemOf(err); err != nil && p.Code == codeAccessChanged {
		err = fail(codeLinkChanged, nil)
	}
	return in, err
}

// showJoin draws the page behind a join link. It changes nothing, so that the
// preview of a chat program cannot use the link up.
func (a *App) showJoin(c echo.Context) error {
	if a.forOwner(c) {
		return a.showOwnerJoin(c)
	}
	in, err := a.invitation(c)
	if err != nil {
		return err
	}
	if in.same {
		return c.Redirect(http.StatusSeeOther, "/")
	}
	p := joinPage{frame: frame{Title: in.person.Title}, Name: in.person.Name, Role: in.person.Role.Label(), Many: in.link.Many,
		Inside: insideAnother(c.Request().UserAgent()), Unsafe: a.unsafe(c.Request())}
	if in.joined {
		p.Now = in.now.Name
	}
	return page(c, http.StatusOK, "join.html", p)
}

// join uses a link: it starts a session and sends the browser to the client.
func (a *App) join(c echo.Context) error {
	if a.forOwner(c) {
		return a.joinOwner(c)
	}
	in, err := a.invitation(c)
	if err != nil {
		return err
	}
	if in.same {
		return c.Redirect(http.StatusSeeOther, "/")
	}
	s, err := a.enter(c, cookieName, in.hash)
	if err != nil {
		return err
	}
	a.Log.Info("joined", "shoot", s.Shoot, "person", s.Person)
	return c.Redirect(http.StatusSeeOther, "/")
}

// enter uses a link and gives this browser the session, in place of one that it had.
func (a *App) enter(c echo.Context, name string, link access.Hash) (access.Session, error) {
	token, err := a.token()
	if err != nil {
		return access.Session{}, fail(codeFault, err)
	}
	until := a.Now().Add(SessionLife)
	s, err := a.Store.Join(link, access.HashOf(token), phoneKind(c.Request().UserAgent()), a.now(), when.Instant(until.UnixMilli()))
	if err != nil {
		return s, err
	}
	if old, err := c.Cookie(name); err == nil { // this browser was somebody else
		if err := a.signOut(access.HashOf(old.Value)); err != nil {
			return s, err
		}
	}
	c.SetCookie(a.cookie(c.Request(), name, token, until))
	return s, nil
}

// phoneKind names the kind of a phone for people, from what its browser says of
// itself. It is a hint by which to tell one's own phones apart, and decides nothing.
func phoneKind(agent string) string {
	pick := func(of [][2]string, none string) string {
		for _, p := range of {
			if strings.Contains(agent, p[0]) {
				return p[1]
			}
		}
		return none
	}
	device := pick([][2]string{{"iPhone", "iPhone"}, {"iPad", "iPad"}, {"Android", "Android"}, {"Windows", "Windows"},
		{"Macintosh", "Mac"}, {"CrOS", "Chromebook"}, {"Linux", "Linux"}}, "")
	browser := pick([][2]string{{"Edg", "Edge"}, {"FxiOS", "Firefox"}, {"Firefox/", "Firefox"}, {"CriOS", "Chrome"}, {"Chrome/", "Chrome"},
		{"Safari/", "Safari"}}, "")
	switch {
	case device == "" && browser == "":
		return "A phone of unknown kind"
	case device == "":
		return browser
	case browser == "":
		return device
	}
	return device + ", " + browser
}

// insideAnother tells whether a page is shown inside another program, such as a
// messenger: whoever joins there has joined there alone. The marks are those that
// such programs and Android's web view put into their name (from memory).
func insideAnother(agent string) bool {
	for _, mark := range []string{"; wv)", "FBAN/", "FBAV/", "Instagram", "Line/", "MicroMessenger", "WhatsApp/", "Snapchat", "Telegram"} {
		if strings.Contains(agent, mark) {
			return true
		}
	}
	return false
}
