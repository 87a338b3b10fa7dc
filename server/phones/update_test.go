package phones

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"

	"fairday/domain/shoot"
)

// hashed are the client's scripts, which are named by what is in them.
var hashed = regexp.MustCompile(`^(index|worker)-(.{8})\.js$`)

// nextRelease builds the server with the client as a later release has it: another
// release number, other names for the scripts, another page.
var nextRelease = sync.OnceValues(func() (string, error) {
	dist, err := filepath.Abs("../../pwa/dist")
	if err != nil {
		return "", err
	}
	stamp, err := os.ReadFile("../../pwa/.out/stamp")
	if err != nil {
		return "", err
	}
	release, _, _ := strings.Cut(string(stamp), " ")
	scripts, err := os.ReadDir(filepath.Join(dist, "assets"))
	if err != nil {
		return "", err
	}
	renew := []string{release, strings.Repeat("7", len(release)), `{"revision":"`, `{"revision":"7`}
	for _, e := range scripts {
		if m := hashed.FindStringSubmatch(e.Name()); m != nil {
			renew = append(renew, e.Name(), m[1]+"-next"+m[2][4:]+".js")
		}
	}
	dir := filepath.Join(filepath.Dir(program), "next")
	overlay := struct{ Replace map[string]string }{map[string]string{}}
	files := []string{"index.html", "sw.js"}
	for i := 4; i < len(renew); i += 2 {
		files = append(files, "assets/"+renew[i])
	}
	for _, name := range files {
		text, err := os.ReadFile(filepath.Join(dist, name))
		if err != nil {
			return "", err
		}
		renewer := strings.NewReplacer(renew...)
		at := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(at), 0o700); err != nil {
			return "", err
		}
		if err := os.WriteFile(at, []byte(renewer.Replace(string(text))), 0o600); err != nil {
			return "", err
		}
		for _, packed := range []string{"", ".br", ".gz"} {
			if _, err := os.Stat(filepath.Join(dist, name+packed)); err == nil {
				overlay.Replace[filepath.Join(dist, name+packed)] = ""
			}
		}
		overlay.Replace[filepath.Join(dist, renewer.Replace(name))] = at
	}
	text, err := json.Marshal(overlay)
	if err != nil {
		return "", err
	}
	list := filepath.Join(dir, "overlay.json")
	if err := os.WriteFile(list, text, 0o600); err != nil {
		return "", err
	}
	next := filepath.Join(dir, "fairday")
	if out, err := exec.Command("go", "build", "-overlay", list, "-o", next, "fairday/server").CombinedOutput(); err != nil {
		return "", fmt.Errorf("the next release does not build: %w\n%s", err, out)
	}
	return next, nil
})

// upgrade stops the server and starts the next release over the same folder.
func (h *host) upgrade() {
	h.t.Helper()
	next, err := nextRelease()
	if err != nil {
		h.t.Fatal(err)
	}
	h.kill()
	h.program = next
	h.run()
}

// looks has the page look for a new release, as it does whenever it comes to the
// front, and waits until it offers it.
func (p *phone) looks() {
	p.t.Helper()
	p.do("look for a new release", chromedp.Evaluate[chromedp.Void](`document.dispatchEvent(new Event('visibilitychange'))`))
	p.reads("[data-update]", "A new version is ready", "kept")
}

// runs waits until the page is of a release: the next one, or the old one.
func (p *phone) runs(next bool) {
	p.t.Helper()
	p.until(fmt.Sprintf("the page is the next release: %t", next), fmt.Sprintf(
		`document.readyState === 'complete' && document.querySelector('[data-connection]') && [...document.scripts].some((s) => s.src.includes('/index-next')) === %t`, next))
}

// again gives the browser a session's cookie again: one that was killed may not have
// written down those of the last half minute.
func (p *phone) again(cookie string) {
	p.t.Helper()
	name, value, _ := strings.Cut(cookie, "=")
	p.do("set the cookie", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, network.SetCookie, network.SetCookieParams{Name: name, Value: value, URL: p.base() + "/", HTTPOnly: new(true)})
		return err
	}))
}

// onceEach holds a person's punches to those that were entered, each once and in order.
func onceEach(t *testing.T, producer *hand, name string, want ...shoot.MarkKind) {
	t.Helper()
	s := producer.sees("the punches", func(s *shoot.State) bool { return len(marksOf(t, s, name)) >= len(want) })
	var got []shoot.MarkKind
	for _, m := range marksOf(t, s, name) {
		got = append(got, m.Kind)
	}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("the punches of %s are %v, not %v", name, got, want)
	}
}

