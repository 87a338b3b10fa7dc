package day

import (
	"encoding/json"
	"strings"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/view"
)

func TestPunchQueryShowsBothClocks(t *testing.T) {
	st := newStage(t)
	crew, ada := person(shoot.Crew), person(shoot.Producer)
	punch := func(who shoot.PersonID, happened, received, kind string) {
		if _, r := st.Late(who, clock(happened), clock(received), "punch", obj{"day": day1, "people": []shoot.PersonID{crew}, "kind": kind}); r != nil {
			t.Fatal(r)
		}
	}
	punch(crew, "08:00", "08:00", "in")
	punch(ada, "17:00", "17:00", "out")
	punch(crew, "18:05", "19:00", "out")
	q := show[Settle](st, shoot.ArtDirector, "19:05", view.ScreenSettle).Open[0]
	same(t, "title", q.Title, "Hours of Pat Crew")
	same(t, "said", q.Said, QuerySide{"Reported", "Pat Crew signed out.", view.Made{Happened: "18:05", Received: "received 19:00", By: "Pat Crew"}})
	same(t, "against", q.Against, QuerySide{"Against it", "Pat Crew signed out at another time.", view.Made{Happened: "17:00", Received: "", By: "Pat Producer"}})
	st.Press(person(shoot.ArtDirector), "19:06", find(t, q.Actions, "Take what was reported"), nil)
	v := show[CallSheet](st, shoot.Crew, "19:07", view.ScreenCallSheet)
	same(t, "hours", v.Hours.Punches[1].Made.Happened, "18:05")
}

// A button that the rules would refuse is off, with their sentence.
func TestKeepThatDoesNotAddUpIsOff(t *testing.T) {
	st := newStage(t)
	crew := person(shoot.Crew)
	st.Do(crew, "18:00", "punch", obj{"day": day1, "people": []shoot.PersonID{crew}, "kind": "out"})
	q := show[Settle](st, shoot.Producer, "18:05", view.ScreenSettle).Open[0]
	keep := find(t, q.Actions, "Take what was reported")
	same(t, "on", keep.Enabled, false)
	contains(t, "why", keep.Why, "do not add up")
	same(t, "drop", find(t, q.Actions, "Leave the hours as they are").Enabled, true)
}

func TestStuckEdits(t *testing.T) {
	st := newStage(t)
	open := json.RawMessage(`{"shot":"` + shot3 + `"}`)
	v := show[Settle](st, shoot.Crew, "10:00", view.ScreenSettle, func(c *Context) {
		c.Stuck = []Stuck{
			{Seq: 7, Name: "shot.open", Args: open, Made: clock("09:30"), Code: shoot.CodeHeld, Say: "Shot 3 is held: Lamp is not confirmed."},
			{Seq: 8, Name: "meal.guests", Args: json.RawMessage(`{"meal":"` + lunch + `","delta":-2}`), Made: clock("09:31"), Code: shoot.FlagLate, Say: "late", Flag: true},
		}
	})
	same(t, "say", v.Say, "2 things wait to be settled.")
	same(t, "refused", v.Stuck[0], StuckCard{7, "Open shot 3", "Refused", view.ToneStop, "09:30", "Shot 3 is held: Lamp is not confirmed.", "", "",
		"Get the heroes read on the Heroes screen, open the shot again, then discard this.", "Discard it",
		"Discard this from the phone? It did not happen as far as the others know."})
	same(t, "flagged", v.Stuck[1].Title+", "+v.Stuck[1].Word+", "+v.Stuck[1].Discard, "-2 guests at Lunch, Kept, with a remark, Put it away")
}

// Whoever settles a query is not told as well that somebody settles it.
func TestRemarkOnAQueryIsForOthersOnly(t *testing.T) {
	for role, cards := range map[shoot.Role]int{shoot.ArtDirector: 0, shoot.Photographer: 1} {
		st := newStage(t)
		args := obj{"shot": shot3}
		st.Do(person(role), "10:00", "shot.capture", args)
		raw, _ := json.Marshal(args)
		mine := func(c *Context) {
			c.Stuck = []Stuck{{Seq: 7, Name: "shot.capture", Args: raw, Made: clock("10:00"), Code: shoot.FlagQueried, Say: "Kept, but queried.", Flag: true}}
		}
		v := show[Settle](st, role, "10:01", view.ScreenSettle, mine)
		same(t, string(role)+", open", len(v.Open), 1)
		same(t, string(role)+", remarks", len(v.Stuck), cards)
		tabs := show[Shell](st, role, "10:01", view.ScreenShell, mine).Tabs
		same(t, string(role)+", tab", tabs[len(tabs)-1].Count, "1")
		st.Do(person(shoot.ArtDirector), "10:02", "query.settle", obj{"query": v.Open[0].ID, "ruling": shoot.Keep, "note": ""})
		same(t, string(role)+", remarks once settled", len(show[Settle](st, role, "10:03", view.ScreenSettle, mine).Stuck), cards)
	}
}

