package shoot

import (
	"testing"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/when"
)

// onTerms gives the photographer terms with all that days off and other days need.
func onTerms(st *stage, change func(*overtime.Terms)) overtime.Terms {
	half, whole := money.Ratio{Num: 1, Den: 2}, money.Whole(1)
	t := overtime.Terms{Basis: overtime.Day, Rate: money.Of(90000, "EUR"), Included: 600,
		Cancel:   []overtime.Notice{{Within: 24 * 60, Share: whole}, {Within: 72 * 60, Share: half}},
		Postpone: []overtime.Notice{{Within: 24 * 60, Share: half}},
		Other:    []overtime.OtherDay{{Kind: "prep", Share: money.Ratio{Num: 3, Den: 4}, Worked: true}, {Kind: "travel", Share: half}}}
	if change != nil {
		change(&t)
	}
	st.must(Desk, clock("05:00"), "terms.set", termsSet{Person: cam, Terms: t, Base: st.s.Money.Terms[cam].Version})
	return t
}

// moreDays puts the days after the first on the calendar, with the photographer called.
func moreDays(st *stage, n int) (out []Day) {
	out = append(out, st.s.Floor.Days[day1])
	for i := 1; i <= n; i++ {
		day := DayID(id(60 + i))
		st.must(Desk, clock("05:00"), "day.set", daySet{ID: day, Name: "Day", Date: testDate.Add(i), Zone: testZone})
		st.must(Desk, clock("05:00"), "sheet.set", sheetSet{Day: day, SheetText: SheetText{Place: Place{Name: "The Mill"}, GeneralCall: 8 * 60, PlannedWrap: 18 * 60}})
		c := when.Clock(8 * 60)
		st.must(Desk, clock("05:00"), "call.set", callSet{Day: day, Person: cam, Call: &c})
		st.must(Desk, clock("05:00"), "sheet.publish", sheetPublish{Day: day, Number: 1})
		out = append(out, st.s.Floor.Days[day])
	}
	return out
}

// The kind of a day is everybody's unless a person has one of their own, and it
// reaches their pay.
func TestKindOfADay(t *testing.T) {
	st := newStage(t)
	terms := onTerms(st, nil)
	pay := func() int64 {
		h := st.s.Clocked(st.s.Floor.Days[day1], cam, terms, clock("18:00")).Wrapped(clock("18:00"))
		slip, err := overtime.Pay(terms, h)
		if err != nil {
			t.Fatal(err)
		}
		return slip.Total.Minor
	}
	for _, c := range []struct {
		person PersonID
		kind   string
		want   int64
	}{
		{"", "shoot", 90000}, {"", "travel", 45000}, {cam, "prep", 67500}, {cam, "shoot", 90000}, {cam, "", 45000}, {crew, "prep", 45000}, {"", "", 90000}, {"", "scouting", 90000},
	} {
		st.must(ada, clock("06:00"), "day.kind", dayKind{day1, c.person, c.kind})
		if got := pay(); got != c.want {
			t.Errorf("%+v: %d", c, got)
		}
	}
}

// A day that does not count as worked is no day in the row, no hours of the week and
// no rest; it is one of the agreed days all the same.
func TestDaysThatAreNotWorked(t *testing.T) {
	st := newStage(t)
	days := moreDays(st, 2)
	terms := onTerms(st, func(o *overtime.Terms) {
		o.Week = []overtime.Band{{After: 40 * 60, Times: money.Ratio{Num: 3, Den: 2}}}
		o.Days, o.Turnaround = 3, overtime.Turnaround{Rest: 660, Times: money.Whole(2)}
	})
	before := func() overtime.Before {
		return st.s.Clocked(days[2], cam, terms, clock("06:00")).Before
	}
	worked := before()
	if worked.Run != 3 || worked.Week != 2*(10*60-45)+45 || worked.Day != 3 || worked.Out != clock("18:00")+24*when.Hour {
		t.Fatalf("%+v", worked)
	}
	st.must(ada, clock("05:01"), "day.kind", dayKind{days[1].ID, "", "travel"})
	if b := before(); b.Run != 1 || b.Week != 555 || b.Day != 3 || b.Out != clock("18:00") {
		t.Errorf("%+v", b)
	}
	if next := st.s.NextCall(days[0], cam); next != clock("08:00")+48*when.Hour {
		t.Errorf("the next call is %d: no rest is owed before a day that does not count", next)
	}
	st.must(ada, clock("05:02"), "day.kind", dayKind{days[1].ID, "", "prep"})
	if next := st.s.NextCall(days[0], cam); next != clock("08:00")+24*when.Hour {
		t.Errorf("the next call is %d", next)
	}
	if b := before(); b != worked {
		t.Errorf("%+v", b)
	}
}

