package shoot

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"fairday/domain/catering"
	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/when"
)

func TestPunches(t *testing.T) {
	st := newStage(t)
	one := func(k MarkKind, p ...PersonID) punch { return punch{Day: day1, People: p, Kind: k} }
	st.must(crew, clock("07:58"), "punch", one(MarkIn, crew))
	st.must(crew, clock("07:58")+20*when.Second, "punch", one(MarkIn, crew)) // a second tap says nothing new
	st.refused(CodeNotAllowed, crew, clock("08:00"), "punch", one(MarkIn, cam))
	st.must(art, clock("08:05"), "punch", one(MarkIn, crew, cam, prop)) // crew is in already and is passed over
	if n := len(st.s.Floor.Hours[KeyOf(day1, crew)].Marks); n != 1 {
		t.Fatalf("%d marks", n)
	}
	st.must(ada, clock("13:00"), "punch", one(MarkMealOut, crew, cam, prop))
	st.must(ada, clock("13:40"), "punch", one(MarkMealIn, crew, cam, prop))
	if got := st.s.Floor.Hours[KeyOf(day1, cam)].Presence(); got != OnClock {
		t.Error(got)
	}
	st.must(ada, clock("18:10"), "punch", punch{Day: day1, People: []PersonID{cam}, Kind: MarkOut, At: clock("18:00")})
	h := st.s.Floor.Hours[KeyOf(day1, cam)]
	if s := h.Stretches(); len(s) != 1 || s[0] != (Span{clock("08:05"), clock("18:00")}) {
		t.Errorf("%+v", s)
	}
	if m := h.Meals(); len(m) != 1 || m[0] != (Span{clock("13:00"), clock("13:40")}) {
		t.Errorf("%+v", m)
	}
	st.refused(CodeBadArgs, ada, clock("18:10"), "punch", punch{Day: day1, People: []PersonID{cam}, Kind: MarkIn, At: clock("20:00")})
}

func TestPunchesThatContradictAreQueried(t *testing.T) {
	st := newStage(t)
	st.must(crew, clock("08:00"), "punch", punch{Day: day1, People: []PersonID{crew}, Kind: MarkIn})
	st.must(crew, clock("18:00"), "punch", punch{Day: day1, People: []PersonID{crew}, Kind: MarkOut})
	st.flagged(FlagQueried, ada, clock("18:30"), "punch", punch{Day: day1, People: []PersonID{crew}, Kind: MarkOut, At: clock("18:25")})
	if marks := st.s.Floor.Hours[KeyOf(day1, crew)].Marks; marks[1].At != clock("18:00") {
		t.Error("hours must stay until the query is settled")
	}
	var q Query
	for _, q = range st.s.Floor.Queries {
	}
	if q.Standing == nil || q.Standing.At != clock("18:00") || q.Claim.At != clock("18:25") {
		t.Fatalf("%+v", q)
	}
	st.must(ada, clock("18:40"), "query.settle", querySettle{Query: q.ID, Ruling: Keep})
	if marks := st.s.Floor.Hours[KeyOf(day1, crew)].Marks; len(marks) != 2 || marks[1].At != clock("18:25") {
		t.Errorf("%+v", marks)
	}
	// Out without in cannot be kept until the hours add up.
	st.flagged(FlagQueried, prop, clock("18:00"), "punch", punch{Day: day1, People: []PersonID{prop}, Kind: MarkOut})
	for _, q := range st.s.Floor.Queries {
		if q.Person == prop {
			st.refused(CodeWrongProgress, ada, clock("18:45"), "query.settle", querySettle{Query: q.ID, Ruling: Keep})
			st.must(ada, clock("18:46"), "punch", punch{Day: day1, People: []PersonID{prop}, Kind: MarkIn, At: clock("08:00")})
			st.must(ada, clock("18:47"), "query.settle", querySettle{Query: q.ID, Ruling: Keep})
		}
	}
	if s := st.s.Floor.Hours[KeyOf(day1, prop)].Stretches(); len(s) != 1 || s[0].To != clock("18:00") {
		t.Errorf("%+v", s)
	}
}

