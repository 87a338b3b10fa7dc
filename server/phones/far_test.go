package phones

import (
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"fairday/domain/shoot"
)

// toPlan goes to the plan, to which the call sheet leads.
func (p *phone) toPlan() {
	p.t.Helper()
	p.turn("callsheet")
	p.turn("plan")
}

// planPart opens a part of the plan.
func (p *phone) planPart(key string) {
	p.t.Helper()
	p.toPlan()
	p.tap(`[data-part="`+key+`"] summary`, "")
}

// setupNamed finds a set-up by its name.
func setupNamed(t testing.TB, s *shoot.State, name string) shoot.Setup {
	t.Helper()
	return find(t, s.Floor.Setups, "set-up "+name, func(x shoot.Setup) bool { return x.Name == name })
}

const theSetup = "Long table at the north windows"

// What is done at a desk is there to read without signal, with its age; what was
// never fetched says so. A change made there waits without effect, survives the page,
// offers no second one, and arrives once; what is refused is shown like any other.
func TestFarScreenWithoutSignal(t *testing.T) {
	h := start(t)
	p, b := h.phone(t, "wren"), h.hand(t, "milo")
	boss := h.handWith(t, p.cookie())
	was := setupNamed(t, boss.now(), theSetup)
	p.toPlan()
	p.until("the plan is the server's word", `document.querySelector('[data-far="now"]')`)
	p.planPart("setups")
	p.until("the last answer is stored", `(async () => {
		const done = (r) => new Promise((yes, no) => { r.onsuccess = () => yes(r.result); r.onerror = () => no(r.error); });
		const db = await done(indexedDB.open((await indexedDB.databases()).find((d) => d.name.startsWith('fairday-cache-')).name));
		const kept = await done(db.transaction('painted').objectStore('painted').getAllKeys());
		db.close();
		return kept.some((key) => key.startsWith('plan '));
	})()`)
	p.installed()
	p.sever()
	p.away()
	p.reads(`[data-far="kept"]`, "From ", "No connection.")
	p.reload()
	p.away()
	p.planPart("setups")
	p.reads(`[data-far="kept"][data-far-waiting="0"]`, "From ", "ago", "No connection.")
	p.reads(`[data-plan="`+theSetup+`"]`, theSetup)
	p.turn("overtime")
	p.tap(`[data-terms]`, "")
	p.reads(`main`, "This phone has not fetched this yet")

	p.planPart("setups")
	p.tap(`[data-plan="`+theSetup+`"] [data-action="setup.set"]`, "")
	p.enter("minutes", "47")
	p.submit()
	p.waits(1)
	p.reads(`[data-far-waiting="1"]`, "1 change waits on this phone")
	p.off(`[data-plan="` + theSetup + `"] [data-action="setup.set"]`)
	if text, err := evaluate[string](p, `document.querySelector('[data-plan="`+theSetup+`"]').textContent`); err != nil || strings.Contains(text, "47\u00a0min") {
		t.Errorf("it shows an effect before the server has ruled: %q %v", text, err)
	}
	p.tap(`[data-part="setups"] [data-label="Add a set-up"]`, "")
	p.enter("name", "Under the stairs")
	p.enter("minutes", "9")
	p.submit()
	p.waits(2)
	p.reload()
	p.waits(2)
	p.planPart("setups")
	p.reads(`[data-far-waiting="2"]`, "2 changes wait on this phone")

	// Somebody else is quicker with another one, which was changed here as well.
	const other = "Cellar stair"
	theirs := setupNamed(t, boss.now(), other)
	p.tap(`[data-plan="`+other+`"] [data-action="setup.set"]`, "")
	p.enter("minutes", "13")
	p.submit()
	p.waits(3)
	boss.accepted("setup.set", map[string]any{"id": theirs.ID, "name": theirs.Name, "minutes": 31, "base": theirs.Version})

	p.signal()
	p.waits(0)
	p.live()
	p.reads(`[data-far="now"][data-far-waiting="0"]`)
	p.reads(`[data-plan="`+theSetup+`"]`, "47\u00a0min")
	p.reads(`[data-plan="Under the stairs"]`, "9\u00a0min")
	p.reads(`[data-plan="`+other+`"]`, "31\u00a0min")
	after := b.sees("both changes", func(s *shoot.State) bool { return s.Floor.Setups[was.ID].Minutes == 47 })
	if v := after.Floor.Setups[was.ID].Version; v != was.Version+1 {
		t.Errorf("version %d after one change of version %d", v, was.Version)
	}
	n := 0
	for _, s := range after.Floor.Setups {
		if s.Name == "Under the stairs" {
			n++
		}
	}
	if n != 1 {
		t.Errorf("the new set-up is there %d times", n)
	}
	p.turn("settle")
	p.reads(`[data-stuck]`, "Refused")
}

