package phones

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/replica"
)

// phone is a browser with a profile of its own in somebody's hand.
type phone struct {
	*line
	t       testing.TB
	host    *host
	key     string // whose it is, by the plan
	profile string
	faulty  bool   // it was made to say on the page that something broke
	known   string // a name that it takes for this machine, "" for none

	ctx   context.Context
	close func()

	mu   sync.Mutex
	said []string // on the console, with what went wrong on the page
}

// phone gives somebody a browser that has joined and is live.
func (h *host) phone(t testing.TB, key string) *phone {
	t.Helper()
	p := h.browser(t, key)
	p.join(key)
	return p
}

// browser gives somebody a browser that has not opened anything.
func (h *host) browser(t testing.TB, key string) *phone {
	t.Helper()
	return h.browserThatKnows(t, key, "")
}

// browserThatKnows takes a name for that of this machine.
func (h *host) browserThatKnows(t testing.TB, key, name string) *phone {
	t.Helper()
	profile, err := os.MkdirTemp("", "fairday-profile-")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		until(t, "the browser lets go of its profile", func() (bool, string) {
			err := os.RemoveAll(profile)
			return err == nil, fmt.Sprint(err)
		})
	})
	p := &phone{line: newLine(t, h.addr), t: t, host: h, key: key, profile: profile, known: name}
	p.start()
	t.Cleanup(func() {
		p.lookOver()
		p.close()
	})
	return p
}

// tab opens another tab of this browser, or a private window.
func (p *phone) tab(private bool) *phone {
	p.t.Helper()
	var how []chromedp.ContextOption
	if private {
		how = append(how, chromedp.WithNewBrowserContext())
	}
	q := &phone{line: p.line, t: p.t, host: p.host, key: p.key, profile: p.profile}
	ctx, cancel := chromedp.NewContext(p.ctx, append(how, chromedp.WithListener(q.listen))...)
	q.ctx, q.close = ctx, cancel
	if err := chromedp.Do(ctx, chromedp.EmulateViewport(390, 844)); err != nil { // the tab lives as long as this context
		p.t.Fatal(err)
	}
	return q
}

// front brings a tab to the front.
func (p *phone) front() {
	p.t.Helper()
	p.do("come to the front", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, page.BringToFront, cdp.Empty{})
		return err
	}))
}

// join opens somebody's link and presses its button.
func (p *phone) join(key string) {
	p.t.Helper()
	p.key = key
	p.open(p.base() + "/join/" + p.host.token(key))
	p.tap(`form button`, "")
	p.reads(".top-title", p.host.named(key))
	p.live()
	p.knows("the shoot", func(s *shoot.State) bool { return len(s.Floor.Shots) > 0 })
}

// start starts the browser over its profile.
func (p *phone) start() {
	p.t.Helper()
	opts := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.NoSandbox, chromedp.Flag("disable-gpu", true),
		chromedp.UserDataDir(p.profile), chromedp.WindowSize(390, 844))
	if p.known != "" {
		opts = append(opts, chromedp.Flag("host-resolver-rules", "MAP "+p.known+" 127.0.0.1"))
	}
	browser, stop := chromedp.NewExecAllocator(context.Background(), opts...)
	ctx, cancel := chromedp.NewContext(browser, chromedp.WithListener(p.listen))
	p.ctx = ctx
	p.close = func() {
		end, done := context.WithTimeout(ctx, patience)
		defer done()
		if err := chromedp.Cancel(end); err != nil {
			p.t.Logf("%s's browser did not close by itself: %v", p.key, err)
		}
		cancel()
		stop()
	}
	if err := chromedp.Do(ctx, chromedp.EmulateViewport(390, 844)); err != nil {
		p.t.Fatalf("no browser starts: %v. These tests need Chromium on the PATH", err)
	}
}