func TestSheetsArePublishedAndTellWhatChanged(t *testing.T) {
	st := newStage(t)
	st.refused(CodeNothingToDo, ada, clock("06:00"), "sheet.publish", sheetPublish{day1, 2})
	eight, nine := when.Clock(8*60), when.Clock(9*60)
	st.must(art, clock("06:01"), "call.set", callSet{day1, crew, &nine, &eight})
	r := st.refused(CodeStale, ada, clock("06:02"), "call.set", callSet{day1, crew, nil, &eight})
	if r.Yours != "not called" || r.Theirs != "09:00" {
		t.Errorf("%+v", r)
	}
	st.must(ada, clock("06:03"), "sheet.set", sheetSet{Day: day1, Base: 1, SheetText: SheetText{Place: Place{Name: "The Barn"}, GeneralCall: 8 * 60, PlannedWrap: 18 * 60}})
	st.refused(CodeStale, ada, clock("06:04"), "sheet.publish", sheetPublish{day1, 1})
	st.must(ada, clock("06:05"), "sheet.publish", sheetPublish{day1, 2})
	sheet, _ := st.s.SheetNow(day1)
	if got := mustJSON(t, sheet.Changes[crew]); got != `[{"what":"Your call","from":"08:00","to":"09:00"},{"what":"Place","from":"The Mill","to":"The Barn"}]` {
		t.Error(got)
	}
	if got := mustJSON(t, sheet.Changes[cam]); got != `[{"what":"Place","from":"The Mill","to":"The Barn"}]` {
		t.Error(got)
	}
	st.must(crew, clock("06:10"), "sheet.seen", sheetSeen{day1, 2})
	st.must(crew, clock("06:20"), "sheet.seen", sheetSeen{day1, 2})
	if at := st.s.Floor.Acks[AckOf(SheetOf(day1, 2), crew)]; at != clock("06:10") {
		t.Error("the first time counts")
	}
	if _, old := st.s.Floor.Sheets[SheetOf(day1, 1)]; !old {
		t.Error("earlier versions are kept")
	}
}

func TestCoversFollowTheDay(t *testing.T) {
	st := newStage(t)
	covers := func() catering.Covers { return st.s.Kitchen.Covers[lunch].Covers }
	// Seven are called, two plates are the margin; the caterer is not called.
	if c := covers(); c.Total != 9 || c.People != 7 || c.ByDiet[0].Plates+c.ByDiet[1].Plates != 9 {
		t.Fatalf("%+v", c)
	}
	st.must(ada, clock("08:00"), "diet.set", dietSet{cam, Diet{Kinds: []catering.Diet{"vegetarian"}, Allergens: []catering.Allergen{"peanuts"}}})
	st.gather(clock("08:15")) // nobody is alone in a count that only a diet changes
	if covers().Without("peanuts") != 1 {
		t.Errorf("%+v", covers())
	}
	st.must(cust, clock("09:00"), "meal.guests", mealGuests{lunch, 2})
	st.must(crew, clock("08:00"), "punch", punch{Day: day1, People: []PersonID{crew}, Kind: MarkIn})
	st.must(crew, clock("12:00"), "punch", punch{Day: day1, People: []PersonID{crew}, Kind: MarkOut})
	st.gather(clock("12:15"))
	if c := covers(); c.People != 6 || c.Guests != 2 || c.Total != 10 {
		t.Errorf("%+v", c)
	}
	st.refused(CodeNotAllowed, crew, clock("12:05"), "meal.count", mealCount{lunch})
	st.must(cook, clock("12:10"), "meal.count", mealCount{lunch})
	st.flagged(FlagLate, art, clock("12:20"), "meal.guests", mealGuests{lunch, -1})
	if k := st.s.Kitchen; k.Locked[lunch].Total != 10 || k.Covers[lunch].Total != 9 || !k.Covers[lunch].Late {
		t.Errorf("%+v", k)
	}
	st.refused(CodeNotServing, cook, clock("12:50"), "meal.end", mealEnd{lunch})
	st.must(cook, clock("13:00"), "meal.start", mealStart{lunch})
	if rows := st.s.Kitchen.Lists[lunch].Rows; len(rows) != 6 {
		t.Errorf("%+v", rows)
	}
	st.must(cam, clock("13:05"), "diet.set", dietSet{cam, Diet{Kinds: []catering.Diet{"vegan"}, Allergens: []catering.Allergen{"peanuts"}}})
	if got := mustJSON(t, st.s.Kitchen.Lists[lunch]); !strings.Contains(got, "vegan") {
		t.Error("the open list follows a change")
	}
	st.must(cook, clock("13:10"), "meal.serve", mealServe{lunch, 9})
	st.must(cook, clock("13:40"), "meal.end", mealEnd{lunch})
	if len(st.s.Kitchen.Lists) != 0 {
		t.Error("names go when the meal is over")
	}
}

