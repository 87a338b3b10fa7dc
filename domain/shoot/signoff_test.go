package shoot

import (
	"encoding/json"
	"slices"
	"testing"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/when"
)

// punched signs somebody in and out.
func (st *stage) punched(p PersonID, in, out string) {
	st.t.Helper()
	for _, m := range []Stamp{{MarkIn, clock(in)}, {MarkOut, clock(out)}} {
		if m.At != 0 {
			st.must(p, m.At, "punch", punch{day1, []PersonID{p}, m.Kind, 0})
		}
	}
}

func (st *stage) stamps(p PersonID) []Stamp { return st.s.Floor.Hours[KeyOf(day1, p)].Stamps() }

func (st *stage) stands(want SignOff, p PersonID) {
	st.t.Helper()
	if got := st.s.SignOff(day1, p); got != want {
		st.t.Fatalf("the hours are %q, want %q", got, want)
	}
}

func TestASignatureHoldsForTheHoursThatWereSeen(t *testing.T) {
	st := newStage(t)
	st.punched(crew, "08:00", "18:00")
	st.stands(Unsigned, crew)
	seen := st.stamps(crew)
	st.must(crew, clock("18:01"), "hours.sign", hoursSign{day1, seen})
	st.stands(Signed, crew)
	n := len(st.log)
	st.must(crew, clock("18:01"), "hours.sign", hoursSign{day1, seen})
	if len(st.log) != n {
		t.Error("signed twice")
	}
	st.must(ada, clock("18:20"), "punch", punch{day1, []PersonID{crew}, MarkIn, 0})
	st.stands(Lapsed, crew)
	st.must(crew, clock("18:40"), "punch", punch{day1, []PersonID{crew}, MarkOut, 0})
	now := st.stamps(crew)
	st.must(crew, clock("18:41"), "hours.sign", hoursSign{day1, now})
	st.stands(Signed, crew)
	// Another phone of theirs was out of reach and signs what it saw: kept, with
	// a word, and the newer signature stays.
	st.flagged(FlagChanged, crew, clock("18:45"), "hours.sign", hoursSign{day1, seen})
	st.stands(Signed, crew)
	if got := st.s.Floor.Signs[KeyOf(day1, crew)].Seen; !slices.Equal(got, now) {
		t.Errorf("signed %v", got)
	}
	st.stands(Unsigned, cam)
}

func TestADisputeIsSettled(t *testing.T) {
	st := newStage(t)
	st.punched(crew, "08:00", "18:00")
	seen := st.stamps(crew)
	st.must(crew, clock("18:01"), "hours.sign", hoursSign{day1, seen})
	st.must(crew, clock("18:05"), "hours.dispute", hoursDispute{day1, seen, "I carried the stands until 18:40."})
	st.stands(Disputed, crew)
	var q Query
	for _, q = range st.s.Floor.Queries {
	}
	if q.Kind != QueryHours || q.Person != crew || q.Said.Text != "I carried the stands until 18:40." || q.Against.Text != "The hours they looked at: in 08:00, out 18:00" {
		t.Errorf("%+v", q)
	}
	st.must(ada, clock("18:30"), "query.settle", querySettle{q.ID, Drop, "The van left at 18:00."})
	st.stands(Unsigned, crew) // whoever disputes takes their name back
	if !slices.Equal(st.stamps(crew), seen) {
		t.Error("settling changed the hours")
	}
}