func (p *phone) listen(ev any) {
	var text string
	switch e := ev.(type) {
	case *runtime.EventConsoleAPICalled:
		text = string(e.Type) + ":"
		for _, a := range e.Args {
			text += " " + string(a.Value) + a.Description
		}
	case *runtime.EventExceptionThrown:
		text = "exception: " + e.ExceptionDetails.Text
		if x := e.ExceptionDetails.Exception; x != nil {
			text += " " + x.Description
		}
	default:
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.said = append(p.said, text)
}

// lookOver ends a test: nothing may have broken on the page, and where the test
// failed it tells how the phone looks.
func (p *phone) lookOver() {
	if faults, err := evaluate[string](p, `document.querySelector('[data-faults]')?.textContent ?? ''`); err == nil && faults != "" && !p.faulty {
		p.t.Errorf("something broke on %s's phone: %s", p.key, faults)
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, s := range p.said {
		if strings.HasPrefix(s, "exception") {
			p.t.Errorf("on %s's phone: %s", p.key, s)
		}
	}
	if !p.t.Failed() {
		return
	}
	text, err := evaluate[string](p, `location.href + '\n' + document.body.innerText`)
	p.t.Logf("%s's phone shows (%v):\n%s\nconsole:\n%s", p.key, err, trimmed(text, 4000), strings.Join(p.said, "\n"))
	if stored, err := p.stored(); err == nil {
		p.t.Logf("%s's phone stores:\n%s", p.key, trimmed(string(stored), 1500))
	}
	end, done := context.WithTimeout(p.ctx, patience)
	defer done()
	if png, err := chromedp.Run(end, chromedp.CaptureScreenshot()); err == nil {
		path := filepath.Join(p.t.ArtifactDir(), p.key+".png")
		p.t.Logf("%s's screen: %s (kept with go test -artifacts): %v", p.key, path, os.WriteFile(path, png, 0o600))
	}
}

// open goes to an address.
func (p *phone) open(url string) {
	p.t.Helper()
	p.do("open "+url, chromedp.Navigate(url))
}

// reload loads the page afresh, as pulling it down does.
func (p *phone) reload() {
	p.t.Helper()
	p.do("reload", chromedp.Reload())
}

func (p *phone) do(what string, steps ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	ctx, done := context.WithTimeout(p.ctx, patience)
	defer done()
	if err := chromedp.Do(ctx, steps...); err != nil {
		p.t.Fatalf("%s's phone: %s: %v", p.key, what, err)
	}
}

// evaluate runs a script on the page and waits for its promise.
func evaluate[T any](p *phone, script string) (T, error) {
	ctx, done := context.WithTimeout(p.ctx, patience)
	defer done()
	return chromedp.Run(ctx, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
}

// until waits for a condition on the page, or for a promise of one.
func (p *phone) until(what, condition string) {
	p.t.Helper()
	until(p.t, p.key+"'s phone: "+what, func() (bool, string) {
		ok, err := evaluate[bool](p, "Promise.resolve("+condition+").then(Boolean)")
		return ok, fmt.Sprint(err) // a page that is loading has no answer yet
	})
}

// reads waits until an element's text holds all the words.
func (p *phone) reads(selector string, words ...string) {
	p.t.Helper()
	until(p.t, fmt.Sprintf("%s's phone: %s reads %q", p.key, selector, words), func() (bool, string) {
		text, err := evaluate[string](p, fmt.Sprintf(`document.querySelector(%s)?.textContent ?? ''`, quoted(selector)))
		for _, w := range words {
			if !strings.Contains(text, w) {
				return false, fmt.Sprint(text, err)
			}
		}
		return err == nil, text
	})
}

// aim finds where to press an element: it must be on, in view and not covered.
const aim = `((selector, text) => {
	const found = [...document.querySelectorAll(selector)].filter((e) => !text || e.textContent.trim() === text);
	const e = found[0];
	if (!e) return { why: 'it is not on the page' };
	for (let d = e.closest('details'); d; d = d.parentElement.closest('details')) if (!d.open && !d.querySelector(':scope > summary').contains(e)) d.open = true;
	if (e.disabled) return { why: 'it is off' };
	e.scrollIntoView({ block: 'center', behavior: 'instant' });
	const r = e.getBoundingClientRect(), x = r.x + r.width / 2, y = r.y + r.height / 2;
	const hit = document.elementFromPoint(x, y);
	if (!hit || !(e.contains(hit) || hit.closest('label')?.contains(e))) return { why: 'it is covered by ' + hit?.outerHTML.slice(0, 200) };
	window.pressed = false;
	e.addEventListener('click', () => (window.pressed = true), { once: true, capture: true });
	return { x, y, why: '' };
})`

// tap presses the first element that fits, as a finger does. Where text is
// given, the element has just that text.
func (p *phone) tap(selector, text string) {
	p.t.Helper()
	type target struct {
		X, Y float64
		Why  string
	}
	until(p.t, fmt.Sprintf("%s's phone: %s %q is pressed", p.key, selector, text), func() (bool, string) {
		at, err := evaluate[target](p, fmt.Sprintf("%s(%s, %s)", aim, quoted(selector), quoted(text)))
		if err != nil || at.Why != "" {
			return false, fmt.Sprint(at.Why, err)
		}
		p.do("press "+selector, chromedp.MouseClickXY(at.X, at.Y))
		missed, err := evaluate[bool](p, `window.pressed === false`) // another page does not know
		return err != nil || !missed, "it moved away"
	})
}

// off tells that a button is there and cannot be pressed.
func (p *phone) off(selector string) {
	p.t.Helper()
	p.until(selector+" is there and off", fmt.Sprintf(`document.querySelector(%s)?.disabled`, quoted(selector)))
}

// enter types into a field of the open form.
func (p *phone) enter(field, text string) {
	p.t.Helper()
	sel := fmt.Sprintf(`form[data-form] [name="%s"]`, field)
	p.tap(sel, "")
	p.do("type into "+field,
		chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`document.querySelector(%s).select()`, quoted(sel))),
		chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
			_, err := cdp.Call(ctx, t, input.InsertText, input.InsertTextParams{Text: text})
			return err
		}))
}

