package web

import (
	"cmp"
	"encoding/json"
	"errors"
	"maps"
	"net/http"
	"net/netip"
	"net/url"
	"slices"
	"sync"
	"time"

	"github.com/go-webauthn/webauthn/protocol"
	"github.com/go-webauthn/webauthn/webauthn"
	"github.com/labstack/echo/v4"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/server/access"
	"fairday/server/house"
)

// Producers and owners may come in by a passkey (Web Authentication, W3C) in place
// of a link: a key that their own device or account keeps and that holds as long as the
// access that it was added with.

const (
	passkeyCookie = "fairday-passkey"
	passkeyLife   = 5 * time.Minute // from asking a browser for one to its answer
)

// identity is somebody who may have passkeys.
type identity struct {
	Shoot, Name, What string
	person            shoot.PersonID
	epoch             int
	keys              map[access.Hash]access.Passkey
}

// handle names the identity towards the browser and tells nothing about it.
func (i identity) handle() []byte {
	h := access.HashOf("passkey/" + i.Shoot + "/" + string(i.person))
	return h[:]
}

// The library's view of an identity.
func (i identity) WebAuthnID() []byte          { return i.handle() }
func (i identity) WebAuthnName() string        { return i.Name + ", " + i.What }
func (i identity) WebAuthnDisplayName() string { return i.Name + ", " + i.What }
func (i identity) WebAuthnCredentials() (out []webauthn.Credential) {
	for _, k := range i.keys {
		var c webauthn.Credential
		if json.Unmarshal(k.Credential, &c) == nil {
			out = append(out, c)
		}
	}
	return out
}

// asked are the questions that browsers have not answered yet.
type asked struct {
	mu  sync.Mutex
	all map[access.Hash]question
}

type question struct {
	session webauthn.SessionData
	shoot   string // whose registration it is, "" for a sign-in
	until   when.Instant
}

// mostAsked bounds what is remembered; past it the oldest are forgotten.
const mostAsked = 10_000

func (q *asked) put(h access.Hash, one question, now when.Instant) {
	q.mu.Lock()
	defer q.mu.Unlock()
	if q.all == nil {
		q.all = map[access.Hash]question{}
	}
	for k, old := range q.all {
		if old.until <= now || len(q.all) >= mostAsked {
			delete(q.all, k)
		}
	}
	q.all[h] = one
}

// take gives a question once.
func (q *asked) take(h access.Hash, now when.Instant) (question, bool) {
	q.mu.Lock()
	defer q.mu.Unlock()
	one, ok := q.all[h]
	delete(q.all, h)
	return one, ok && now < one.until
}

// relying is this server towards browsers; nil at an address without a name, for
// which browsers keep no passkeys.
func (a *App) relying(c echo.Context) *webauthn.WebAuthn {
	base, err := url.Parse(a.baseOf(c.Request()))
	if err != nil {
		return nil
	}
	if _, err := netip.ParseAddr(base.Hostname()); err == nil {
		return nil
	}
	w, err := webauthn.New(&webauthn.Config{RPID: base.Hostname(), RPDisplayName: "Fairday", RPOrigins: []string{base.Scheme + "://" + base.Host}})
	if err != nil {
		a.Log.Warn("passkeys are not offered", "base", base.String(), "cause", err)
		return nil
	}
	return w
}

// identities are those that a request comes with: an owner, a producer, or both.
func (a *App) identities(c echo.Context) (all []identity, err error) {
	if o, err := a.owner(c); err == nil {
		all = append(all, identity{Shoot: access.House, Name: o.Name, What: "owner", person: o.Pass(), epoch: o.Epoch})
	}
	if v, err := a.producer(c); err == nil {
		all = append(all, identity{Shoot: v.runner.Shoot, Name: v.Name, What: "producer of " + v.Title, person: v.ID, epoch: v.session.Epoch})
	}
	if len(all) == 0 {
		return nil, fail(codeNotAllowed, nil)
	}
	for i := range all {
		if all[i].keys, err = a.Store.Passkeys(all[i].Shoot, all[i].person); err != nil {
			return nil, fail(codeFault, err)
		}
	}
	return all, nil
}

type passkeyRow struct{ ID, Say string }

type passkeysPage struct {
	frame
	Named bool // the server has a name that passkeys can be kept for
	Base  string
	All   []struct {
		identity
		Rows []passkeyRow
	}
}

