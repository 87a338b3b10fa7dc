package web

import (
	"context"
	"crypto/hkdf"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"fairday/domain/shoot"
	"fairday/server/live"
	"fairday/sync/wire"
)

// A phone that has lost its signal for good hands its waiting edits to another
// phone of the same shoot, as a file. Whose they are is told by a pass in the
// file, which the server gave to the first phone while it could. The pass lets
// nobody read anything: what comes back is how many were taken.

// Pass makes the pass of a person on a shoot.
func (a *App) Pass(shootID string, p shoot.PersonID) string {
	holder := shootID + "/" + string(p)
	return holder + "." + base64.RawURLEncoding.EncodeToString(a.stamp(holder))
}

// holder finds whose a pass is; false for one that the server did not make.
func (a *App) holder(pass string) (shootID string, p shoot.PersonID, ok bool) {
	holder, stamp, _ := strings.Cut(pass, ".")
	got, err := base64.RawURLEncoding.DecodeString(stamp)
	if err != nil || !hmac.Equal(got, a.stamp(holder)) {
		return "", "", false
	}
	shootID, person, _ := strings.Cut(holder, "/")
	return shootID, shoot.PersonID(person), true
}

func (a *App) stamp(holder string) []byte {
	secret := a.Store.Key()
	key, err := hkdf.Key(sha256.New, secret[:], nil, "fairday hand-in pass", sha256.Size)
	if err != nil { // only a length that is out of range
		panic(err)
	}
	mac := hmac.New(sha256.New, key)
	mac.Write([]byte(holder))
	return mac.Sum(nil)
}

// Handed is what came of the edits of another phone.
type Handed struct {
	Taken   int      `json:"taken"`   // that are in the log, by this visit or an earlier one
	Refused []string `json:"refused"` // why, of each that was refused; its own phone shows it as well
}

// hand takes the waiting edits of another phone: {"pass": ..., "visit": a
// wire.Post}. Whoever brings them must be on the same shoot.
func (a *App) hand(c echo.Context) error {
	v, err := a.visitor(c)
	if err != nil {
		return err
	}
	var in struct {
		Pass  string          `json:"pass"`
		Visit json.RawMessage `json:"visit"`
	}
	dec := json.NewDecoder(c.Request().Body)
	dec.DisallowUnknownFields()
	if err := dec.Decode(&in); err != nil {
		return Fail(CodeMalformed, err)
	}
	visit, err := wire.DecodePost(in.Visit)
	if err != nil {
		return Fail(CodeMalformed, err)
	}
	shootID, person, ok := a.holder(in.Pass)
	if !ok || shootID != v.runner.Shoot {
		return Fail(CodeHandShoot, nil)
	}
	if !a.Sockets.Quota(v.session).Allow(a.Now(), len(visit.Edits)) {
		return Fail(codeHandMany, nil)
	}
	out, err := a.handIn(c.Request().Context(), v.runner, person, visit, len(in.Visit))
	if err != nil {
		return err
	}
	a.Log.Info("handed in", "shoot", shootID, "of", person, "by", v.ID, "edits", len(visit.Edits))
	return c.JSON(http.StatusOK, out)
}

// handIn makes the visit and reads the verdicts out of what the desk says.
func (a *App) handIn(ctx context.Context, r *live.Runner, person shoot.PersonID, visit wire.Post, size int) (Handed, error) {
	out := Handed{Refused: []string{}}
	said, err := r.Visit(ctx, a.Sockets.Number(), person, visit, size)
	if err != nil {
		return out, err
	}
	for _, text := range said {
		m, err := wire.DecodeDown(text)
		if err != nil {
			return out, Fail(codeFault, err)
		}
		switch m := m.(type) {
		case wire.Frame:
			for _, v := range m.Verdicts {
				if v.Result == wire.Refused {
					out.Refused = append(out.Refused, v.Refusal.Say)
				} else {
					out.Taken++
				}
			}
		case wire.Expect:
			return out, Fail(CodeHandGap, nil)
		case wire.Bye:
			switch m.Code {
			case wire.CodeDevice: // its own phone has sent these and more since
				return Handed{Taken: len(visit.Edits), Refused: []string{}}, nil
			case wire.CodeRevoked:
				return out, Fail(CodeHandWithdrawn, nil)
			}
			return out, &problem{Code: codeHandLater, Say: m.Say}
		}
	}
	return out, nil
}
