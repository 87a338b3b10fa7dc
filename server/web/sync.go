package web

import (
	"bytes"
	"errors"
	"io"
	"net/http"
	"strconv"
	"time"

	"github.com/gorilla/websocket"
	"github.com/labstack/echo/v4"

	"fairday/domain/when"
	"fairday/server/live"
	"fairday/sync/wire"
)

// postStatus gives the HTTP status of a body that could not be taken.
var postStatus = map[wire.Code]int{
	wire.CodeTooLarge: http.StatusRequestEntityTooLarge,
	wire.CodeTooMany:  http.StatusTooManyRequests,
	wire.CodeQuota:    http.StatusTooManyRequests,
}

// post is a whole visit in one request, for a phone that cannot hold a socket:
// a hello and edits in, an array of messages out.
func (a *App) post(c echo.Context) error {
	who, err := a.caller(c)
	if err != nil {
		return err
	}
	body, err := io.ReadAll(io.LimitReader(c.Request().Body, wire.MaxUp+1))
	if err != nil {
		return err
	}
	p, err := wire.DecodePost(body)
	if err == nil {
		if code := a.Sockets.Quota(who.hash).Allow(time.Now(), len(p.Edits), len(body)); code != "" {
			err = &wire.Error{Code: code, Cause: errors.New("more than one phone may send")}
		}
	}
	if err != nil {
		a.Log.Warn("a message could not be read", "cause", err)
		code := wire.ByeFor(err).Code
		status, ok := postStatus[code]
		if !ok {
			status = http.StatusBadRequest
		}
		if wait := wire.ByeOf(code).RetryAfter; wait > 0 {
			c.Response().Header().Set(echo.HeaderRetryAfter, strconv.FormatInt(int64((wait+when.Second-1)/when.Second), 10))
		}
		return answer(c, status, [][]byte{live.ByeText(code)})
	}
	said, err := who.runner.Visit(c.Request().Context(), a.Sockets.Number(), live.Pass{Person: who.session.Person, Epoch: who.session.Epoch}, p, len(body))
	if err != nil {
		return err
	}
	return answer(c, http.StatusOK, said)
}

// answer writes encoded messages as one JSON array.
func answer(c echo.Context, status int, texts [][]byte) error {
	var b bytes.Buffer
	b.WriteByte('[')
	b.Write(bytes.Join(texts, []byte(",")))
	b.WriteByte(']')
	return c.Blob(status, echo.MIMEApplicationJSON, b.Bytes())
}

// socket opens a websocket for a session. Nothing is read from it before it is
// known whose it is; whoever has come for nothing is told so in a farewell, as
// pages cannot see the status of a socket that does not open.
func (a *App) socket(c echo.Context) error {
	if !websocket.IsWebSocketUpgrade(c.Request()) {
		return fail(CodeMalformed, nil)
	}
	who, err := a.caller(c)
	came := live.Arrival{Address: a.addressOf(c.Request()), Packed: c.QueryParam("packed") == "1"}
	switch {
	case err == nil:
		came.Session, came.Runner, came.Pass = who.hash, who.runner, live.Pass{Person: who.session.Person, Epoch: who.session.Epoch}
	case problemOf(err).Code == CodeNoSession && hasCookie(c.Request()):
		came.Refusal = wire.CodeSignedOut
	default:
		return err
	}
	switch err := a.Sockets.Upgrade(c.Response(), c.Request(), came); {
	case errors.Is(err, live.ErrHandshake):
		c.Response().Committed = true // it has been answered
		return fail(CodeMalformed, err)
	case err != nil:
		return err
	}
	c.Response().Status = http.StatusSwitchingProtocols
	if came.Refusal == "" { // it may have been signed out since it was looked up
		if _, ok, err := a.Store.Session(who.hash, a.now()); err != nil || !ok {
			a.Sockets.SignOut(who.hash)
		}
	}
	return nil
}
