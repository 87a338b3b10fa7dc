package phones

import (
	"fmt"
	"slices"
	"testing"

	"fairday/domain/shoot"
	"fairday/sync/wire"
)

const lamp = "Ember pendant lamp" // needs two people; shots 9 and 10 need it

func card(hero string) string { return fmt.Sprintf(`[data-hero=%q]`, hero) }

// read reads a hero's plate in the browser, as the form asks for it.
func (p *phone) read(h shoot.Hero, as shoot.Plate) {
	p.t.Helper()
	p.tap(card(h.Name)+` [data-action="hero.read"]`, "")
	for field, text := range map[string]string{"designation": as.Designation, "finish": as.Finish, "size": as.Size, "serial": as.Serial} {
		if text != "" {
			p.enter("plate."+field, text)
		}
	}
	for _, line := range h.Checklist {
		p.tap(`form[data-form="hero.read"] label.tick`, line)
	}
	p.submit()
	p.until("the form is closed", `!document.querySelector('form[data-form]')`)
}

// A shot does not open before its heroes are confirmed: not by the button, not by
// hand; a wrong plate confirms nothing; and two people are two people.
func TestHeroesGateShots(t *testing.T) {
	h := start(t)
	director, stylist := h.phone(t, "ilmar"), h.phone(t, "oriel")
	open := `[data-shot="9"] [data-action="shot.open"]`
	director.shows("9", "held")
	director.off(open)
	director.reads(`[data-shot="9"]`, "Ember pendant lamp is not confirmed")

	byHand := h.handWith(t, director.cookie())
	nine := shotOf(t, byHand.now(), "9")
	refused := func(why string) {
		t.Helper()
		v := byHand.does("shot.open", map[string]any{"shot": nine.ID})
		if v.Result != wire.Refused || v.Refusal == nil || v.Refusal.Code != shoot.CodeHeld {
			t.Fatalf("%s: opening by hand was %s: %+v", why, v.Result, v.Refusal)
		}
		if got := shotOf(t, byHand.now(), "9"); got.Progress != shoot.Planned || len(got.Spans) != 0 {
			t.Fatalf("%s: shot 9 is %s", why, got.Progress)
		}
	}
	refused("unconfirmed")

	brief := heroOf(t, byHand.now(), lamp)
	wrong := brief.Plate
	wrong.Finish = "Clear bottle green"
	stylist.read(brief, wrong)
	stylist.reads(card(lamp)+` [data-misread] [data-read]`, "Clear bottle green")
	stylist.reads(card(lamp)+` [data-misread] [data-brief]`, "Smoked amber")
	stylist.reads(card(lamp)+` [data-misread]`, "Nothing is confirmed")
	got := heroOf(t, byHand.sees("the wrong reading", func(s *shoot.State) bool {
		return countOf(heroOf(t, s, lamp), shoot.NoteMisread) == 1
	}), lamp)
	if n := countOf(got, shoot.NoteConfirmed); n != 0 {
		t.Fatalf("a wrong plate made %d confirmations", n)
	}
	director.turn("heroes")
	director.reads(card(lamp)+`[data-mark="Misread"]`, "Clear bottle green", "Smoked amber")
	refused("misread")

	stylist.read(brief, brief.Plate)
	stylist.reads(card(lamp)+`[data-mark="1 of 2"]`, "One more person", h.named("oriel"))
	stylist.off(card(lamp) + ` [data-action="hero.read"]`) // the same person again
	again := h.handWith(t, stylist.cookie())
	if v := again.reads(lamp); v.Result != wire.Flagged || v.Flag == nil || v.Flag.Code != shoot.FlagSamePerson {
		t.Fatalf("the same person's second reading was %s: %+v", v.Result, v.Flag)
	}
	director.reads(card(lamp)+`[data-mark="1 of 2"]`, "One more person")
	director.turn("shots")
	director.shows("9", "held")
	director.off(open)
	refused("confirmed by one person")

	second := h.hand(t, "philippa")
	if v := second.reads(lamp); v.Result != wire.Accepted {
		t.Fatalf("the second person's reading was %s: %+v", v.Result, v.Flag)
	}
	stylist.reads(card(lamp)+`[data-mark="Confirmed"]`, h.named("oriel"), h.named("philippa"))
	director.tap(open, "")
	director.shows("9", "open")
	byHand.sees("shot 9 open", func(s *shoot.State) bool { return shotOf(t, s, "9").Progress == shoot.Open })
	floor := agree(t, director, stylist)
	who := heroOf(t, floor, lamp).History
	if !slices.ContainsFunc(who, func(n shoot.HeroNote) bool { return n.By == personOf(t, floor, h.named("philippa")).ID }) {
		t.Error("the second reading is not in the history")
	}
}

// One phone captures without signal while the client refuses the hero: the
// capture is kept, queried on both phones, and settled by the art director.
func TestCaptureAgainstRefusal(t *testing.T) {
	h := start(t)
	stylist := h.hand(t, "oriel")
	if v := stylist.reads("Drover stool"); v.Result != wire.Accepted {
		t.Fatalf("the stool was not confirmed: %+v", v)
	}
	a, b := h.phone(t, "ilmar"), h.phone(t, "philippa")
	a.tap(`[data-shot="1"] [data-action="shot.open"]`, "")
	a.shows("1", "open")
	a.waits(0)

	a.sever()
	a.away()
	b.tap(card("Drover stool")+` [data-action="hero.refuse"]`, "")
	b.enter("note", "The soap is blotchy")
	b.submit()
	b.reads(card("Drover stool")+`[data-mark="Refused"]`, "The soap is blotchy")
	b.waits(0)
	a.tap(`[data-shot="1"] [data-action="shot.capture"]`, "")
	a.shows("1", "captured") // as far as this phone can know
	a.waits(1)
	before := a.clock()

	a.signal()
	a.waits(0)
	a.shows("1", "queried")
	b.turn("shots")
	b.shows("1", "queried")
	queried := agree(t, a, b)
	if shot := shotOf(t, queried, "1"); shot.Captured == 0 || shot.Captured > before || len(queried.Floor.Queries) != 1 {
		t.Fatalf("the capture was not kept as it happened: %+v, %d queries", shot, len(queried.Floor.Queries))
	}
	b.reads(`[data-shot="1"]`, "refused by the client")

	a.turn("settle")
	query := `[data-query="Shot 1, Table laid for nine, nobody there yet"]`
	a.reads(query, "Shot 1 was captured", "Drover stool was refused by the client: The soap is blotchy", h.named("ilmar"), h.named("philippa"))
	a.tap(query+` [data-action="query.settle"]`, "Keep the capture")
	a.enter("note", "The seat is out of frame")
	a.submit()
	a.until("nothing is left to settle but the remark", `!document.querySelector('[data-query]')`)
	a.turn("shots")
	a.shows("1", "captured")
	b.shows("1", "captured")
	settled := agree(t, a, b)
	for _, q := range settled.Floor.Queries {
		if q.Ruling != shoot.Keep || q.Note != "The seat is out of frame" || q.By != personOf(t, settled, h.named("ilmar")).ID {
			t.Errorf("the query ended as %+v", q)
		}
	}
	if shot := shotOf(t, settled, "1"); shot.Captured != shotOf(t, queried, "1").Captured {
		t.Errorf("settling moved the capture to %d", shot.Captured)
	}
}
