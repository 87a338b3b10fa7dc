package phones

import (
	"testing"

	"fairday/domain/shoot"
)

// The browser does as a script says while a cache of a name is there, so that a
// test can turn it on and off over a restart.
func whenever(name, script string) string {
	return `if (await caches.has("` + name + `")) {` + script + `}`
}

func (p *phone) turnOn(name string) {
	p.t.Helper()
	p.until("turns on "+name, `caches.open("`+name+`")`)
}

func (p *phone) turnOff(name string) {
	p.t.Helper()
	p.until("turns off "+name, `caches.delete("`+name+`")`)
}

// claimsNothing checks that a page does not say that anything is kept; words about
// what was kept before leave by themselves.
func (p *phone) claimsNothing() {
	p.t.Helper()
	p.until("says nothing of what is kept", `!/kept on this phone/i.test(document.body.innerText)`)
}

// A browser that lets the page store nothing, as some do in private windows: the
// page says so and what to do, takes no edits, and starts once it may.
func TestStorageRefused(t *testing.T) {
	for name, script := range map[string]string{
		"opening throws":  `IDBFactory.prototype.open = () => { throw new DOMException("The user denied permission.", "SecurityError"); };`,
		"opening fails":   `const open = IDBFactory.prototype.open; IDBFactory.prototype.open = function () { const r = open.call(this, "no-" + Math.random(), 1); r.onupgradeneeded = () => r.transaction.abort(); return r; };`,
		"there is no way": `Object.defineProperty(self, "indexedDB", { value: undefined });`,
	} {
		t.Run(name, func(t *testing.T) {
			h := start(t)
			p := h.browser(t, "ilmar")
			p.first = whenever("refuse", script)
			p.open(p.base() + "/healthz")
			p.turnOn("refuse")
			p.open(p.base() + "/join/" + h.token("ilmar"))
			p.tap(`form button`, "")
			p.reads(`[data-screen="barred"] [data-trouble]`, "store nothing", "would be kept", "private window", "ordinary window")
			p.claimsNothing()
			if buttons, err := evaluate[int](p, `document.querySelectorAll('[data-action]').length`); err != nil || buttons != 0 {
				t.Errorf("it offers %d edits, %v", buttons, err)
			}
			p.turnOff("refuse")
			p.tap(`[data-screen="barred"] button`, "Try again")
			p.live()
			p.knows("the shoot", func(s *shoot.State) bool { return len(s.Floor.Shots) > 0 })
		})
	}
}

// A private window keeps what was entered as long as it is open, says that it
// forgets all, and does.
func TestPrivateWindow(t *testing.T) {
	h := start(t)
	p := h.browser(t, "sunniva")
	q := p.tab(true)
	q.join("sunniva")
	q.installed()
	q.turn("callsheet")
	q.sever()
	q.away()
	q.tap(ownPunch, "Sign in")
	q.waits(1)
	q.reads("[data-phone]", "a private window forgets all")
	q.reload()
	q.waits(1)
	q.signal()
	q.waits(0)
	q.lookOver()
	q.close()

	q = p.tab(true)
	q.open(q.base() + "/")
	q.reads(`[data-screen="nobody"]`, "join link")
	q.close()
}

// An old page in another tab does not let go of the queue: a newer page says what
// to do, and goes on by itself once that tab is closed, with all that was kept.
func TestOldTabInTheWay(t *testing.T) {
	h := start(t)
	p := h.browser(t, "sunniva")
	p.first = whenever("newer", newer)
	p.join("sunniva")
	p.installed()
	old := p.tab(false)
	old.open(old.base() + "/healthz")
	old.until("holds the queue", `new Promise((yes) => { const r = indexedDB.open("fairday-queue"); r.onsuccess = () => { window.held = r.result; yes(true); }; })`)
	p.front()
	p.turn("callsheet")
	p.sever()
	p.away()
	p.tap(ownPunch, "Sign in")
	p.waits(1)

	p.turnOn("newer")
	p.reload()
	p.reads(`[data-trouble]`, "Close the other tabs", "Nothing is lost")
	p.claimsNothing()
	old.close()
	p.waits(1)
	p.until("the trouble is over", `!document.querySelector('[data-trouble]')`)
	p.turn("callsheet")
	p.tap(ownPunch, "Sign out")
	p.waits(2)
	p.signal()
	p.waits(0)
	s := p.knows("both punches", func(s *shoot.State) bool { return len(marksOf(t, s, h.named("sunniva"))) == 2 })
	if m := marksOf(t, s, h.named("sunniva")); m[0].Kind != shoot.MarkIn || m[1].Kind != shoot.MarkOut {
		t.Errorf("the punches are %+v", m)
	}
}

