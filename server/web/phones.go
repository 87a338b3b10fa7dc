package web

import (
	"cmp"
	"io"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/server/access"
)

// phones lists a person's phones; a producer sees everybody's.
func (a *App) phones(c echo.Context) error {
	v, err := a.visitor(c)
	if err != nil {
		return err
	}
	return a.answerPhones(c, v)
}

// mine are the sessions of a shoot that a visitor may see and end.
func (a *App) mine(v visitor) (map[access.Hash]access.Session, error) {
	all, err := a.Store.Sessions(v.runner.Shoot, a.now())
	for h, s := range all {
		if s.Person != v.ID && v.Role != shoot.Producer {
			delete(all, h)
		}
	}
	return all, err
}

func (a *App) answerPhones(c echo.Context, v visitor) error {
	all, err := a.mine(v)
	if err != nil {
		return err
	}
	out := Phones{Phones: []JoinedPhone{}}
	err = v.runner.Ask(c.Request().Context(), func(st *shoot.State) error {
		for h, s := range all {
			who := st.Floor.People[s.Person]
			if who.Epoch != s.Epoch { // it is let in no more
				continue
			}
			out.Phones = append(out.Phones, JoinedPhone{ID: h.Name(), Person: s.Person, Name: who.Name, Phone: s.Phone, Joined: s.Made,
				Seen: max(s.Made, s.Seen, a.seen.last(h)), Here: a.Sockets.Connected(h), This: h == v.hash})
			last := &out.Phones[len(out.Phones)-1]
			last.Say = lastHere(*last, a.now())
		}
		return nil
	})
	if err != nil {
		return err
	}
	slices.SortFunc(out.Phones, func(x, y JoinedPhone) int {
		return cmp.Or(cmp.Compare(x.Name, y.Name), cmp.Compare(y.Seen, x.Seen), cmp.Compare(x.ID, y.ID))
	})
	return c.JSON(http.StatusOK, out)
}

// lastHere says when a phone was there last.
func lastHere(p JoinedPhone, now when.Instant) string {
	if p.Here {
		return "Here now."
	}
	return "Last here " + span(now-p.Seen) + " ago."
}

// span is a length of time in words, rounded down, a minute at least.
func span(d when.Instant) string {
	for _, u := range []struct {
		of   when.Instant
		word string
	}{{24 * when.Hour, "day"}, {when.Hour, "hour"}, {when.Minute, "minute"}} {
		switch n := d / u.of; {
		case n > 1:
			return strconv.FormatInt(int64(n), 10) + " " + u.word + "s"
		case n == 1 || u.of == when.Minute:
			return "1 " + u.word
		}
	}
	return ""
}

// endPhones signs phones out: one that is named, or all of a person but the one
// that asks.
func (a *App) endPhones(c echo.Context) error {
	v, err := a.visitor(c)
	if err != nil {
		return err
	}
	var ask AskEnd
	if err := body(c, &ask); err != nil {
		return err
	}
	if (ask.ID == "") == (ask.Person == "") {
		return fail(CodeMalformed, nil)
	}
	if ask.Person != "" && ask.Person != v.ID && v.Role != shoot.Producer {
		return fail(codeNotAllowed, nil)
	}
	all, err := a.mine(v)
	if err != nil {
		return err
	}
	var end []access.Hash
	for h, s := range all {
		if h.Name() == ask.ID || s.Person == ask.Person && h != v.hash {
			end = append(end, h)
		}
	}
	if ask.ID != "" && len(end) == 0 {
		return fail(codeNoPhone, nil)
	}
	if err := a.signOut(end...); err != nil {
		return err
	}
	a.Log.Info("phones signed out", "shoot", v.runner.Shoot, "by", v.ID, "phones", len(end))
	return a.answerPhones(c, v)
}

// codeLetters are those of a short code: none looks like another. 30 of them, 8
// times, are 39 bits for ten minutes, and few tries.
const codeLetters = "23456789ABCDEFGHJKMNPQRSTVWXYZ"

const codeLength = 8

// newCode makes a short code that lets another phone of the same person in.
func (a *App) newCode(c echo.Context) error {
	v, err := a.visitor(c)
	if err != nil {
		return err
	}
	code, err := a.code()
	if err != nil {
		return fail(codeFault, err)
	}
	l := access.Link{Shoot: v.runner.Shoot, Person: v.ID, Epoch: v.session.Epoch, By: v.ID, From: v.hash, Made: a.now()}
	l.Until = l.Made + when.Instant(codeLife.Milliseconds())
	if err := a.Store.AddLink(access.HashOf(code), l); err != nil {
		return err
	}
	address := a.baseOf(c.Request()) + "/join/" + code
	image, err := QRImage(address)
	if err != nil {
		return fail(codeFault, err)
	}
	return c.JSON(http.StatusCreated, PhoneCode{Code: code[:4] + "-" + code[4:], URL: address, QR: string(image), Until: l.Until})
}

// code draws letters, each as likely as any other.
func (a *App) code() (string, error) {
	var out []byte
	for b := make([]byte, 1); len(out) < codeLength; {
		if _, err := io.ReadFull(a.Rand, b); err != nil {
			return "", err
		}
		if n := int(b[0]); n < 256/len(codeLetters)*len(codeLetters) {
			out = append(out, codeLetters[n%len(codeLetters)])
		}
	}
	return string(out), nil
}

// tokenOf is the token of an address; a code may be typed as people do.
func tokenOf(typed string) string {
	if code := strings.NewReplacer("-", "", " ", "").Replace(strings.ToUpper(typed)); isCode(code) {
		return code
	}
	return typed
}

func isCode(token string) bool {
	return len(token) == codeLength && strings.Trim(token, codeLetters) == ""
}