// submit sends the open form.
func (p *phone) submit() {
	p.t.Helper()
	p.tap(`form[data-form] [data-submit]`, "")
}

// yes answers the question that is asked.
func (p *phone) yes() {
	p.t.Helper()
	p.tap(`[data-answer="yes"]`, "")
	p.until("the question is gone", `!document.querySelector('[data-answer]')`)
}

// turn goes to a screen.
func (p *phone) turn(screen string) {
	p.t.Helper()
	p.tap(fmt.Sprintf(`[data-tab=%q]`, screen), "")
	p.until("shows "+screen, fmt.Sprintf(`document.querySelector('[data-screen=%q]')`, screen))
}

// shows waits until a shot is shown in a stage.
func (p *phone) shows(number, progress string) {
	p.t.Helper()
	p.until("shot "+number+" is "+progress, fmt.Sprintf(`document.querySelector('[data-shot=%q][data-progress=%q]')`, number, progress))
}

// waits waits until so many edits wait on this phone.
func (p *phone) waits(n int) {
	p.t.Helper()
	p.until(fmt.Sprintf("%d edits wait", n), fmt.Sprintf(`document.querySelector('[data-waiting="%d"]')`, n))
}

// signal brings the line back, and tells the page as a phone does that has found
// a network again.
func (p *phone) signal() {
	p.t.Helper()
	p.restore()
	p.do("tell of the network", chromedp.Evaluate[chromedp.Void](`window.dispatchEvent(new Event('online'))`))
}

// away waits until the phone knows that it has no connection.
func (p *phone) away() {
	p.t.Helper()
	p.until("away", `document.querySelector('[data-connection="away"]')`)
}

// live waits until the phone is connected.
func (p *phone) live() {
	p.t.Helper()
	p.until("live", `document.querySelector('[data-connection="live"]')`)
}

// installed waits until the service worker keeps the whole client.
func (p *phone) installed() {
	p.t.Helper()
	p.until("the service worker has the client", `(async () => {
		await navigator.serviceWorker.ready;
		for (const name of await caches.keys()) {
			const paths = (await (await caches.open(name)).keys()).map((r) => new URL(r.url).pathname);
			if (paths.includes('/index.html') && paths.some((x) => x.endsWith('.wasm'))) return true;
		}
		return false;
	})()`)
}

