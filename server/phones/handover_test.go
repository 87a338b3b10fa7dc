package phones

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/storage"
	"github.com/chromedp/chromedp"

	"fairday/domain/shoot"
)

// download presses what saves a file and gives its path.
func (p *phone) download(selector string) string {
	p.t.Helper()
	dir := p.t.TempDir()
	p.do("choose a folder for files", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, browser.SetDownloadBehavior, browser.SetDownloadBehaviorParams{
			Behavior: browser.SetDownloadBehaviorBehaviorAllow, DownloadPath: dir})
		return err
	}))
	p.tap(selector, "")
	var path string
	until(p.t, p.key+"'s phone saves a file", func() (bool, string) {
		found, err := filepath.Glob(filepath.Join(dir, "*.json"))
		if err != nil || len(found) != 1 {
			return false, strings.Join(found, " ")
		}
		path = found[0]
		info, err := os.Stat(path)
		return err == nil && info.Size() > 0, path
	})
	return path
}

// ownPunch is the button of one's own hours.
const ownPunch = `section[data-hours] [data-action="punch"]`

// enrolled holds once the server has said that it knows this device's key, and the
// browser does not give the private half out.
const enrolled = `(async () => {
	const done = (r) => new Promise((yes, no) => { r.onsuccess = () => yes(r.result); r.onerror = () => no(r.error); });
	const db = await done(indexedDB.open('fairday-queue'));
	try {
		const facts = db.transaction('facts').objectStore('facts');
		const [names, values] = await Promise.all([done(facts.getAllKeys()), done(facts.getAll())]);
		const key = values[names.findIndex((n) => n.startsWith('key '))];
		return names.some((n) => n.startsWith('enrolled ')) && key?.privateKey.extractable === false
			&& await crypto.subtle.exportKey('pkcs8', key.privateKey).then(() => false, () => true);
	} finally {
		db.close();
	}
})()`

// A phone whose signal is gone for good saves what waits as a file; another one,
// without signal itself at first, hands it in. It counts as the first one's, and
// once, also when the first one finds its signal again.
func TestHandover(t *testing.T) {
	h := start(t)
	a, b := h.phone(t, "sunniva"), h.phone(t, "tamsin")
	watcher := h.hand(t, "oriel")
	a.until("the server knows its key", enrolled)
	a.sever()
	a.away()
	a.turn("callsheet")
	a.tap(ownPunch, "Sign in")
	a.waits(1)
	file := a.download(`[data-handover]`)

	b.sever()
	b.away()
	b.do("choose the file", chromedp.SetUploadFiles(`[data-hand]`, []string{file}))
	b.until("it keeps what it was handed", `document.querySelector('[data-borrowed="1"]')`)
	b.reload()
	b.until("it still has it", `document.querySelector('[data-borrowed="1"]')`)
	b.signal()
	b.until("it is handed in", `document.querySelector('[data-connection="live"]') && !document.querySelector('[data-borrowed]')`)

	signed := watcher.sees("the signing in", func(s *shoot.State) bool { return len(marksOf(t, s, h.named("sunniva"))) == 1 })
	m, owner := marksOf(t, signed, h.named("sunniva"))[0], personOf(t, signed, h.named("sunniva")).ID
	if m.By != owner {
		t.Errorf("the punch is by %s", m.By)
	}
	watcher.sees("who delivered it", func(s *shoot.State) bool {
		return s.Floor.Delivered[shoot.DeliveryOf(owner, m.At)] == personOf(t, s, h.named("tamsin")).ID
	})
	a.waits(1) // it does not know yet
	a.signal()
	a.waits(0)
	if s := agree(t, a, b); len(marksOf(t, s, h.named("sunniva"))) != 1 {
		t.Errorf("the signing in is there %d times", len(marksOf(t, s, h.named("sunniva"))))
	}
}

// A phone without room keeps nothing and says so; with room it goes on.
func TestNoRoom(t *testing.T) {
	h := start(t)
	p := h.phone(t, "sunniva")
	p.installed()
	quota := func(bytes float64) {
		p.do("set the room", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
			params := storage.OverrideQuotaForOriginParams{Origin: p.base()}
			if bytes >= 0 {
				params.QuotaSize = &bytes
			}
			_, err := cdp.Call(ctx, t, storage.OverrideQuotaForOrigin, params)
			return err
		}))
	}
	p.sever()
	p.away()
	p.turn("callsheet")
	quota(1)
	p.reload() // a browser looks up how much room there is when it opens a database, and now and then after
	next := map[string]string{"Sign in": "Sign out", "Sign out": "Sign in"}
	label := "Sign out"
	press := func() { // who was signed out already is asked before they sign in again
		p.tap(ownPunch, label)
		p.until("a word or a question", `document.querySelector('[data-answer]') || document.querySelector('.toasts')?.textContent`)
		if asked, err := evaluate[bool](p, `Boolean(document.querySelector('[data-answer]'))`); err == nil && asked {
			p.yes()
		}
	}
	until(t, "an edit finds no room", func() (bool, string) {
		label = next[label] // what there was room for was kept
		p.until("what was said before is gone", `!document.querySelector('.toasts')?.textContent`)
		press()
		said, err := evaluate[string](p, `new Promise((done) => {
			const look = () => {
				const said = document.querySelector('.toasts')?.textContent ?? '';
				if (said) done(said);
				else setTimeout(look, 50);
			};
			look();
		})`)
		return strings.Contains(said, "could not keep that"), fmt.Sprint(said, err)
	})
	kept, err := evaluate[int](p, `Number(document.querySelector('[data-waiting]').dataset.waiting)`)
	if err != nil {
		t.Fatal(err)
	}
	p.waits(kept) // and no more
	quota(-1)
	p.reload()
	p.waits(kept)
	press()
	p.waits(kept + 1)
	p.signal()
	p.waits(0)
	p.faulty = true // it said on the page what went wrong, as it should
}

// The browser throws the databases of an open page away: what waits is written
// anew from what the page still knows, and reaches the server once.
func TestStorageTakenAway(t *testing.T) {
	h := start(t)
	p := h.phone(t, "sunniva")
	p.turn("callsheet")
	p.tap(ownPunch, "Sign in")
	p.knows("the signing in", func(s *shoot.State) bool { return len(marksOf(t, s, h.named("sunniva"))) == 1 })
	p.waits(0)
	p.sever()
	p.away()
	p.tap(ownPunch, "Sign out")
	p.waits(1)
	p.do("throw the databases away", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, storage.ClearDataForOrigin, storage.ClearDataForOriginParams{Origin: p.base(), StorageTypes: "indexeddb"})
		return err
	}))
	until(t, "the queue is written anew", func() (bool, string) {
		ok, err := evaluate[bool](p, `(async () => {
		const done = (r) => new Promise((yes, no) => { r.onsuccess = () => yes(r.result); r.onerror = () => no(r.error); });
		if (!(await indexedDB.databases()).some((d) => d.name === 'fairday-queue')) return false;
		const db = await done(indexedDB.open('fairday-queue'));
		try {
			return (await done(db.transaction('rows').objectStore('rows').getAll())).length > 0;
		} finally {
			db.close();
		}
	})()`)
		return ok, fmt.Sprint(err)
	})
	p.reload()
	p.waits(1)
	p.signal()
	p.waits(0)
	s := p.knows("the signing out", func(s *shoot.State) bool { return len(marksOf(t, s, h.named("sunniva"))) == 2 })
	if m := marksOf(t, s, h.named("sunniva")); m[1].Kind != shoot.MarkOut {
		t.Errorf("the punches are %+v", m)
	}
	p.faulty = true // what was under way when it happened may say so
}