// A far screen is made anew as somebody else changes what is on it.
func TestFarScreenFollowsTheOthers(t *testing.T) {
	h := start(t)
	boss, p := h.hand(t, "wren"), h.phone(t, "ilmar")
	p.planPart("setups")
	was := setupNamed(t, boss.now(), theSetup)
	p.reads(`[data-plan="`+theSetup+`"]`, theSetup)
	boss.accepted("setup.set", map[string]any{"id": was.ID, "name": was.Name, "minutes": 41, "base": was.Version})
	p.reads(`[data-plan="`+theSetup+`"]`, "41\u00a0min")
}

// Signing out takes the answers that were kept, without signal too; so does a change
// of what somebody does, as soon as the phone hears of it.
func TestFarAnswersGoWithTheirOwner(t *testing.T) {
	h := start(t)
	producer, art := h.phone(t, "wren"), h.phone(t, "ilmar")
	boss := h.handWith(t, producer.cookie())
	for _, p := range []*phone{producer, art} {
		p.toPlan()
		p.until("the plan is the server's word", `document.querySelector('[data-far="now"]')`)
	}
	producer.turn("overtime")
	producer.tap(`[data-person] [data-terms]`, "")
	producer.until("the terms are there", `document.querySelector('[data-terms-sheet] [data-card]')`)
	producer.sever()
	producer.away()
	producer.turn("callsheet")
	producer.tap("[data-leave]", "")
	producer.yes()
	producer.nobodys()
	if stored, err := producer.stored(); err != nil || regexp.MustCompile(`Withdraw access|terms\.rate|setup\.set`).Match(stored) {
		t.Errorf("something of the far screens is left: %v %s", err, trimmed(readable(string(stored)), 2000))
	}

	who := personOf(t, boss.now(), h.named("ilmar"))
	boss.accepted("person.set", map[string]any{"id": who.ID, "name": who.Name, "role": shoot.Photographer, "department": who.Department,
		"job": who.Job, "phone": who.Phone, "base": who.Version})
	art.until("is told to join again", `document.querySelector('[data-connection="out"], [data-screen="nobody"]')`)
	art.until("nothing of the plan is left", `!document.querySelector('[data-plan]')`)
	if stored, err := art.stored(); err != nil || regexp.MustCompile(`shot\.drop|setup\.set`).Match(stored) {
		t.Errorf("something of the plan is left: %v %s", err, trimmed(readable(string(stored)), 2000))
	}
}

// A screen that is not for somebody is refused to their session, whatever the page
// asks, and no figure comes with the refusal.
func TestFarScreensAreNotForOthers(t *testing.T) {
	h := start(t)
	crew, boss := h.phone(t, "tamsin"), h.hand(t, "wren")
	who := personOf(t, boss.now(), h.named("tamsin"))
	type answer struct {
		Status int
		Text   string
	}
	for _, path := range []string{"plan", "terms?of=" + string(who.ID)} {
		got, err := evaluate[answer](crew, `fetch('/api/screens/`+path+`').then(async (r) => ({ Status: r.status, Text: await r.text() }))`)
		if err != nil || got.Status != 403 || !strings.Contains(got.Text, `"not_allowed"`) || moneyWords.MatchString(got.Text) || strings.Contains(got.Text, "Saltglass") {
			t.Errorf("%s: %+v %v", path, got, err)
		}
	}
	crew.do("go where no tab leads", chromedp.Evaluate[chromedp.Void](`location.hash = "#plan"`))
	crew.reads(`[data-screen="callsheet"]`, "Saltglass Works")
	text := crew.have()
	for _, amount := range h.amounts(t) {
		if at := traces(amount).FindStringIndex(text); at != nil {
			t.Errorf("%s reached the phone: %s", amount, around(text, at))
		}
	}
}