// stored reads all that the page keeps in this browser: every database, local
// and session storage, and what the service worker keeps beside the client's own
// files.
func (p *phone) stored() (json.RawMessage, error) {
	return evaluate[json.RawMessage](p, `(async () => {
		const out = { databases: {}, local: { ...localStorage }, session: { ...sessionStorage }, caches: {} };
		const done = (r) => new Promise((yes, no) => { r.onsuccess = () => yes(r.result); r.onerror = () => no(r.error); });
		for (const { name } of await indexedDB.databases()) {
			const db = await done(indexedDB.open(name)), stores = {};
			for (const s of db.objectStoreNames) {
				const store = db.transaction(s).objectStore(s);
				const [keys, values] = await Promise.all([done(store.getAllKeys()), done(store.getAll())]);
				stores[s] = keys.map((k, i) => [k, values[i]]);
			}
			db.close();
			out.databases[name] = stores;
		}
		for (const name of await caches.keys()) {
			const cache = await caches.open(name);
			for (const { url } of await cache.keys()) {
				const path = new URL(url).pathname, kind = (await cache.match(url)).headers.get('Content-Type') ?? '';
				out.caches[path] = /json|text\/plain/.test(kind) ? await (await cache.match(url)).text() : kind;
			}
		}
		return out;
	})()`)
}

// state is what this phone has stored as the server's word. It is nil while
// nothing is known.
func (p *phone) state() (*shoot.State, error) {
	text, err := evaluate[string](p, `(async () => {
		const done = (r) => new Promise((yes, no) => { r.onsuccess = () => yes(r.result); r.onerror = () => no(r.error); });
		const found = (await indexedDB.databases()).find((d) => d.name.startsWith('fairday-cache-'));
		if (!found) return '';
		const db = await done(indexedDB.open(found.name));
		try {
			return (await done(db.transaction('confirmed').objectStore('confirmed').get('cache'))) ?? '';
		} finally {
			db.close();
		}
	})()`)
	if err != nil || text == "" {
		return nil, err
	}
	var c replica.Cache
	err = json.Unmarshal([]byte(text), &c)
	return c.State, err
}

// knows waits until what this phone stores of the server's word fits, and gives
// it.
func (p *phone) knows(what string, fits func(*shoot.State) bool) *shoot.State {
	p.t.Helper()
	var got *shoot.State
	until(p.t, p.key+"'s phone knows "+what, func() (bool, string) {
		s, err := p.state()
		got = s
		return err == nil && s != nil && fits(s), fmt.Sprint(err)
	})
	return got
}

// clock is the time in this browser.
func (p *phone) clock() when.Instant {
	p.t.Helper()
	ms, err := evaluate[int64](p, `Date.now()`)
	if err != nil {
		p.t.Fatal(err)
	}
	return when.Instant(ms)
}

// cookie is the session's cookie, as the browser would send it.
func (p *phone) cookie() string {
	p.t.Helper()
	ctx, done := context.WithTimeout(p.ctx, patience)
	defer done()
	all, err := chromedp.Run(ctx, func(ctx context.Context, t *chromedp.Target) (network.GetCookiesResult, error) {
		return cdp.Call(ctx, t, network.GetCookies, network.GetCookiesParams{URLs: []string{p.base() + "/"}})
	})
	if err != nil || len(all.Cookies) != 1 {
		p.t.Fatalf("%s's phone has %d cookies: %v", p.key, len(all.Cookies), err)
	}
	return all.Cookies[0].Name + "=" + all.Cookies[0].Value
}

func quoted(s string) string {
	b, err := json.Marshal(s)
	if err != nil { // a text always has a JSON form
		panic(err)
	}
	return string(b)
}

// agree waits until all phones store the same floor and shows it.
func agree(t testing.TB, phones ...*phone) *shoot.State {
	t.Helper()
	var one *shoot.State
	until(t, "the phones agree", func() (bool, string) {
		var hashes []string
		same := true
		for _, p := range phones {
			s, err := p.state()
			if err != nil || s == nil {
				return false, fmt.Sprint(p.key, err)
			}
			one = s
			hashes = append(hashes, p.key+" "+s.FloorHash())
			same = same && s.FloorHash() == strings.Fields(hashes[0])[1]
		}
		return same, strings.Join(hashes, ", ")
	})
	return one
}
