package phones

import (
	"context"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"fairday/domain/shoot"
)

// slowLine lets the page have 400 kbit/s and 400 ms, as the browser's developer tools do.
func (p *phone) slowLine() {
	p.t.Helper()
	p.do("slow the line down", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{
			MatchedNetworkConditions: []*network.Conditions{{Latency: 400, DownloadThroughput: 50_000, UploadThroughput: 50_000}}})
		return err
	}))
}

// joinsSlowly opens a person's link on a slow line and presses its button.
func (p *phone) joinsSlowly(key string) {
	p.t.Helper()
	p.open(p.base() + "/join/" + p.host.token(key))
	p.slowLine()
	p.tap(`form button`, "")
}

// A crew member on a slow line reads the call time before the engine is there, and
// signs in: it is kept at once, also over a killed browser, and arrives once.
func TestFirstVisitBeforeTheEngine(t *testing.T) {
	h := start(t)
	producer := h.hand(t, "wren")
	p := h.browser(t, "tamsin")
	release := p.hold(".wasm")
	p.joinsSlowly("tamsin")
	p.reads(`[data-screen="callsheet"]`, "Saltglass Works", "Your call")
	p.reads(`.painted`, "As the server had it")
	if n := p.asked("/api/me"); n != 0 {
		t.Errorf("it asked %d times who it is, which the page says", n)
	}
	p.tap(ownPunch, "Sign in")
	p.reads(`[data-toast="good"]`, "Kept on this phone")
	p.waits(1)
	p.off(ownPunch + `[data-label="Sign in"]`)
	if n := len(marksOf(t, producer.now(), h.named("tamsin"))); n != 0 {
		t.Fatalf("%d punches arrived without an engine", n)
	}

	p.close()
	p.start()
	p.open(p.base() + "/")
	p.reads(`[data-screen="callsheet"]`, "Saltglass Works")
	p.waits(1)
	p.off(ownPunch + `[data-label="Sign in"]`)
	other := p.tab(false) // both tabs find what was pressed
	other.open(p.base() + "/")
	other.waits(1)
	release()
	p.live()
	other.live()
	p.waits(0)
	other.waits(0)
	marks := func(s *shoot.State) []shoot.Mark { return marksOf(t, s, h.named("tamsin")) }
	s := producer.sees("the punch", func(s *shoot.State) bool { return len(marks(s)) == 1 })
	if m := marks(s)[0]; m.Kind != shoot.MarkIn {
		t.Errorf("the punch is %+v", m)
	}
	p.tap(ownPunch, "Sign out")
	p.waits(0)
	s = producer.sees("both", func(s *shoot.State) bool { return len(marks(s)) == 2 })
	if m := marks(s); m[0].Kind != shoot.MarkIn || m[1].Kind != shoot.MarkOut {
		t.Errorf("the punches are %+v", m)
	}
	other.lookOver()
	other.close()
}

// An engine that does not come: the page says so, what is pressed is kept, and all
// goes on by itself once it does.
func TestEngineDoesNotCome(t *testing.T) {
	h := start(t)
	producer := h.hand(t, "wren")
	p := h.browser(t, "tamsin")
	release := p.hold(".wasm")
	p.joinsSlowly("tamsin")
	p.reads(`[data-screen="callsheet"]`, "Your call")
	p.sever()
	p.reads(`[data-loading="stopped"]`, "does not come through", "kept on this phone")
	p.tap(ownPunch, "Sign in")
	p.waits(1)
	release()
	p.signal()
	p.live()
	p.waits(0)
	p.until("nothing is said of loading", `!document.querySelector('[data-loading]')`)
	producer.sees("the punch", func(s *shoot.State) bool { return len(marksOf(t, s, h.named("tamsin"))) == 1 })
}

// What an art director asks for before the engine is there is for the desk to judge: a
// refusal shows up as any other does.
func TestPressedBeforeTheEngineAndRefused(t *testing.T) {
	h := start(t)
	stylist := h.hand(t, "oriel")
	if v := stylist.reads("Drover stool"); v.Result != "accepted" {
		t.Fatalf("the stool was not confirmed: %+v", v)
	}
	p := h.browser(t, "ilmar")
	release := p.hold(".wasm")
	p.joinsSlowly("ilmar")
	p.tap(`[data-shot="1"] [data-action="shot.open"]`, "")
	p.waits(1)
	director := h.hand(t, "wren")
	first := shotOf(t, director.now(), "1")
	director.accepted("shot.cut", map[string]any{"shot": first.ID})
	release()
	p.live()
	p.waits(0)
	p.turn("settle")
	p.reads(`[data-stuck]`, "cut")
}

// The engine goes over the line once on a first visit, and a phone that was never
// here is not told of a new version.
func TestEngineIsFetchedOnce(t *testing.T) {
	h := start(t)
	p := h.browser(t, "tamsin")
	release := p.hold(".wasm")
	p.joinsSlowly("tamsin")
	p.reads(`[data-screen="callsheet"]`, "Your call")
	p.until("no service worker before the engine", `navigator.serviceWorker.getRegistration().then((found) => !found)`)
	release()
	p.live()
	p.installed()
	if n := p.asked(".wasm"); n != 1 {
		t.Errorf("the engine was asked for %d times", n)
	}
	p.until("no word of a new version", `!document.querySelector('[data-update]')`)
}

// Somebody who signed out without signal is not shown again by the page of a server
// that has not heard of it.
func TestSignedOutIsNotShownAgain(t *testing.T) {
	h := start(t)
	p := h.phone(t, "tamsin")
	p.installed()
	p.until("the page comes from the server", `navigator.serviceWorker.getRegistration().then((found) => found.unregister())`)
	p.sever()
	p.away()
	p.tap("[data-leave]", "")
	p.yes()
	p.nobodys()
	p.hold("/api/leave")
	p.do("watch what is shown", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{
			Source: `new MutationObserver(() => { if (document.querySelector('.top-title')) window.shownAgain = true; }).observe(document, { subtree: true, childList: true })`})
		return err
	}))
	p.restore()
	p.reload()
	p.until("the server still takes it for somebody", `document.getElementById('first')`)
	p.nobodys()
	if again, err := evaluate[bool](p, `window.shownAgain === true`); err != nil || again {
		t.Errorf("the person is shown again: %v, %v", again, err)
	}
}