func TestMoney(t *testing.T) {
	st := newStage(t)
	st.must(ada, clock("17:00"), "overtime.approve", overtimeApprove{ID: ApprovalID(id(61)), Day: day1, Until: clock("20:00"), Amount: money.Of(50000, "EUR")})
	if got := st.s.Limits(day1); !slices.Equal(got, []Limit{{clock("20:00"), money.Of(50000, "EUR")}}) {
		t.Error(got)
	}
	// Another currency and another time are limits of their own, whatever is more.
	st.must(ada, clock("17:00"), "overtime.approve", overtimeApprove{ID: ApprovalID(id(63)), Day: day1, Until: clock("19:00"), Amount: money.Of(60000, "GBP")})
	st.must(ada, clock("17:00"), "overtime.approve", overtimeApprove{ID: ApprovalID(id(64)), Day: day1, Until: clock("21:00"), Amount: money.Of(100, "EUR")})
	if got := st.s.Limits(day1); !slices.Equal(got, []Limit{{clock("19:00"), money.Of(60000, "GBP")}, {clock("20:00"), money.Of(50000, "EUR")}, {clock("21:00"), money.Of(100, "EUR")}}) {
		t.Error(got)
	}
	st.must(ada, clock("17:00"), "hire.set", hireSet{ID: HireID(id(62)), Day: day1, Name: "The Mill", From: 7 * 60,
		Terms: overtime.Terms{Basis: overtime.Hire, Rate: money.Of(120000, "EUR"), Included: 720}})
	r := st.refused(CodeStale, ada, clock("17:00"), "terms.set", termsSet{Person: cam, Terms: overtime.Terms{Basis: overtime.AllIn, Rate: money.Of(100, "EUR")}})
	if !strings.Contains(r.Yours, "all-in") || !strings.Contains(r.Theirs, "day") {
		t.Errorf("%+v", r)
	}
}