// showPasskeys lists the passkeys of whoever asks.
func (a *App) showPasskeys(c echo.Context) error {
	all, err := a.identities(c)
	if err != nil {
		return err
	}
	p := passkeysPage{frame: frame{Title: "Passkeys"}, Named: a.relying(c) != nil, Base: a.baseOf(c.Request())}
	for _, i := range all {
		var rows []passkeyRow
		for _, h := range slices.SortedFunc(maps.Keys(i.keys), func(x, y access.Hash) int { return cmp.Compare(i.keys[x].Made, i.keys[y].Made) }) {
			k := i.keys[h]
			say := "Added " + span(a.now()-k.Made) + " ago on " + k.Phone
			switch {
			case k.Epoch != i.epoch:
				say += ". It does not work any more: your access has changed since."
			case k.Used != 0:
				say += ", used " + span(a.now()-k.Used) + " ago."
			default:
				say += ", not used yet."
			}
			rows = append(rows, passkeyRow{h.Name(), say})
		}
		p.All = append(p.All, struct {
			identity
			Rows []passkeyRow
		}{i, rows})
	}
	return page(c, http.StatusOK, "passkeys.html", p)
}

// remember keeps a question for the answer of this browser.
func (a *App) remember(c echo.Context, session *webauthn.SessionData, shoot string) error {
	token, err := a.token()
	if err != nil {
		return fail(codeFault, err)
	}
	a.asked.put(access.HashOf(token), question{*session, shoot, a.now() + when.Instant(passkeyLife.Milliseconds())}, a.now())
	cookie := a.cookie(c.Request(), passkeyCookie, token, a.Now().Add(passkeyLife))
	cookie.SameSite = http.SameSiteStrictMode
	c.SetCookie(cookie)
	return nil
}

// recall gives the question that this browser answers.
func (a *App) recall(c echo.Context) (question, error) {
	cookie, err := c.Request().Cookie(passkeyCookie)
	if err != nil {
		return question{}, fail(codePasskeyLate, nil)
	}
	q, ok := a.asked.take(access.HashOf(cookie.Value), a.now())
	if !ok {
		return question{}, fail(codePasskeyLate, nil)
	}
	return q, nil
}

// askPasskey begins to add one, for an identity of whoever asks.
func (a *App) askPasskey(c echo.Context) error {
	i, w, err := a.adding(c, c.QueryParam("for"))
	if err != nil {
		return err
	}
	creation, session, err := w.BeginRegistration(i, webauthn.WithResidentKeyRequirement(protocol.ResidentKeyRequirementRequired),
		webauthn.WithExclusions(webauthn.Credentials(i.WebAuthnCredentials()).CredentialDescriptors()))
	if err != nil {
		return fail(codeFault, err)
	}
	if err := a.remember(c, session, i.Shoot); err != nil {
		return err
	}
	return c.JSON(http.StatusOK, creation)
}

// adding finds for which of their identities somebody adds a passkey.
func (a *App) adding(c echo.Context, shoot string) (identity, *webauthn.WebAuthn, error) {
	all, err := a.identities(c)
	if err != nil {
		return identity{}, nil, err
	}
	w := a.relying(c)
	at := slices.IndexFunc(all, func(i identity) bool { return i.Shoot == shoot })
	if w == nil {
		return identity{}, nil, fail(codePasskeyName, nil)
	}
	if at < 0 {
		return identity{}, nil, fail(codeNotAllowed, nil)
	}
	return all[at], w, nil
}

// addPasskey takes the browser's answer.
func (a *App) addPasskey(c echo.Context) error {
	if _, err := a.identities(c); err != nil {
		return err
	}
	q, err := a.recall(c)
	if err != nil {
		return err
	}
	i, w, err := a.adding(c, q.shoot)
	if err != nil {
		return err
	}
	credential, err := w.FinishRegistration(i, q.session, c.Request())
	if err != nil {
		return fail(codePasskeyWrong, err)
	}
	text, err := json.Marshal(credential)
	if err != nil {
		return fail(codeFault, err)
	}
	err = a.Store.AddPasskey(access.HashOf(string(credential.ID)), access.Passkey{Shoot: i.Shoot, Person: i.person, Epoch: i.epoch,
		Phone: phoneKind(c.Request().UserAgent()), Made: a.now(), Credential: text})
	switch {
	case errors.Is(err, access.ErrManyPasskeys):
		return fail(codePasskeyMany, nil)
	case errors.Is(err, access.ErrSamePasskey):
		return fail(codePasskeyWrong, err)
	case err != nil:
		return err
	}
	return c.NoContent(http.StatusNoContent)
}