// A day that does not count as worked is shown without a sign-out: it is the fee.
func TestPayOfADayThatIsNotWorked(t *testing.T) {
	st := newStage(t)
	onTerms(st, nil)
	st.must(ada, clock("05:00"), "pay.share", payShare{Day: day1, People: []PersonID{cam}, On: true})
	key := KeyOf(day1, cam)
	if st.s.Pay[key].Slip != nil {
		t.Error("a shoot day is shown before it was worked")
	}
	st.must(ada, clock("05:01"), "day.kind", dayKind{day1, "", "travel"})
	if slip := st.s.Pay[key].Slip; slip == nil || slip.Total.Minor != 45000 || slip.Worked != 0 {
		t.Errorf("%+v", slip)
	}
	st.must(ada, clock("05:02"), "day.kind", dayKind{day1, cam, "prep"})
	if slip := st.s.Pay[key].Slip; slip != nil {
		t.Errorf("a prep day is worked: %+v", slip)
	}
}

// Who is called off is paid by the notice, is nowhere in the days before and after,
// and is paid by their hours if they come all the same.
func TestCalledOff(t *testing.T) {
	st := newStage(t)
	days := moreDays(st, 2)
	terms := onTerms(st, func(o *overtime.Terms) { o.Turnaround = overtime.Turnaround{Rest: 660, Times: money.Whole(2)} })
	second := days[1].ID
	st.must(ada, clock("05:00"), "pay.share", payShare{Day: second, People: []PersonID{cam}, On: true})
	for _, c := range []struct {
		how  string
		told when.Instant
		want int64
	}{{Cancelled, clock("08:01"), 90000}, {Cancelled, clock("08:00"), 90000}, {Cancelled, clock("07:59"), 45000}, {Postponed, clock("08:00"), 45000}, {Postponed, clock("07:59"), 0}} {
		st.must(ada, clock("09:00"), "day.off", dayOff{second, []string{string(cam)}, c.how, c.told})
		off, is := st.s.OffOn(second, string(cam))
		slip, err := st.s.OffPay(second, string(cam), terms, off)
		if !is || err != nil || slip.Total.Minor != c.want {
			t.Errorf("%+v: %v %v %v", c, is, slip.Total, err)
		}
		if got := st.s.Pay[KeyOf(second, cam)].Slip; got == nil || got.Total.Minor != c.want {
			t.Errorf("%+v: they see %+v", c, got)
		}
	}
	if next, want := st.s.NextCall(days[0], cam), clock("08:00")+48*when.Hour; next != want {
		t.Errorf("the next call is %d, want %d", next, want)
	}
	if b := st.s.Clocked(days[2], cam, terms, clock("06:00")).Before; b.Run != 1 || b.Out != clock("18:00") {
		t.Errorf("%+v", b)
	}
	if all := st.s.Elsewhere(days[0], cam, terms, clock("06:00")); len(all) != 1 || all[0].Day.ID != days[2].ID {
		t.Errorf("%+v", all)
	}
	// Off the sheet since: the call they had still counts.
	st.must(ada, clock("09:01"), "call.set", callSet{Day: second, Person: cam, Was: callAt(8 * 60)})
	st.must(ada, clock("09:01"), "call.set", callSet{Day: second, Person: crew, Call: callAt(8 * 60)})
	st.must(ada, clock("09:02"), "sheet.publish", sheetPublish{Day: second, Number: 2})
	st.must(ada, clock("09:03"), "day.off", dayOff{second, []string{string(cam)}, Cancelled, clock("08:30")})
	if off, is := st.s.OffOn(second, string(cam)); !is || off.Call != clock("08:00")+24*when.Hour {
		t.Errorf("%+v", off)
	}
	st.must(cam, clock("08:00")+24*when.Hour, "punch", punch{Day: second, People: []PersonID{cam}, Kind: MarkIn})
	if _, is := st.s.OffOn(second, string(cam)); is {
		t.Error("called off and signed in")
	}
	st.must(ada, clock("09:00")+24*when.Hour, "day.off", dayOff{second, []string{string(cam)}, StandsNow, 0})
	if len(st.s.Money.Off) != 0 {
		t.Error(st.s.Money.Off)
	}
}