// Every refusal of a malformed or forbidden intent, with its code.
func TestRefusals(t *testing.T) {
	at := clock("10:00")
	raw := func(s string) json.RawMessage { return json.RawMessage(s) }
	for _, tt := range []struct {
		name string
		who  PersonID
		args any
		code Code
	}{
		{"shot.polish", art, raw(`{}`), CodeUnknownIntent},
		{"shot.open", art, raw(`{"shot":"x","by":"y"}`), CodeBadArgs},
		{"shot.open", art, raw(`{"shot":7}`), CodeBadArgs},
		{"shot.open", art, raw(`{"shot":"x"} {}`), CodeBadArgs},
		{"shot.open", art, raw(``), CodeBadArgs},
		{"shot.open", art, raw(`{"shot":"` + strings.Repeat("x", MaxArgs) + `"}`), CodeBadArgs},
		{"shot.open", art, raw("{\"shot\":\"\xff\"}"), CodeBadArgs},
		{"shot.open", art, shotOpen{"nothing"}, CodeUnknownThing},
		{"shot.open", crew, shotOpen{shotFree}, CodeNotAllowed},
		{"shot.open", PersonID(id(99)), shotOpen{shotFree}, CodeNotAllowed},
		{"shot.capture", cook, shotCapture{Shot: shotFree}, CodeNotAllowed},
		{"shot.capture", cam, shotCapture{Shot: "nothing"}, CodeUnknownThing},
		{"shot.capture", cam, shotCapture{Shot: shotFree, Frames: strings.Repeat("1", 201)}, CodeBadArgs},
		{"shot.capture", cam, shotCapture{Shot: shotFree, Frames: "12\u202e43"}, CodeBadArgs},
		{"shot.capture", cam, shotCapture{Shot: shotFree, Frames: "12\u2067"}, CodeBadArgs},
		{"shot.capture", cam, shotCapture{Shot: shotFree, Frames: "\u200f12"}, CodeBadArgs},
		{"shot.frames", cam, shotFrames{shotFree, "a\x00b"}, CodeBadArgs},
		{"shot.approve", cust, shotApprove{shotFree}, CodeWrongProgress},
		{"shot.fallback", art, shotFallback{shotFree, true}, CodeNothingToDo},
		{"shot.order", art, shotOrder{day1, []ShotID{shotFree, shotFree}, 0}, CodeBadArgs},
		{"shot.order", art, shotOrder{day1, []ShotID{shotFree}, 4}, CodeStale},
		{"shot.set", art, shotSet{ShotPlan: ShotPlan{ID: "7", Day: day1, Number: "4", Title: "T", Setup: table, Minutes: 5, Priority: Must}}, CodeBadArgs},
		{"shot.set", art, shotSet{ShotPlan: ShotPlan{ID: shotFree, Day: day1, Number: "3", Title: "T", Setup: table, Minutes: 5, Priority: Must}}, CodeStale},
		{"shot.set", art, shotSet{ShotPlan: ShotPlan{ID: ShotID(id(44)), Day: day1, Number: "4", Title: "T", Setup: table, Minutes: 5, Priority: "soon"}}, CodeBadArgs},
		{"shot.set", art, shotSet{ShotPlan: ShotPlan{ID: ShotID(id(44)), Day: day1, Number: "4", Title: "T", Setup: "none", Minutes: 5, Priority: Must}}, CodeUnknownThing},
		{"hero.set", art, heroSet{HeroPlan: HeroPlan{ID: HeroID(id(33)), Name: "Cup", Needs: 1}}, CodeBadArgs},
		{"hero.set", art, heroSet{HeroPlan: HeroPlan{ID: HeroID(id(33)), Name: "Cup", Plate: Plate{Size: "M"}, Needs: 3}}, CodeBadArgs},
		{"hero.set", art, heroSet{HeroPlan: HeroPlan{ID: HeroID(id(33)), Name: "Cup", Plate: Plate{Size: "M"}, Needs: 1, HoldMinutes: 5}}, CodeBadArgs},
		{"hero.refuse", prop, heroRefuse{Hero: lamp}, CodeNotAllowed},
		{"punch", crew, punch{Day: day1, People: nil, Kind: MarkIn}, CodeUnknownThing},
		{"punch", crew, punch{Day: day1, People: []PersonID{crew}, Kind: "nap"}, CodeBadArgs},
		{"punch", crew, punch{Day: "none", People: []PersonID{crew}, Kind: MarkIn}, CodeUnknownThing},
		{"diet.set", crew, dietSet{Person: crew, Diet: Diet{Kinds: []catering.Diet{"stones"}}}, CodeBadArgs},
		{"diet.set", crew, dietSet{Person: crew, Diet: Diet{Kinds: []catering.Diet{"vegan"}, Allergens: []catering.Allergen{"milk", "milk"}}}, CodeBadArgs},
		{"diet.set", crew, dietSet{Person: cam, Diet: Diet{Kinds: []catering.Diet{"vegan"}}}, CodeNotAllowed},
		{"meal.guests", cust, mealGuests{lunch, 1000}, CodeBadArgs},
		{"meal.serve", cook, mealServe{"none", 1}, CodeUnknownThing},
		{"sheet.seen", crew, sheetSeen{day1, 9}, CodeUnknownThing},
		{"sheet.set", crew, sheetSet{Day: day1}, CodeNotAllowed},
		{"sheet.set", ada, sheetSet{Day: day1, Base: 1, SheetText: SheetText{Place: Place{Name: "X"}, GeneralCall: 600, PlannedWrap: 500}}, CodeBadArgs},
		{"day.set", ada, daySet{ID: day1, Name: "Day 1", Date: "2026-11-26", Zone: testZone, Base: 1}, CodeLocked},
		{"day.set", ada, daySet{ID: DayID(id(2)), Name: "Day 2", Date: "2026-02-30", Zone: testZone}, CodeBadArgs},
		{"day.set", ada, daySet{ID: DayID(id(2)), Name: "Day 2", Date: "2026-11-26", Zone: "Moon/Crater"}, CodeBadArgs},
		{"person.set", ada, personSet{ID: ada, Name: "A", Role: Crew, Base: 1}, CodeNotAllowed},
		{"person.set", ada, personSet{ID: crew, Name: "A", Role: "astronaut", Base: 1}, CodeBadArgs},
		{"person.access", ada, personAccess{Person: ada, Revoked: true}, CodeNotAllowed},
		{"terms.set", art, termsSet{Person: cam}, CodeNotAllowed},
		{"terms.set", ada, termsSet{Person: crew}, CodeBadArgs},
		{"currency.set", ada, currencySet{"shells"}, CodeBadArgs},
		{"overtime.approve", ada, overtimeApprove{ID: ApprovalID(id(61)), Day: day1, Until: 1, Amount: money.Of(-1, "EUR")}, CodeBadArgs},
		{"query.settle", art, querySettle{Query: "none", Ruling: Keep}, CodeUnknownThing},
	} {
		t.Run(tt.name+"/"+string(tt.code), func(t *testing.T) {
			st := newStage(t)
			before := mustJSON(t, st.s)
			st.refused(tt.code, tt.who, at, tt.name, tt.args)
			if mustJSON(t, st.s) != before {
				t.Error("a refusal must change nothing")
			}
		})
	}
}