// endPasskey forgets one of whoever asks.
func (a *App) endPasskey(c echo.Context) error {
	all, err := a.identities(c)
	if err != nil {
		return err
	}
	h, ok := access.HashNamed(c.FormValue("id"))
	mine := slices.ContainsFunc(all, func(i identity) bool { _, has := i.keys[h]; return has })
	if ok && mine {
		if err := a.Store.EndPasskey(h); err != nil {
			return err
		}
	}
	return c.Redirect(http.StatusSeeOther, "/passkeys")
}

// showSignIn draws the page to come in by a passkey.
func (a *App) showSignIn(c echo.Context) error {
	return page(c, http.StatusOK, "signin.html", passkeysPage{frame: frame{Title: "Come in with a passkey"}, Named: a.relying(c) != nil, Base: a.baseOf(c.Request())})
}

// askSignIn begins to come in.
func (a *App) askSignIn(c echo.Context) error {
	w := a.relying(c)
	if w == nil {
		return fail(codePasskeyName, nil)
	}
	assertion, session, err := w.BeginDiscoverableLogin(webauthn.WithUserVerification(protocol.VerificationPreferred))
	if err != nil {
		return fail(codeFault, err)
	}
	if err := a.remember(c, session, ""); err != nil {
		return err
	}
	return c.JSON(http.StatusOK, assertion)
}

// signIn takes the browser's answer and lets in whose passkey it is.
func (a *App) signIn(c echo.Context) error {
	q, err := a.recall(c)
	if err != nil {
		return err
	}
	w := a.relying(c)
	if w == nil || q.shoot != "" {
		return fail(codePasskeyLate, nil)
	}
	var h access.Hash
	var key access.Passkey
	_, credential, err := w.FinishPasskeyLogin(func(id, handle []byte) (webauthn.User, error) {
		h = access.HashOf(string(id))
		var err error
		if key, err = a.Store.Passkey(h); err != nil {
			return nil, err
		}
		i := identity{Shoot: key.Shoot, person: key.Person, keys: map[access.Hash]access.Passkey{h: key}}
		if string(handle) != string(i.handle()) {
			return nil, errors.New("a passkey of somebody else")
		}
		return i, nil
	}, q.session, c.Request())
	if err == nil && credential.Authenticator.CloneWarning {
		err = errors.New("its count went back: there may be two of it")
	}
	if err != nil {
		return fail(codePasskeyWrong, err)
	}
	name, to, err := a.stillIn(c, key)
	if err != nil {
		return err
	}
	text, err := json.Marshal(credential)
	if err != nil {
		return fail(codeFault, err)
	}
	if err := a.Store.ChangePasskey(h, func(k *access.Passkey) error { k.Used, k.Credential = a.now(), text; return nil }); err != nil {
		return err
	}
	token, err := a.token()
	if err != nil {
		return fail(codeFault, err)
	}
	// A link for this once, which takes the place of nobody else's.
	link := access.Link{Shoot: key.Shoot, Person: key.Person, Epoch: key.Epoch, By: key.Person, Made: a.now(), Until: a.now() + when.Minute, From: h}
	if err := a.Store.AddLink(access.HashOf(token), link); err != nil {
		return err
	}
	if _, err := a.enter(c, name, access.HashOf(token)); err != nil {
		return err
	}
	a.Log.Info("came in by a passkey", "shoot", key.Shoot, "person", key.Person)
	return c.JSON(http.StatusOK, SignedIn{To: to})
}

// stillIn tells where the person of a passkey comes in, and refuses who may not any
// more.
func (a *App) stillIn(c echo.Context, k access.Passkey) (cookie, to string, err error) {
	if k.Shoot == access.House {
		all, err := a.Store.Owners()
		if err != nil {
			return "", "", fail(codeFault, err)
		}
		if !all[house.OwnerID(k.Person)].Admits(k.Epoch) {
			return "", "", fail(codeNoOwner, nil)
		}
		return ownerCookie, "/shoots", nil
	}
	runner, err := a.Shoots.Get(k.Shoot)
	if err != nil {
		return "", "", err
	}
	if _, err := runner.Admit(c.Request().Context(), k.Person, k.Epoch); err != nil {
		return "", "", err
	}
	return cookieName, "/", nil
}
