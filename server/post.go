package main

import (
	"bytes"
	"errors"
	"io"
	"net/http"
	"strconv"
	"time"

	"github.com/labstack/echo/v4"

	"fairday/domain/when"
	"fairday/sync/wire"
)

// postStatus gives the HTTP status of a body that could not be taken.
var postStatus = map[wire.Code]int{
	wire.CodeTooLarge: http.StatusRequestEntityTooLarge,
	wire.CodeTooMany:  http.StatusTooManyRequests,
}

// post is a whole visit in one request, for a phone that cannot hold a socket:
// a hello and edits in, an array of messages out.
func (a *app) post(c echo.Context) error {
	who, err := a.caller(c)
	if err != nil {
		return err
	}
	body, err := io.ReadAll(io.LimitReader(c.Request().Body, wire.MaxUp+1))
	if err != nil {
		return err
	}
	p, err := wire.DecodePost(body)
	if err == nil && !a.sockets.guest(who.session).allow(time.Now(), len(p.Edits)) {
		err = &wire.Error{Code: wire.CodeTooMany, Cause: errors.New("too many in a short time")}
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
		return answer(c, status, [][]byte{byeText(code)})
	}
	said, err := who.runner.visit(c.Request().Context(), a.sockets.number(), who.person, p, len(body))
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