// A phone that has edits waiting is offered a new release, and the person takes it on
// without signal: all that waited is there, the new release runs, and each edit arrives
// once. Before the tap the old release goes on.
func TestUpdateWithEditsWaiting(t *testing.T) {
	h := start(t)
	p := h.phone(t, "tamsin")
	p.installed()
	p.sever()
	p.away()
	p.tap(ownPunch, "Sign in")
	p.waits(1)
	h.upgrade()
	release := p.hold("/sync") // what waits goes on waiting
	p.signal()
	p.looks()
	p.runs(false)
	p.waits(1)
	p.sever()
	p.tap(ownPunch, "Sign out")
	p.waits(2)
	p.tap("[data-update] button", "Update now")
	p.runs(true)
	p.waits(2)
	p.reads(`[data-screen="callsheet"]`, "Saltglass Works")
	p.until("no more is offered", `!document.querySelector('[data-update]')`)
	release()
	p.signal()
	p.live()
	p.waits(0)
	onceEach(t, h.hand(t, "wren"), h.named("tamsin"), shoot.MarkIn, shoot.MarkOut)
	p.reload()
	p.runs(true)
	p.live()
	spoken, err := p.spoken()
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(spoken, `"app":"777777777777"`) {
		t.Error("the engine of the new release did not speak to the server")
	}
}

// The browser is killed at the tap, at different moments of it: whichever release opens
// afterwards, without signal, has all that waited, and each edit arrives once.
func TestUpdateKilledHalfway(t *testing.T) {
	for name, at := range map[string]string{
		"at the tap":                   `true`,
		"while the new one takes over": `navigator.serviceWorker.getRegistration().then((r) => !r?.waiting)`,
	} {
		t.Run(name, func(t *testing.T) {
			h := start(t)
			p := h.phone(t, "tamsin")
			p.installed()
			cookie := p.cookie()
			p.sever()
			p.away()
			p.tap(ownPunch, "Sign in")
			p.waits(1)
			h.upgrade()
			release := p.hold("/sync")
			p.signal()
			p.looks()
			p.sever()
			p.tap("[data-update] button", "Update now")
			p.until(name, at)
			if err := chromedp.FromContext(p.ctx).Browser.Process().Kill(); err != nil {
				t.Fatal(err)
			}
			p.close()
			p.start()
			p.again(cookie)
			p.open(p.base() + "/")
			p.reads(`[data-screen="callsheet"]`, "Saltglass Works")
			p.waits(1)
			p.tap(ownPunch, "Sign out")
			p.waits(2)
			release()
			p.signal()
			p.live()
			p.waits(0)
			onceEach(t, h.hand(t, "wren"), h.named("tamsin"), shoot.MarkIn, shoot.MarkOut)
			if offered, err := evaluate[bool](p, `!!document.querySelector('[data-update]')`); err != nil || offered {
				p.tap("[data-update] button", "Update now")
			}
			p.runs(true)
		})
	}
}

// Two tabs, each with an edit that waits: one takes the new release on, the other goes
// on with the old one until it is asked too, and neither loses or doubles anything.
func TestUpdateInOneOfTwoTabs(t *testing.T) {
	h := start(t)
	p := h.phone(t, "tamsin")
	p.installed()
	other := p.tab(false)
	other.open(p.base() + "/")
	other.live()
	p.front()
	p.sever()
	p.away()
	p.tap(ownPunch, "Sign in")
	p.waits(1)
	h.upgrade()
	release := p.hold("/sync")
	p.signal()
	p.looks()
	p.sever()
	p.tap("[data-update] button", "Update now")
	p.runs(true)
	p.waits(1)
	other.front()
	other.runs(false)
	other.waits(1)
	other.tap(ownPunch, "Sign out")
	other.waits(2)
	other.reads("[data-update]", "A new version is ready")
	other.tap("[data-update] button", "Update now")
	other.runs(true)
	other.waits(2)
	p.waits(2)
	release()
	p.signal()
	other.live()
	p.waits(0)
	other.waits(0)
	onceEach(t, h.hand(t, "wren"), h.named("tamsin"), shoot.MarkIn, shoot.MarkOut)
	other.lookOver()
	other.close()
}