func TestDescribe(t *testing.T) {
	st := newStage(t)
	crew := string(person(shoot.Crew))
	for _, c := range []struct{ name, args, want string }{
		{"shot.capture", `{"shot":"` + shot4 + `"}`, "Capture of shot 10"},
		{"shot.fallback", `{"shot":"` + shot2 + `","on":true}`, "Take the fallback of shot 2"},
		{"shot.set", `{"number":"7A"}`, "Plan of shot 7A"},
		{"hero.read", `{"hero":"` + lamp + `"}`, "Reading of Lamp"},
		{"punch", `{"people":["` + crew + `"],"kind":"out"}`, "Pat Crew signed out"},
		{"punch", `{"people":["a","b"],"kind":"meal-out"}`, "2 people went to the meal"},
		{"sheet.publish", `{"day":"` + day1 + `","number":2}`, "Publish call sheet 2, Day 1"},
		{"call.set", `{"day":"` + day1 + `","person":"` + crew + `","call":"07:15"}`, "Call for Pat Crew: 07:15, Day 1"},
		{"call.set", `{"day":"` + day1 + `","person":"` + crew + `","call":null}`, "Pat Crew not called, Day 1"},
		{"diet.set", `{"person":"` + crew + `"}`, "What Pat Crew eats"},
		{"hero.swap", `{`, "a hero swapped"},
		{"no.such", `{}`, "An edit that this version does not know"},
	} {
		same(t, c.name, view.Describe(st.State, c.name, json.RawMessage(c.args)), c.want)
	}
}

func TestFillRefusals(t *testing.T) {
	f := func(k view.Kind, as view.As) view.Action {
		return view.Action{Args: json.RawMessage(`{}`), Form: &view.Form{Date: date1, Zone: zone, Currency: "USD",
			Fields: []view.Field{{Key: "x", Label: "This", Kind: k, As: as, Needed: true}}}}
	}
	for _, c := range []struct {
		kind    view.Kind
		as      view.As
		entered string
	}{
		{view.KindText, view.AsText, "  "},
		{view.KindTime, view.AsClock, "25:99"},
		{view.KindTime, view.AsInstant, "noon"},
		{view.KindTime, view.AsInstant, "48:00"},
		{view.KindMoney, view.AsAmount, "1,250"},
		{view.KindMoney, view.AsAmount, "12.505"},
		{view.KindNumber, view.AsNumber, "3.5"},
		{view.KindNumber, view.AsNumber, "99999999999"},
	} {
		out, err := view.Fill(f(c.kind, c.as), map[string][]string{"x": {c.entered}}, "")
		p, ok := err.(*view.Problem)
		if !ok || p.Key != "x" || len(p.Say) < 10 || out != nil {
			t.Errorf("%s %q: %s, %v", c.as, c.entered, out, err)
		}
	}
	for _, c := range []struct {
		kind          view.Kind
		as            view.As
		entered, want string
	}{
		{view.KindText, view.AsText, " a\nb ", `{"x":"a\nb"}`},
		{view.KindTime, view.AsClock, "7:05", `{"x":"07:05"}`},
		{view.KindTime, view.AsInstant, "24:30", `{"x":1795671000000}`},
		{view.KindMoney, view.AsAmount, "12.5", `{"x":{"minor":1250,"currency":"USD"}}`},
		{view.KindNumber, view.AsNumber, "-3", `{"x":-3}`},
	} {
		out, err := view.Fill(f(c.kind, c.as), map[string][]string{"x": {c.entered}}, "")
		if err != nil || string(out) != c.want {
			t.Errorf("%s %q: %s, %v, want %s", c.as, c.entered, out, err, c.want)
		}
	}
}

// What somebody reported before they lost access is for the producer alone.
func TestReportAfterAWithdrawal(t *testing.T) {
	st := newStage(t)
	crew, ada := person(shoot.Crew), person(shoot.Producer)
	st.Do(ada, "10:00", "person.access", obj{"person": crew, "revoked": true})
	flag, r := st.Late(crew, clock("09:50"), clock("10:30"), "punch", obj{"day": day1, "people": []shoot.PersonID{crew}, "kind": "in"})
	if r != nil || flag == nil {
		t.Fatal(r)
	}
	same(t, "for the art director", len(show[Settle](st, shoot.ArtDirector, "10:31", view.ScreenSettle).Open), 0)
	q := show[Settle](st, shoot.Producer, "10:31", view.ScreenSettle).Open[0]
	same(t, "title", q.Title, "Pat Crew signed in")
	same(t, "mark", q.Mark, view.Mark{Word: "Came late", Shape: view.ShapeDiamond, Tone: view.ToneWarn})
	same(t, "said", q.Said, QuerySide{"Reported", "Pat Crew signed in.", view.Made{Happened: "09:50", Received: "received 10:30", By: "Pat Crew"}})
	same(t, "against", q.Against, QuerySide{"Against it", "Their access was withdrawn before this arrived.", view.Made{Happened: "10:00", Received: "", By: ""}})
	tabs := show[Shell](st, shoot.Producer, "10:31", view.ScreenShell).Tabs
	same(t, "tab", tabs[len(tabs)-1].Count, "1")
	st.Press(ada, "10:32", find(t, q.Actions, "Let it count"), nil)
	v := show[Settle](st, shoot.Producer, "10:33", view.ScreenSettle)
	same(t, "open", len(v.Open), 0)
	same(t, "settled", v.Settled[0], Closed{"Pat Crew signed in, by Pat Crew", "It counts, as allowed by Pat Producer, 10:32."})
}

// Every intent's row has words, in which everything that it names is found.
func TestDescribeKnowsEveryIntent(t *testing.T) {
	st := newStage(t)
	none := view.Describe(st.State, "no.such", nil)
	for _, name := range shoot.Intents() {
		for _, args := range []string{`{}`, `{"on":true,"approve":true,"ruling":"keep","call":"08:00"}`} {
			if got := view.Describe(st.State, name, json.RawMessage(args)); got == none || strings.ContainsAny(got, "?{}|") {
				t.Errorf("%s has the words %q: give its row a \"say\", with keys that named.word knows", name, got)
			}
		}
	}
}
