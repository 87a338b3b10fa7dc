package phones

import (
	"context"
	"net"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/webauthn"
	"github.com/chromedp/chromedp"
)

// authenticator gives the browser a device that keeps passkeys and knows its owner.
func (p *phone) authenticator() {
	p.t.Helper()
	p.do("have an authenticator", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		if _, err := cdp.Call(ctx, t, webauthn.Enable, webauthn.EnableParams{}); err != nil {
			return err
		}
		_, err := cdp.Call(ctx, t, webauthn.AddVirtualAuthenticator, webauthn.AddVirtualAuthenticatorParams{Options: &webauthn.VirtualAuthenticatorOptions{
			Protocol: "ctap2", Transport: "internal", HasResidentKey: true, HasUserVerification: true, IsUserVerified: true, AutomaticPresenceSimulation: true}})
		return err
	}))
}

// A producer adds a passkey, signs out, and comes in with it and no link. One that
// was forgotten lets nobody in.
func TestPasskey(t *testing.T) {
	h := start(t)
	_, port, err := net.SplitHostPort(h.addr)
	if err != nil {
		t.Fatal(err)
	}
	h.kill()
	h.base = "http://localhost:" + port
	h.run()
	p := h.browser(t, "wren")
	p.authenticator()
	p.open(h.base + "/join/" + h.token("wren"))
	p.tap(`form button`, "")
	p.live()
	leave := func() {
		t.Helper()
		p.until("signed out", `fetch('/api/leave', { method: 'POST' }).then((r) => r.ok)`)
		p.open(h.base + "/passkey")
		p.at("Come in with a passkey")
	}

	p.open(h.base + "/passkeys")
	p.at("Passkeys")
	p.reads("main", "No passkey yet")
	p.tap("[data-add]", "Add a passkey")
	p.reads("[data-passkey]", "Added", "not used yet")
	p.tap("[data-add]", "Add a passkey")
	p.reads("main", "This device has one for you already")

	leave()
	p.tap("[data-signin]", "Use a passkey")
	p.live()
	p.reads(".top-title", h.named("wren"))

	p.open(h.base + "/passkeys")
	p.reads("[data-passkey]", "used")
	p.tap("[data-passkey] button", "Forget it")
	p.reads("main", "No passkey yet")
	leave()
	p.faulty = true // the browser says on its console that it was refused
	p.tap("[data-signin]", "Use a passkey")
	p.reads("main", "Come in by your link")
}
