package web

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"math/big"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/server/access"
	"fairday/server/live"
	"fairday/sync/desk"
	"fairday/sync/wire"
)

// A phone that has lost its signal for good hands its waiting edits to another
// phone of the same shoot, as a file. The phone signs each of them with a key that
// its browser does not give out; the public half is told here while there is signal.
// Whoever has the file can deliver those edits and do nothing else.

// handedFor is how long a file may be good, and slack what a phone's clock may be off.
const (
	handedFor = 48 * time.Hour
	slack     = time.Hour
)

// device takes the public key of a device.
func (a *App) device(c echo.Context) error {
	v, err := a.visitor(c)
	if err != nil {
		return err
	}
	var in DeviceKey
	if err := body(c, &in); err != nil {
		return err
	}
	key, err := base64.RawURLEncoding.DecodeString(in.Key)
	if err == nil {
		_, err = ecdsa.ParseUncompressedPublicKey(elliptic.P256(), key)
	}
	if err != nil || !shoot.ValidID(in.Device) {
		return fail(CodeMalformed, err)
	}
	until := when.Instant(a.Now().Add(SessionLife).UnixMilli())
	if err := a.Store.AddDevice(v.runner.Shoot, v.ID, in.Device, access.Device{Key: key, Session: v.hash, Until: until}); err != nil {
		return err
	}
	return c.NoContent(http.StatusNoContent)
}

// body reads the JSON of a request, strictly.
func body(c echo.Context, into any) error {
	dec := json.NewDecoder(c.Request().Body)
	dec.DisallowUnknownFields()
	if err := dec.Decode(into); err != nil {
		return fail(CodeMalformed, err)
	}
	if dec.More() {
		return fail(CodeMalformed, errors.New("something follows"))
	}
	return nil
}

// hand takes waiting edits of another phone. Whoever brings them must be on the same
// shoot.
func (a *App) hand(c echo.Context) error {
	v, err := a.visitor(c)
	if err != nil {
		return err
	}
	var in Handover
	if err := body(c, &in); err != nil {
		return err
	}
	if n := len(in.Edits); n == 0 || n > wire.MaxEdits {
		return fail(CodeMalformed, fmt.Errorf("%d edits", n))
	}
	size := 0
	for _, e := range in.Edits {
		size += len(e.Text)
	}
	if a.Sockets.Quota(v.hash).Allow(a.Now(), len(in.Edits), size) != "" {
		return fail(codeHandMany, nil)
	}
	var key *ecdsa.PublicKey
	var bound wire.Handed // what all have in common
	by := desk.Delivery{Via: v.ID}
	for i, e := range in.Edits {
		h, err := wire.DecodeHanded([]byte(e.Text))
		if err != nil {
			return fail(CodeMalformed, err)
		}
		by.Edits = append(by.Edits, desk.Carried{Edit: h.Edit, After: h.After})
		h.Edit, h.After = wire.Edit{}, 0
		if i == 0 {
			bound = h
			if key, err = a.keyOf(v, h); err != nil {
				return err
			}
		}
		if !sameBond(h, bound) || !signed(key, e.Text, e.Sig) {
			return fail(CodeHandForged, nil)
		}
	}
	by.Owner, by.Device, by.Epoch = bound.Owner, bound.Device, bound.Epoch
	verdicts, err := v.runner.Deliver(c.Request().Context(), by, size)
	if err != nil {
		return notDelivered(err)
	}
	out := Handed{Refused: []string{}}
	for _, v := range verdicts {
		switch {
		case v.Result != wire.Refused:
			out.Taken++
		case v.Refusal.Code == shoot.CodeOwnWord:
			out.OwnWord++
		default:
			out.Refused = append(out.Refused, v.Refusal.Say)
		}
	}
	a.Log.Info("delivered", "shoot", bound.Shoot, "of", by.Owner, "by", v.ID, "edits", len(by.Edits))
	return c.JSON(http.StatusOK, out)
}

// keyOf finds the key that edits must be signed with, and checks what needs no desk.
func (a *App) keyOf(v visitor, h wire.Handed) (*ecdsa.PublicKey, error) {
	if h.Shoot != v.runner.Shoot {
		return nil, fail(CodeHandShoot, nil)
	}
	if until := time.UnixMilli(int64(h.Until)); !a.Now().Before(until) || until.Sub(a.Now()) > handedFor+slack {
		return nil, fail(CodeHandExpired, nil)
	}
	d, ok, err := a.Store.Device(h.Shoot, h.Owner, h.Device)
	if err != nil {
		return nil, fail(codeFault, err)
	}
	if !ok {
		return nil, fail(CodeHandForged, nil)
	}
	s, ok, err := a.Store.Session(d.Session, a.now())
	if err != nil {
		return nil, fail(codeFault, err)
	}
	if !ok || s.Shoot != h.Shoot || s.Person != h.Owner { // signed out, or ended
		return nil, fail(CodeHandWithdrawn, nil)
	}
	key, err := ecdsa.ParseUncompressedPublicKey(elliptic.P256(), d.Key)
	if err != nil {
		return nil, fail(codeFault, err)
	}
	return key, nil
}

func sameBond(a, b wire.Handed) bool {
	return a.Shoot == b.Shoot && a.Owner == b.Owner && a.Device == b.Device && a.Epoch == b.Epoch && a.Until == b.Until
}

// signed checks a signature as browsers make it: r and s, 32 bytes each.
func signed(key *ecdsa.PublicKey, text, sig string) bool {
	raw, err := base64.RawURLEncoding.Strict().DecodeString(sig)
	if err != nil || len(raw) != 64 {
		return false
	}
	sum := sha256.Sum256([]byte(text))
	return ecdsa.Verify(key, sum[:], new(big.Int).SetBytes(raw[:32]), new(big.Int).SetBytes(raw[32:]))
}

// notDelivered puts why a delivery was not taken into words.
func notDelivered(err error) error {
	for cause, code := range map[error]Code{desk.ErrNoAccess: CodeHandWithdrawn, desk.ErrEpoch: CodeHandChanged,
		desk.ErrGap: CodeHandGap, desk.ErrGone: CodeHandGone, desk.ErrNewer: codeHandLater, live.ErrNotNow: codeHandLater} {
		if errors.Is(err, cause) {
			return fail(code, err)
		}
	}
	return err
}