func TestASlipOfTheFingerIsTakenBack(t *testing.T) {
	st := newStage(t)
	st.punched(crew, "08:00", "12:00")
	undo := punchUndo{day1, crew, Stamp{MarkOut, clock("12:00")}}
	st.gather(clock("12:00"))
	before := st.s.Kitchen.Covers[lunch].Total
	st.must(crew, clock("12:04"), "punch.undo", undo)
	h := st.s.Floor.Hours[KeyOf(day1, crew)]
	if h.Presence() != OnClock || len(h.Undone) != 1 || h.Undone[0].By != crew || h.Undone[0].Mark.At != clock("12:00") {
		t.Errorf("%+v", h)
	}
	st.gather(clock("12:15"))
	if got := st.s.Kitchen.Covers[lunch].Total; got != before+1 {
		t.Errorf("%d covers, there were %d without them", got, before)
	}
	st.must(crew, clock("12:05"), "punch.undo", undo) // so already
	st.must(crew, clock("18:00"), "punch", punch{day1, []PersonID{crew}, MarkOut, 0})
	if h := st.s.Floor.Hours[KeyOf(day1, crew)]; len(h.Undone) != 1 {
		t.Error("a new punch forgets what was taken back")
	}
	// Later, or where the hours would not add up, somebody has to settle it.
	late := punchUndo{day1, crew, Stamp{MarkOut, clock("18:00")}}
	f := st.flagged(FlagQueried, crew, clock("18:16"), "punch.undo", late)
	st.flagged(FlagQueried, art, clock("08:10"), "punch.undo", punchUndo{day1, crew, Stamp{MarkIn, clock("08:00")}})
	if f.Yours == "" || f.Theirs == "" {
		t.Errorf("%+v", f)
	}
	queries := map[MarkKind]QueryID{}
	for _, q := range st.s.Floor.Queries {
		queries[q.Standing.Kind] = q.ID
	}
	st.refused(CodeWrongProgress, ada, clock("18:20"), "query.settle", querySettle{queries[MarkIn], Keep, ""})
	st.must(ada, clock("18:20"), "query.settle", querySettle{queries[MarkIn], Drop, ""})
	st.must(ada, clock("18:20"), "query.settle", querySettle{queries[MarkOut], Keep, ""})
	if h := st.s.Floor.Hours[KeyOf(day1, crew)]; h.Presence() != OnClock || len(h.Undone) != 2 {
		t.Errorf("%+v", h)
	}
	st.must(ada, clock("18:30"), "punch", punch{day1, []PersonID{crew}, MarkOut, 0})
	st.must(art, clock("18:31"), "punch.undo", punchUndo{day1, crew, Stamp{MarkOut, clock("18:30")}})
}

// share lets somebody see their own pay, or no longer.
func (st *stage) share(on bool, at string, people ...PersonID) {
	st.t.Helper()
	st.must(ada, clock(at), "pay.share", payShare{day1, people, on})
}

// By hand: 900.00 for 10 h, then time and a half of 90.00 for an hour.
func TestOwnPayIsShared(t *testing.T) {
	st := newStage(t)
	row := func() Pay { return st.s.Pay[KeyOf(day1, cam)] }
	st.share(true, "07:00", cam)
	if r := row(); !r.Shared || r.Slip != nil || r.Version != 1 {
		t.Fatalf("%+v", r)
	}
	st.punched(cam, "08:00", "19:00")
	if r := row(); r.Slip == nil || r.Slip.Total != money.Of(103500, "EUR") || len(r.Slip.Lines) != 2 || r.Version != 2 {
		t.Fatalf("%+v", row())
	}
	st.must(cam, clock("19:01"), "pay.sign", paySign{day1, 2, money.Of(103500, "EUR")})
	if row().SignOff() != Signed {
		t.Errorf("%+v", row())
	}
	// Other terms, and then other hours: the slip follows, the signature lapses.
	st.must(ada, clock("19:30"), "terms.set", termsSet{Person: cam, Terms: overtime.Terms{Basis: overtime.AllIn, Rate: money.Of(77700, "EUR")}, Base: 1})
	if r := row(); r.Slip.Total != money.Of(77700, "EUR") || r.SignOff() != Lapsed {
		t.Errorf("%+v", r)
	}
	n := len(st.log)
	st.punched(crew, "08:00", "19:40")
	for _, e := range st.log[n:] {
		if e.Topic().IsPay() {
			t.Errorf("somebody else's hours renew %s", e.Topic())
		}
	}
	st.must(ada, clock("19:45"), "punch", punch{day1, []PersonID{cam}, MarkIn, 0})
	if r := row(); r.Slip != nil || !r.Shared {
		t.Errorf("back on the clock: %+v", r)
	}
	st.must(ada, clock("19:50"), "punch", punch{day1, []PersonID{cam}, MarkOut, 0})
	st.flagged(FlagChanged, cam, clock("19:51"), "pay.sign", paySign{day1, 2, money.Of(103500, "EUR")})
	st.must(cam, clock("19:52"), "pay.sign", paySign{day1, row().Version, row().Slip.Total})
	st.flagged(FlagChanged, cam, clock("19:53"), "pay.sign", paySign{day1, 2, money.Of(103500, "EUR")})
	if row().SignOff() != Signed {
		t.Error("an old signature takes the place of a newer one")
	}
	st.must(cam, clock("19:55"), "pay.dispute", payDispute{day1, row().Version, "Lunch was eaten standing."})
	if row().SignOff() != Disputed || row().Signed != nil {
		t.Errorf("%+v", row())
	}
	st.must(ada, clock("20:00"), "pay.settle", paySettle{day1, cam, "Agreed, I am putting it right."})
	if d := row().Dispute; d.Open() || d.Answer == "" || d.By != ada {
		t.Errorf("%+v", d)
	}
	st.refused(CodeSettled, ada, clock("20:01"), "pay.settle", paySettle{day1, cam, "Agreed."})
	st.share(false, "20:05", cam)
	if r := row(); r.Shared || r.Slip != nil {
		t.Errorf("taken away: %+v", r)
	}
	st.must(ada, clock("20:06"), "terms.set", termsSet{Person: cam, Terms: overtime.Terms{Basis: overtime.AllIn, Rate: money.Of(88800, "EUR")}, Base: 2})
	if row().Slip != nil {
		t.Error("renewed although it is not shared")
	}
	// Reported late, from a phone that still showed the lines.
	st.flagged(FlagChanged, cam, clock("20:10"), "pay.sign", paySign{day1, 5, money.Of(77700, "EUR")})
}