func TestRevokedPersonMayDoNothing(t *testing.T) {
	st := newStage(t)
	st.must(ada, clock("09:00"), "person.access", personAccess{Person: cam, Revoked: true})
	st.refused(CodeNotAllowed, cam, clock("09:01"), "shot.capture", shotCapture{Shot: shotFree})
	if _, ok := st.s.AudienceOf(cam); ok {
		t.Error("who is revoked sees nothing")
	}
	if st.s.Floor.People[cam].Epoch != 1 {
		t.Error("a withdrawal bumps the epoch")
	}
}

func TestShotGoesBackOnlyFromWhereThePersonSawIt(t *testing.T) {
	st := newStage(t)
	st.must(art, clock("09:00"), "shot.open", shotOpen{shotFree})
	st.must(cam, clock("09:01"), "shot.start", shotStart{shotFree})
	st.progress(Shooting, shotFree)
	st.must(cam, clock("09:10"), "shot.capture", shotCapture{Shot: shotFree})
	st.refused(CodeWrongProgress, art, clock("09:11"), "shot.cut", shotCut{shotFree})
	st.refused(CodeStale, art, clock("09:11"), "shot.reset", shotReset{shotFree, Open})
	st.must(cust, clock("09:12"), "shot.approve", shotApprove{shotFree})
	st.must(art, clock("09:13"), "shot.reset", shotReset{shotFree, Captured})
	st.progress(Planned, shotFree)
	if sh := st.s.Floor.Shots[shotFree]; sh.Approved != 0 || sh.Captured != 0 {
		t.Errorf("%+v", sh)
	}
	st.must(art, clock("09:14"), "shot.cut", shotCut{shotFree})
	st.progress(Cut, shotFree)
}

func TestTarget(t *testing.T) {
	for _, tt := range []struct{ name, args, want string }{
		{"shot.open", `{"shot":"a"}`, "shot:a"},
		{"shot.cut", `{"shot":"a"}`, "shot:a"},
		{"call.set", `{"day":"d","person":"p"}`, "call:d:p"},
		{"shoot.set", `{}`, "shoot"},
		{"punch", `{"day":"d"}`, ""},
		{"shot.open", `nonsense`, ""},
		{"nothing", `{}`, ""},
	} {
		if got := Target(tt.name, json.RawMessage(tt.args)); got != tt.want {
			t.Errorf("Target(%s) = %q, want %q", tt.name, got, tt.want)
		}
	}
}
