package web

import (
	"bytes"
	"context"
	"encoding/json"
	"net/http"

	"github.com/labstack/echo/v4"

	"fairday/domain/view"
	"fairday/domain/view/day"
)

// home is the client's page. A browser with a session finds in it the screens that it
// opens on, so that they are read before the engine is there; whoever comes without
// one gets the page that is the same for everybody.
func (a *App) home(c echo.Context) error {
	index, built := a.client.assets["/index.html"]
	if !built || !hasCookie(c.Request()) {
		return a.client.serve(c)
	}
	v, err := a.visitor(c)
	if err != nil {
		return a.client.serve(c) // the page asks who it is, and is told why it is nobody
	}
	first, err := a.firstScreens(c.Request().Context(), v)
	if err != nil {
		a.Log.Warn("a page went out without its first screens", "shoot", v.runner.Shoot, "cause", err)
		return a.client.serve(c)
	}
	h := c.Response().Header()
	h.Set("Cache-Control", "private, no-store")
	h.Set("Vary", "Cookie")
	return c.HTMLBlob(http.StatusOK, withFirst(index.bodies[""], first))
}

// firstScreens makes the frame of the page and the screen that this person's role
// opens on, today, of the shoot as they see it, and writes them down.
func (a *App) firstScreens(ctx context.Context, v visitor) ([]byte, error) {
	seen, err := v.sees(ctx, false)
	if err != nil {
		return nil, err
	}
	c := day.Context{Context: view.Context{Me: v.ID, Now: a.now()}, Memo: &day.Memo{}}
	made, err := day.Make(string(view.ScreenShell), seen, c)
	if err != nil {
		return nil, err
	}
	shell := made.(*day.Shell)
	opens, err := day.Make(string(shell.Opens), seen, c)
	if err != nil {
		return nil, err
	}
	return json.Marshal(FirstScreens{Me: a.meOf(v), Views: map[string]FirstScreen{
		watched(view.ScreenShell): {View: shell},
		watched(shell.Opens):      {View: opens},
	}})
}

// watched is the key under which the page watches a screen of today.
func watched(s view.Screen) string { return string(s) + " {}" }

// withFirst puts the first screens at the end of the page's body, as a block of data:
// no browser runs it (HTML, 4.12.1), so the page's policy has nothing to allow. Nothing
// in it can end the block, since json.Marshal escapes what HTML reads.
func withFirst(page, first []byte) []byte {
	block := append(append([]byte(`<script type="application/json" id="first">`), first...), "</script>\n"...)
	at := bytes.LastIndex(page, []byte("</body>"))
	if at < 0 {
		at = len(page)
	}
	return bytes.Join([][]byte{page[:at], block, page[at:]}, nil)
}