// A slip that was stored and read again is the same slip: nothing is renewed for
// a number that is written in another way.
func TestAStoredSlipIsTheSame(t *testing.T) {
	st := newStage(t)
	st.share(true, "07:00", cam)
	st.punched(cam, "08:00", "19:00")
	var back State
	if err := json.Unmarshal([]byte(mustJSON(t, st.s)), &back); err != nil {
		t.Fatal(err)
	}
	st.s = &back
	was, nine := when.Clock(8*60), when.Clock(9*60)
	st.must(art, clock("19:09"), "call.set", callSet{day1, crew, &nine, &was})
	n := len(st.log)
	st.must(art, clock("19:10"), "sheet.publish", sheetPublish{day1, 2})
	for _, e := range st.log[n:] {
		if e.Topic().IsPay() {
			t.Errorf("renewed: %s", mustJSON(t, e))
		}
	}
}

// What a person is shown holds nothing of the terms, of costs, or of others.
func TestOwnPayIsOwn(t *testing.T) {
	st := newStage(t)
	st.must(ada, clock("06:00"), "terms.set", termsSet{Person: crew, Terms: overtime.Terms{Basis: overtime.Day, Rate: money.Of(45600, "EUR"), Included: 600,
		Agency: overtime.Agency{Share: money.Ratio{Num: 1, Den: 5}, On: overtime.AgencyOnBoth}}})
	st.share(true, "07:00", cam, crew)
	st.punched(cam, "08:00", "18:00")
	st.punched(crew, "08:00", "18:00")
	slip := st.s.Pay[KeyOf(day1, crew)].Slip
	if slip == nil || slip.Total != money.Of(45600, "EUR") || len(slip.Lines) != 1 {
		t.Fatalf("%+v", slip)
	}
	for p := range st.s.Floor.People {
		a, _ := st.s.AudienceOf(p)
		for key, row := range st.s.For(a).Pay {
			if p != ada && row.Person != p || key != KeyOf(day1, row.Person) {
				t.Errorf("%s sees %s", a.Role, key)
			}
		}
	}
}