// newer has a page open its databases as a later release will that needs more of
// them.
const newer = `const open = IDBFactory.prototype.open; IDBFactory.prototype.open = function (name, version) { return open.call(this, name, version && version + 1); };`

// A newer page opens in another tab: the old one lets go of the queue, takes no
// edit that it could not keep, and says what to do. What was kept goes on there.
func TestNewerTabTakesOver(t *testing.T) {
	h := start(t)
	p := h.browser(t, "sunniva")
	p.first = whenever("newer", newer)
	p.join("sunniva")
	p.installed()
	p.turn("callsheet")
	p.sever()
	p.away()
	p.tap(ownPunch, "Sign in")
	p.waits(1)

	p.turnOn("newer")
	next := p.tab(false)
	next.open(next.base() + "/")
	next.waits(1)
	p.front()
	p.until("what was said before is gone", `!document.querySelector('[data-toast="good"]')`)
	p.tap(ownPunch, "Sign out")
	p.reads(`[data-toast="stop"]`, "could not keep that", "newer Fairday")
	p.reads(`[data-trouble]`, "newer Fairday", "Reload this page")
	p.waits(1)
	p.until("nothing is said to be kept", `!document.querySelector('[data-toast="good"]')`)
	p.reload()
	p.waits(1)
	p.turn("callsheet")
	p.tap(ownPunch, "Sign out")
	p.waits(2)
	p.signal()
	p.waits(0)
	next.lookOver()
	next.close()
	p.knows("both punches", func(s *shoot.State) bool { return len(marksOf(t, s, h.named("sunniva"))) == 2 })
}

// SPEC V11, E4: what somebody reported before their access was withdrawn reaches
// the producer, who says whether it counts; nothing that was asked for does, and
// the phone says how it stands.
func TestWithdrawnWithReportsWaiting(t *testing.T) {
	h := start(t)
	producer := h.hand(t, "wren")
	p := h.phone(t, "sunniva")
	who := personOf(t, producer.now(), h.named("sunniva"))
	p.turn("callsheet")
	p.sever()
	p.away()
	p.tap(ownPunch, "Sign in")
	p.waits(1)
	producer.accepted("person.access", map[string]any{"person": who.ID, "revoked": true})
	p.waits(1)

	p.signal()
	var report shoot.Report
	producer.sees("the report", func(s *shoot.State) bool {
		for _, r := range s.Office.Reports {
			report = r
		}
		return len(s.Office.Reports) == 1
	})
	if report.Intent.Name != "punch" || report.Intent.Actor != who.ID {
		t.Errorf("the report is %+v", report.Intent)
	}
	p.waits(0)
	p.until("it is signed out", `document.querySelector('[data-connection="out"]')`)
	p.reads(`[role="alert"]`, "can no longer see this shoot", "The producer decides whether it counts")
	p.claimsNothing() // nothing waits any more
	if n := len(marksOf(t, producer.now(), who.Name)); n != 0 {
		t.Errorf("%d punches count before the producer said so", n)
	}
	p.reload()
	p.until("it is still signed out", `document.querySelector('[data-connection="out"]')`)
	p.reads(`[role="alert"]`, "The producer decides whether it counts")
	p.waits(0)
	producer.accepted("report.settle", map[string]any{"report": report.ID, "ruling": "keep", "note": ""})
	producer.sees("that it counts", func(s *shoot.State) bool { return len(marksOf(t, s, who.Name)) == 1 })
	if now := producer.now(); len(now.Office.Reports) != 1 {
		t.Errorf("it was handed in %d times", len(now.Office.Reports))
	}
}
