package phones

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"fairday/domain/shoot"
)

// report tells the median and the worst of some times in ms.
func report(b *testing.B, name string, all []float64) {
	b.Helper()
	all = slices.Sorted(slices.Values(all))
	b.ReportMetric(all[len(all)/2], name+"-p50-ms")
	b.ReportMetric(all[len(all)-1], name+"-worst-ms")
}

// opening notes, on a page that opens, when the last view is painted and when
// the engine is up; then it opens the shot that comes next and notes when that is
// kept and shown. Times are in ms from the start of the navigation.
const opening = `(() => {
	const at = (window.opened = {});
	let pressed = false;
	const look = () => {
		const main = document.getElementById('main');
		if (!main || document.querySelectorAll('article[data-shot]').length < 60) return;
		const now = performance.now();
		if (!at.painted) at.painted = now;
		if (main.dataset.painted !== 'false') return; // the engine is not up yet
		const button = document.querySelector('.shot-card[data-shot="1"][data-progress="ready"] [data-action="shot.open"]:not(:disabled)');
		if (!pressed && button) {
			at.enabled = now;
			pressed = true;
			button.click();
		}
		if (pressed && !at.answered && document.querySelector('.shot-card[data-shot="1"][data-progress="open"]') && document.querySelector('[data-toast="good"]')) at.answered = now;
	};
	let coming = false;
	new MutationObserver(() => {
		if (coming) return;
		coming = true;
		requestAnimationFrame(() => setTimeout(() => {
			coming = false;
			look();
		}));
	}).observe(document, { subtree: true, childList: true, attributes: true });
})()`

// opened is what opening noted.
type opened struct{ Painted, Enabled, Answered float64 }

// settle leaves a phone as one that has been used: the last view is on its disk,
// and so is what the browser compiled of the engine.
func (p *phone) settle(key string) {
	p.t.Helper()
	p.reload()
	for range 10 {
		p.tap(`[data-shot="30"] [data-label="Move down"]`, "")
		p.waits(0)
	}
	p.keeps(key)
	until(p.t, "the browser keeps compiled code", func() (bool, string) {
		kept, err := filepath.Glob(filepath.Join(p.profile, "Default", "Service Worker", "CacheStorage", "*", "*", "*_1"))
		return err == nil && slices.ContainsFunc(kept, func(path string) bool {
			info, err := os.Stat(path)
			return err == nil && info.Size() > compiled
		}), fmt.Sprint(kept, err)
	})
}

// keeps waits until a view is on the disk for the next start.
func (p *phone) keeps(key string) {
	p.t.Helper()
	p.until("stores "+key, fmt.Sprintf(`(async () => {
		const done = (r) => new Promise((yes, no) => { r.onsuccess = () => yes(r.result); r.onerror = () => no(r.error); });
		const found = (await indexedDB.databases()).find((d) => d.name.startsWith('fairday-cache-'));
		if (!found) return false;
		const db = await done(indexedDB.open(found.name));
		try {
			const all = db.transaction('painted', 'readwrite', { durability: 'strict' });
			const store = all.objectStore('painted'), text = await done(store.get(%[1]s));
			if (text) store.put(text, %[1]s);
			await new Promise((yes, no) => { all.oncomplete = yes; all.onabort = no; });
			return text && JSON.parse(text).view;
		} finally {
			db.close();
		}
	})()`, quoted(key)))
}

// compiled is what the browser keeps of the engine at least, in bytes, and more
// than it keeps of any script.
const compiled = 300_000

// opensCold starts the browser from its disk, without signal, and opens the page:
// the page so many times slower, or the whole browser.
func (p *phone) opensCold(pages, all int) (at opened) {
	p.t.Helper()
	p.close()
	p.sever()
	p.start()
	p.do("watch it open", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: opening})
		return err
	}))
	p.slowPage(pages)
	end := p.slowBrowser(all)
	p.open(p.base() + "/")
	p.until("answers", `window.opened?.answered`)
	end()
	p.slowPage(1)
	at, err := evaluate[opened](p, `window.opened`)
	if err != nil {
		p.t.Fatal(err)
	}
	return at
}

// BenchmarkColdOpen is a phone that has the client and has been used, and is
// opened without signal: the browser starts from its disk, the page paints what it
// showed last, the engine comes up with the shoot, and a press on a button is kept
// and shown. Slowing the page down is what the browser's developer tools do;
// slowing all of it down covers the worker with the engine as well.
func BenchmarkColdOpen(b *testing.B) {
	for _, c := range []struct {
		name          string
		page, browser int
	}{{"as it is", 1, 1}, {"page 4x slower", 4, 1}, {"browser 4x slower", 1, 4}} {
		b.Run(c.name, func(b *testing.B) {
			p := busy(b).phone(b, "p1") // the art director
			p.installed()
			p.settle("shots {}")
			var painted, enabled, answered []float64
			for range b.N {
				at := p.opensCold(c.page, c.browser)
				painted, enabled, answered = append(painted, at.Painted), append(enabled, at.Enabled), append(answered, at.Answered)
				p.signal()
				p.tap(`.shot-card [data-action="shot.reset"]`, "")
				p.yes()
				p.waits(0)
				p.knows("the shot as planned again", func(s *shoot.State) bool { return shotOf(b, s, "1").Progress == shoot.Planned })
				p.keeps("shots {}")
			}
			report(b, "painted", painted)
			report(b, "enabled", enabled)
			report(b, "answered", answered)
			b.ReportMetric(0, "ns/op")
		})
	}
}