func TestAskedAndAnswered(t *testing.T) {
	st := newStage(t)
	ask := AskID(id(70))
	amount := money.Of(60000, "EUR")
	st.must(art, clock("16:00"), "overtime.ask", overtimeAsk{ask, day1, clock("20:00"), nil, "The soup comes late", 0})
	st.must(ada, clock("16:05"), "overtime.ask", overtimeAsk{ask, day1, clock("20:00"), &amount, "The soup comes late", 1})
	st.refused(CodeStale, cust, clock("16:06"), "overtime.answer", overtimeAnswer{ask, 1, true, ""})
	if len(st.s.Limits(day1)) != 0 {
		t.Error("allowed before it is answered")
	}
	st.must(cust, clock("16:07"), "overtime.answer", overtimeAnswer{ask, 2, true, "Go on"})
	if got := st.s.Limits(day1); !slices.Equal(got, []Limit{{clock("20:00"), amount}}) {
		t.Errorf("allowed %+v", got)
	}
	st.must(cust, clock("16:08"), "overtime.answer", overtimeAnswer{ask, 2, true, ""}) // so already
	if r := st.refused(CodeSettled, ada, clock("16:09"), "overtime.answer", overtimeAnswer{ask, 2, false, ""}); r.Theirs != "approved" {
		t.Errorf("%+v", r)
	}
	st.refused(CodeSettled, ada, clock("16:10"), "overtime.ask", overtimeAsk{ask, day1, clock("21:00"), nil, "", 2})
	st.refused(CodeSettled, ada, clock("16:10"), "overtime.unask", overtimeUnask{ask})
	// A later time with a smaller amount stands beside the first.
	second := AskID(id(71))
	less := money.Of(100, "EUR")
	st.must(ada, clock("17:00"), "overtime.ask", overtimeAsk{second, day1, clock("21:00"), &less, "", 0})
	st.must(cust, clock("17:01"), "overtime.answer", overtimeAnswer{second, 1, true, ""})
	both := []Limit{{clock("20:00"), amount}, {clock("21:00"), less}}
	if got := st.s.Limits(day1); !slices.Equal(got, both) {
		t.Errorf("allowed %+v", got)
	}
	// The money plane has not heard of it, and the client has not seen the money.
	if len(st.s.Money.Approvals) != 0 {
		t.Error("an answer writes the money plane")
	}
	for p, sees := range map[PersonID]bool{ada: true, art: true, cust: true, cam: false, cook: false, crew: false} {
		a, _ := st.s.AudienceOf(p)
		if part := st.s.For(a); len(part.Asks) > 0 != sees {
			t.Errorf("%s sees %d asks", a.Role, len(part.Asks))
		}
	}
	third := AskID(id(72))
	st.must(ada, clock("18:00"), "overtime.ask", overtimeAsk{third, day1, clock("23:00"), nil, "", 0})
	st.must(ada, clock("18:01"), "overtime.unask", overtimeUnask{third})
	st.must(ada, clock("18:01"), "overtime.unask", overtimeUnask{third})
	st.refused(CodeSettled, cust, clock("18:02"), "overtime.answer", overtimeAnswer{third, 1, true, ""})
	if !slices.Equal(st.s.Limits(day1), both) {
		t.Error("an ask that was taken back allows something")
	}
}