func callAt(c when.Clock) *when.Clock { return &c }

// A hire is called off by when its hours start, with nothing to be signed in to.
func TestHireCalledOff(t *testing.T) {
	st := newStage(t)
	hall := HireID(id(71))
	st.must(ada, clock("05:00"), "hire.set", hireSet{ID: hall, Day: day1, Name: "The hall", From: 7 * 60, Terms: overtime.Terms{Basis: overtime.Hire, Rate: money.Of(50000, "EUR"), Included: 600,
		Cancel: []overtime.Notice{{Within: 60, Share: money.Ratio{Num: 1, Den: 2}}}}})
	st.must(ada, clock("06:30"), "day.off", dayOff{day1, []string{string(hall), string(cam), string(hall)}, Cancelled, clock("06:30")})
	off, is := st.s.OffOn(day1, string(hall))
	slip, err := st.s.OffPay(day1, string(hall), st.s.Money.Hires[hall].Terms, off)
	if !is || err != nil || slip.Total.Minor != 25000 || off.Call != clock("07:00") {
		t.Errorf("%v %+v %v %v", is, off, slip.Total, err)
	}
	if _, is := st.s.OffOn(day1, string(cam)); !is {
		t.Error("the photographer is not called off")
	}
}

func TestPayDaysRefused(t *testing.T) {
	st := newStage(t)
	st.must(crew, clock("08:00"), "punch", punch{Day: day1, People: []PersonID{crew}, Kind: MarkIn})
	told := clock("08:30")
	for name, c := range map[string]struct {
		who  PersonID
		of   string
		args any
		want Code
	}{
		"no such day":          {ada, "day.kind", dayKind{DayID(id(99)), "", "prep"}, CodeUnknownThing},
		"no such person":       {ada, "day.kind", dayKind{day1, PersonID(id(99)), "prep"}, CodeUnknownThing},
		"kind too long":        {ada, "day.kind", dayKind{day1, "", "a kind of day that goes on and on and on and on"}, CodeBadArgs},
		"kind by others":       {art, "day.kind", dayKind{day1, "", "prep"}, CodeNotAllowed},
		"off by others":        {art, "day.off", dayOff{day1, []string{string(cam)}, Cancelled, told}, CodeNotAllowed},
		"off an unknown day":   {ada, "day.off", dayOff{DayID(id(99)), []string{string(cam)}, Cancelled, told}, CodeUnknownThing},
		"nobody":               {ada, "day.off", dayOff{day1, nil, Cancelled, told}, CodeBadArgs},
		"a stranger":           {ada, "day.off", dayOff{day1, []string{id(99)}, Cancelled, told}, CodeUnknownThing},
		"how":                  {ada, "day.off", dayOff{day1, []string{string(cam)}, "moved", told}, CodeBadArgs},
		"not told":             {ada, "day.off", dayOff{day1, []string{string(cam)}, Cancelled, 0}, CodeBadArgs},
		"told tomorrow":        {ada, "day.off", dayOff{day1, []string{string(cam)}, Cancelled, told + 24*when.Hour}, CodeBadArgs},
		"signed in":            {ada, "day.off", dayOff{day1, []string{string(crew)}, Cancelled, told}, CodeWrongProgress},
		"not called":           {ada, "day.off", dayOff{day1, []string{string(cook)}, Cancelled, told}, CodeWrongProgress},
		"one of two is unwell": {ada, "day.off", dayOff{day1, []string{string(cam), string(cook)}, Cancelled, told}, CodeWrongProgress},
	} {
		t.Run(name, func(t *testing.T) { st.refused(c.want, c.who, clock("09:00"), c.of, c.args) })
	}
	if len(st.s.Money.Off)+len(st.s.Money.Kinds) != 0 {
		t.Error("something was kept")
	}
}