func TestSignOffRefusals(t *testing.T) {
	st := newStage(t)
	st.punched(crew, "08:00", "18:00")
	st.share(true, "07:00", crew)
	one := []Stamp{{MarkIn, clock("08:00")}}
	many := make([]Stamp, 101)
	amount := money.Of(100, "EUR")
	below := money.Of(-100, "EUR")
	nowhere := money.Amount{Minor: 1, Currency: "euro"}
	asked, other := AskID(id(70)), AskID(id(71))
	st.must(ada, clock("16:00"), "overtime.ask", overtimeAsk{asked, day1, clock("20:00"), &amount, "", 0})
	for i, c := range []struct {
		code Code
		who  PersonID
		name string
		args any
	}{
		{CodeUnknownThing, crew, "hours.sign", hoursSign{"x", one}},
		{CodeBadArgs, crew, "hours.sign", hoursSign{day1, nil}},
		{CodeBadArgs, crew, "hours.sign", hoursSign{day1, many}},
		{CodeBadArgs, crew, "hours.sign", hoursSign{day1, []Stamp{{"nap", 5}}}},
		{CodeNotAllowed, Desk, "hours.sign", hoursSign{day1, one}},
		{CodeBadArgs, crew, "hours.dispute", hoursDispute{day1, one, " "}},
		{CodeUnknownThing, crew, "hours.dispute", hoursDispute{"x", one, "No."}},
		{CodeUnknownThing, crew, "punch.undo", punchUndo{"x", crew, one[0]}},
		{CodeUnknownThing, crew, "punch.undo", punchUndo{day1, "x", one[0]}},
		{CodeNotAllowed, crew, "punch.undo", punchUndo{day1, cam, one[0]}},
		{CodeBadArgs, crew, "punch.undo", punchUndo{day1, crew, Stamp{"nap", 5}}},
		{CodeUnknownThing, ada, "pay.share", payShare{"x", []PersonID{crew}, true}},
		{CodeUnknownThing, ada, "pay.share", payShare{day1, nil, true}},
		{CodeUnknownThing, ada, "pay.share", payShare{day1, []PersonID{"x"}, true}},
		{CodeNotAllowed, art, "pay.share", payShare{day1, []PersonID{crew}, true}},
		{CodeNotAllowed, cam, "pay.sign", paySign{day1, 1, amount}},
		{CodeUnknownThing, crew, "pay.sign", paySign{"x", 1, amount}},
		{CodeBadArgs, crew, "pay.sign", paySign{day1, 0, amount}},
		{CodeBadArgs, crew, "pay.sign", paySign{day1, 1, nowhere}},
		{CodeNotAllowed, cam, "pay.dispute", payDispute{day1, 1, "No."}},
		{CodeBadArgs, crew, "pay.dispute", payDispute{day1, 1, ""}},
		{CodeUnknownThing, ada, "pay.settle", paySettle{day1, cam, "Yes."}},
		{CodeUnknownThing, ada, "pay.settle", paySettle{day1, crew, "Yes."}},
		{CodeNotAllowed, crew, "pay.settle", paySettle{day1, crew, "Yes."}},
		{CodeUnknownThing, ada, "overtime.ask", overtimeAsk{other, "x", clock("20:00"), nil, "", 0}},
		{CodeBadArgs, ada, "overtime.ask", overtimeAsk{"x", day1, clock("20:00"), nil, "", 0}},
		{CodeBadArgs, ada, "overtime.ask", overtimeAsk{other, day1, clock("00:00"), nil, "", 0}},
		{CodeBadArgs, ada, "overtime.ask", overtimeAsk{other, day1, clock("20:00") + 99*when.Hour, nil, "", 0}},
		{CodeBadArgs, ada, "overtime.ask", overtimeAsk{other, day1, clock("20:00"), &below, "", 0}},
		{CodeBadArgs, ada, "overtime.ask", overtimeAsk{other, day1, clock("20:00"), &nowhere, "", 0}},
		{CodeNotAllowed, art, "overtime.ask", overtimeAsk{other, day1, clock("20:00"), &amount, "", 0}},
		{CodeNotAllowed, art, "overtime.ask", overtimeAsk{asked, day1, clock("21:00"), nil, "", 1}},
		{CodeWrongProgress, art, "overtime.ask", overtimeAsk{other, day1, clock("21:00"), nil, "", 0}},
		{CodeStale, ada, "overtime.ask", overtimeAsk{asked, day1, clock("21:00"), nil, "", 0}},
		{CodeNotAllowed, crew, "overtime.ask", overtimeAsk{other, day1, clock("21:00"), nil, "", 0}},
		{CodeUnknownThing, cust, "overtime.answer", overtimeAnswer{other, 1, true, ""}},
		{CodeNotAllowed, ada, "overtime.answer", overtimeAnswer{asked, 1, true, ""}},
		{CodeNotAllowed, art, "overtime.answer", overtimeAnswer{asked, 1, true, ""}},
		{CodeStale, cust, "overtime.answer", overtimeAnswer{asked, 2, true, ""}},
		{CodeUnknownThing, ada, "overtime.unask", overtimeUnask{other}},
		{CodeNotAllowed, art, "overtime.unask", overtimeUnask{asked}},
		{CodeNotAllowed, cust, "overtime.unask", overtimeUnask{asked}},
	} {
		before := len(st.log)
		st.refused(c.code, c.who, clock("18:30"), c.name, c.args)
		if len(st.log) != before {
			t.Errorf("row %d left something", i)
		}
	}
	// A phone without the money plane leaves it to the desk.
	a, _ := st.s.AudienceOf(ada)
	st.s = st.s.For(a)
	st.s.Money = nil
	st.refused(CodeNotKnownHere, ada, clock("18:40"), "pay.share", payShare{day1, []PersonID{crew}, false})
	st.refused(CodeNotKnownHere, ada, clock("18:40"), "pay.settle", paySettle{day1, crew, "Yes."})
}
