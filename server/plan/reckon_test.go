package plan

import (
	"cmp"
	"maps"
	"slices"
	"testing"

	"fairday/domain/catering"
	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/view"
	"fairday/domain/view/day"
	"fairday/domain/when"
)

// The demo's figures, worked out with a pencil. Day 1 wraps at 18:30; everybody
// signs in at their call. The terms are those of testdata/demo/shoot.yaml:
//
//	                  rate   hours  an hour      beyond the hours                  counted in
//	Ilmar     07:30  1180.00  12   1180/12       x1.5                              15 min
//	Dario     07:30   715.00  10   71.50         x1.5 = 107.25, after 12 h 143.00  15 min
//	Tamsin    07:30   460.00  10   46.00         x1.5 =  69.00, after 12 h  92.00  30 min
//	Kofi      07:30   as Tamsin
//	Jonah     07:30   as Tamsin
//	Oriel     07:00   680.00  10   68.00         x1.5 = 102.00                     30 min, up to 15 min not due
//	Bexley    08:00   as Oriel
//	Marisol   07:30   745.00  10   74.50         x1.5 = 111.75                     30 min
//	Celestyn  09:00   610.00  10   61.00         x1.5 =  91.50                     15 min; meals due every 6 h
//	Ansel     09:30   890.00   8  111.25         x1.5 = 166.875, after 10 h 222.50 30 min
//	Noor      14:00   as Ansel
//	Milo      07:00   240.00  10   24.00         x1.5 =  36.00                     1 min
//	Hattie    06:45   770.00  10   770/11=70.00  x1.5 = 105.00, after 12 h 140.00  15 min
//	the Works 06:30  1950.00  13  150.00         x1.5 = 225.00                     60 min
//
// Wrenna and Sunniva are all-in however long the day; Philippa and Gudrun have
// no terms; Rafe is not called. A started step counts whole. Each stretch that
// is paid alike is rounded to the cent once, half a cent up.

// floorDay is day 1 of the demo with what has happened on it.
type floorDay struct {
	t    testing.TB
	s    *shoot.State
	day  shoot.Day
	keys map[string]shoot.PersonID
	n    int
}

func openDay(t testing.TB) *floorDay {
	p := loadDemo(t, "2026-11-25")
	d := &floorDay{t: t, keys: map[string]shoot.PersonID{}}
	d.s, _ = replay(t, p)
	for _, who := range p.People {
		d.keys[who.Key] = who.ID
	}
	for _, day := range d.s.Floor.Days {
		if day.Date == "2026-11-25" {
			d.day = day
		}
	}
	return d
}

// at is a time on day 1.
func (d *floorDay) at(clock string) when.Instant {
	d.t.Helper()
	c, err := when.ParseClock(clock)
	if err != nil {
		d.t.Fatal(err)
	}
	at, err := d.day.Zone.At(d.day.Date, c)
	if err != nil {
		d.t.Fatal(err)
	}
	return at
}

// punch has the producer enter a punch for people.
func (d *floorDay) punch(kind shoot.MarkKind, at when.Instant, people ...shoot.PersonID) {
	d.t.Helper()
	d.do(d.keys["wren"], "punch", at, args{"day": d.day.ID, "people": people, "kind": kind})
}

func (d *floorDay) do(who shoot.PersonID, name string, at when.Instant, a args) {
	d.t.Helper()
	d.n++
	in := shoot.Intent{ID: shoot.IntentID(shoot.NewID(at, [10]byte{9: byte(d.n)})), Name: name, Version: shoot.Version(name), Actor: who, Happened: at, Received: at, Args: asJSON(d.t, a)}
	dec, err := shoot.Decide(d.s, in)
	if err != nil || dec.Flag != nil {
		d.t.Fatalf("%s: %v, %+v", name, err, dec.Flag)
	}
	for _, e := range dec.Events {
		shoot.Apply(d.s, e)
	}
}

// everybodyIn signs everybody in at their call.
func (d *floorDay) everybodyIn() {
	sheet, _ := d.s.SheetNow(d.day.ID)
	for _, id := range slices.Sorted(maps.Keys(sheet.Calls)) {
		d.punch(shoot.MarkIn, sheet.Calls[id].At, id)
	}
}

// lunch sends all who are in by 13:00 to lunch for 45 minutes.
func (d *floorDay) lunch() {
	sheet, _ := d.s.SheetNow(d.day.ID)
	var there []shoot.PersonID
	for _, id := range slices.Sorted(maps.Keys(sheet.Calls)) {
		if sheet.Calls[id].At < d.at("13:00") {
			there = append(there, id)
		}
	}
	d.punch(shoot.MarkMealOut, d.at("13:00"), there...)
	d.punch(shoot.MarkMealIn, d.at("13:45"), there...)
}

// engagements turns what the state holds into what overtime reckons with.
func (d *floorDay) engagements() []overtime.Engagement {
	sheet, _ := d.s.SheetNow(d.day.ID)
	var out []overtime.Engagement
	for _, id := range slices.Sorted(maps.Keys(d.s.Money.Terms)) {
		call, called := sheet.Calls[id]
		if !called {
			continue
		}
		h := d.s.Floor.Hours[shoot.KeyOf(d.day.ID, id)]
		hours := overtime.Hours{Call: call.At, In: h.First()}
		for _, m := range h.Meals() {
			hours.Meals = append(hours.Meals, overtime.Break(m))
		}
		if h.Presence() == shoot.Away {
			hours.Out = h.Stretches()[0].To
		}
		out = append(out, overtime.Engagement{Key: string(id), Label: d.s.Floor.People[id].Name, Terms: d.s.Money.Terms[id].Terms, Hours: hours})
	}
	for id, hire := range d.s.Money.Hires {
		if hire.Day == d.day.ID {
			out = append(out, overtime.Engagement{Key: string(id), Label: hire.Name, Terms: hire.Terms,
				Hours: overtime.Hours{Call: d.at(hire.From.String())}})
		}
	}
	slices.SortFunc(out, func(a, b overtime.Engagement) int { return cmp.Compare(a.Key, b.Key) })
	return out
}

// curve is the exposure of some engagements, in the shoot's one currency.
func (d *floorDay) curve(of []overtime.Engagement) overtime.Curve {
	d.t.Helper()
	curves, err := overtime.Expose(of, d.at("14:00"), d.at("23:00"))
	if err != nil || len(curves) != 1 || curves[0].Currency != "USD" {
		d.t.Fatalf("%v, %v", curves, err)
	}
	return curves[0]
}

func (d *floorDay) check(what string, c overtime.Curve, clock string, cents int64) {
	d.t.Helper()
	if got, want := c.At(d.at(clock)), money.Of(cents, "USD"); got != want {
		d.t.Errorf("%s at a wrap at %s: %s, want %s", what, clock, got, want)
	}
}

// Lunch from 13:00 to 13:45 is not worked. Worked time by the wrap, the part
// beyond the hours, what of it counts, and what that comes to:
func TestExposureByHand(t *testing.T) {
	d := openDay(t)
	d.everybodyIn()
	d.lunch()
	wraps := []string{"18:30", "19:00", "19:30", "20:30"} // as planned, +30, +60, +120 min
	byHand := []struct {
		name  string
		cents [4]int64
	}{
		{"Wrenna Castlemoor", [4]int64{0, 0, 0, 0}},
		{"Sunniva Okpello", [4]int64{0, 0, 0, 0}},
		// 18:30 10:15, 19:00 10:45, 19:30 11:15: all within 12 h.
		// 20:30 12:15: 15 min x 98.3333 x 1.5 = 36.875.
		{"Ilmar Tveskov", [4]int64{0, 0, 0, 3688}},
		// 18:30 10:15: 15 min x 107.25 = 26.8125. 19:00 10:45: 45 min = 80.4375.
		// 19:30 11:15: 75 min = 134.0625.
		// 20:30 12:15: 2 h x 107.25 = 214.50, 15 min x 143.00 = 35.75; 250.25.
		{"Dario Lindmarsh", [4]int64{2681, 8044, 13406, 25025}},
		// 18:30 10:15: 15 counts as 30 min x 69.00 = 34.50. 19:00 10:45: 45 as 60 = 69.00.
		// 19:30 11:15: 75 as 90 = 103.50.
		// 20:30 12:15: 135 as 150: 2 h x 69.00 = 138.00, 30 min x 92.00 = 46.00; 184.00.
		{"Tamsin Borrowdene", [4]int64{3450, 6900, 10350, 18400}},
		{"Kofi Hallgarth", [4]int64{3450, 6900, 10350, 18400}},
		{"Jonah Prewellin", [4]int64{3450, 6900, 10350, 18400}},
		// 18:30 10:45: 45 counts as 60 min x 102.00 = 102.00. 19:00 11:15: 75 as 90 = 153.00.
		// 19:30 11:45: 105 as 120 = 204.00. 20:30 12:45: 165 as 180 = 306.00.
		{"Oriel Vantorre", [4]int64{10200, 15300, 20400, 30600}},
		// 18:30 9:45. 19:00 10:15: 15 min are not due. 19:30 10:45: 45 as 60 = 102.00.
		// 20:30 11:45: 105 as 120 = 204.00.
		{"Bexley Amundrow", [4]int64{0, 0, 10200, 20400}},
		// 18:30 10:15: 15 as 30 min x 111.75 = 55.875. 19:00 10:45: 45 as 60 = 111.75.
		// 19:30 11:15: 75 as 90 = 167.625. 20:30 12:15: 135 as 150 = 279.375.
		{"Marisol Dunquist", [4]int64{5588, 11175, 16763, 27938}},
		// 18:30 8:45, 19:00 9:15, 19:30 9:45: within 10 h, and the second meal is
		// due 6 h after 13:45, at 19:45.
		// 20:30 10:45: 45 min x 91.50 = 68.625, so 68.63; the meal is 45 min late,
		// two started half hours: 20.00 + 30.00; together 118.63.
		{"Celestyn Abarrow", [4]int64{0, 0, 0, 11863}},
		// 18:30 8:15: 15 as 30 min x 166.875 = 83.4375. 19:00 8:45: 45 as 60 = 166.875.
		// 19:30 9:15: 75 as 90 = 250.3125.
		// 20:30 10:15: 135 as 150: 2 h x 166.875 = 333.75, 30 min x 222.50 = 111.25; 445.00.
		{"Ansel Quarmbo", [4]int64{8344, 16688, 25031, 44500}},
		// In at 14:00, no meal. 20:30 6:30, within 8 h.
		{"Noor Hesterlyn", [4]int64{0, 0, 0, 0}},
		// 18:30 10:45: 45 min x 36.00 = 27.00. 19:00 11:15: 75 = 45.00.
		// 19:30 11:45: 105 = 63.00. 20:30 12:45: 165 = 99.00.
		{"Milo Threnow", [4]int64{2700, 4500, 6300, 9900}},
		// 18:30 11:00: 60 min x 105.00 = 105.00. 19:00 11:30: 90 = 157.50.
		// 19:30 12:00: 120 = 210.00. 20:30 13:00: 210.00 and 1 h x 140.00; 350.00.
		{"Hattie Knoxfell", [4]int64{10500, 15750, 21000, 35000}},
		// Its 13 h end at 19:30 sharp. 20:30 is one hour x 225.00.
		{"Saltglass Works", [4]int64{0, 0, 0, 22500}},
	}
	// 18:30: 26.81 + 3 x 34.50 + 102.00 + 55.88 + 83.44 + 27.00 + 105.00 = 503.63.
	// 19:00: 80.44 + 3 x 69.00 + 153.00 + 111.75 + 166.88 + 45.00 + 157.50 = 921.57.
	// 19:30: 134.06 + 3 x 103.50 + 204.00 + 102.00 + 167.63 + 250.31 + 63.00 + 210.00 = 1441.50.
	// 20:30: 36.88 + 250.25 + 3 x 184.00 + 306.00 + 204.00 + 279.38 + 118.63 + 445.00
	//        + 99.00 + 350.00 + 225.00 = 2866.14.
	whole := [4]int64{50363, 92157, 144150, 286614}

	all := d.engagements()
	if len(all) != len(byHand) {
		t.Errorf("%d engagements, %d by hand", len(all), len(byHand))
	}
	for _, row := range byHand {
		i := slices.IndexFunc(all, func(e overtime.Engagement) bool { return e.Label == row.name })
		if i < 0 {
			t.Errorf("%s is not engaged", row.name)
			continue
		}
		own := d.curve(all[i : i+1])
		for j, clock := range wraps {
			d.check(row.name, own, clock, row.cents[j])
		}
	}
	c := d.curve(all)
	for j, clock := range wraps {
		d.check("the day", c, clock, whole[j])
	}
}

// The first minute past the planned wrap starts a step of three people. Dario's
// 30 min come to 53.625, so 53.63 after 26.81: 26.82. Milo's minute is 0.60.
// Hattie's 75 min come to 131.25 after 105.00: 26.25. Together 53.67.
func TestNextStepByHand(t *testing.T) {
	d := openDay(t)
	d.everybodyIn()
	d.lunch()
	step, ok := d.curve(d.engagements()).Next(d.at("18:30"))
	if !ok || step.At != d.at("18:31") || step.Amount != money.Of(5367, "USD") || step.Total != money.Of(50363+5367, "USD") {
		t.Errorf("got %+v", step)
	}
	want := []string{string(d.keys["dario"]), string(d.keys["milo"]), string(d.keys["hattie"])}
	slices.Sort(want)
	if got := slices.Sorted(slices.Values(step.Keys)); !slices.Equal(got, want) {
		t.Errorf("the step is of %v, want Dario, Milo and Hattie: %v", got, want)
	}
}

// Oriel leaves at 18:00, after 10:15 of work: 15 min, which are not due. Without
// her 102.00, 204.00 and 306.00 the day comes to 401.63, 1237.50 and 2560.14.
func TestExposureWithOneSignedOutByHand(t *testing.T) {
	d := openDay(t)
	d.everybodyIn()
	d.lunch()
	d.punch(shoot.MarkOut, d.at("18:00"), d.keys["oriel"])
	c := d.curve(d.engagements())
	d.check("the day without Oriel", c, "18:30", 40163)
	d.check("the day without Oriel", c, "19:30", 123750)
	d.check("the day without Oriel", c, "20:30", 256014)
}

// Nobody is sent to lunch. By 18:30:
//
//	Ilmar    11:00  within 12 h
//	Dario    11:00  60 min x 107.25                          = 107.25
//	Tamsin   11:00  60 min x 69.00; Kofi and Jonah alike     = 207.00
//	Oriel    11:30  90 min x 102.00                          = 153.00
//	Bexley   10:30  30 min x 102.00                          =  51.00
//	Marisol  11:00  60 min x 111.75                          = 111.75
//	Celestyn  9:30  within 10 h; no meal, due at 15:00 and 3 h 30 min late by
//	                18:30: seven half hours, 20.00 + 30.00 + 5 x 45.00 = 275.00
//	Ansel     9:00  60 min x 166.875 = 166.875, so             166.88
//	Noor      4:30  within 8 h
//	Milo     11:30  90 min x 36.00                           =  54.00
//	Hattie   11:45  105 min x 105.00                         = 183.75
//	the Works 12:00 within 13 h
//	together                                                  1309.63
func TestExposureWithoutLunchByHand(t *testing.T) {
	d := openDay(t)
	d.everybodyIn()
	d.check("the day without lunch", d.curve(d.engagements()), "18:30", 130963)
}

// covers are counted by hand from the calls and diets of the file.
type handCount struct {
	total, people, guests, margin int
	diets                         map[catering.Diet]int
	without                       map[catering.Allergen]int
}

func (d *floorDay) checkCovers(day shoot.DayID, meal string, want handCount) {
	d.t.Helper()
	d.do(shoot.Desk, "covers.count", d.at("12:15"), args{"first": false}) // less than two hours before lunch
	i := slices.IndexFunc(d.s.MealsOf(day), func(m shoot.Meal) bool { return m.Name == meal })
	got := d.s.Kitchen.Covers[d.s.MealsOf(day)[i].ID]
	if got.Total != want.total || got.People != want.people || got.Guests != want.guests || got.Margin != want.margin {
		d.t.Errorf("%s: %d covers of %d people, %d guests, margin %d; want %+v", meal, got.Total, got.People, got.Guests, got.Margin, want)
	}
	diets, without := map[catering.Diet]int{}, map[catering.Allergen]int{}
	for _, r := range got.ByDiet {
		if len(r.Diets) != 1 {
			d.t.Errorf("%s: %v on one plate", meal, r.Diets)
		}
		diets[r.Diets[0]] = r.Plates
	}
	for _, r := range got.ByAllergen {
		without[r.Allergen] = r.People
	}
	if !maps.Equal(diets, want.diets) {
		d.t.Errorf("%s by diet: %v, want %v", meal, diets, want.diets)
	}
	if !maps.Equal(without, want.without) {
		d.t.Errorf("%s by allergen: %v, want %v", meal, without, want.without)
	}
}

func TestCoversByHand(t *testing.T) {
	d := openDay(t)
	var day2 shoot.DayID
	for id := range d.s.Floor.Days {
		if id != d.day.ID {
			day2 = id
		}
	}
	// Day 1, breakfast 07:30 to 07:50: who is called by then. Vegetarian Wrenna,
	// Oriel; vegan Tamsin, Milo; halal Kofi; pescatarian Jonah; kosher Hattie;
	// everything Ilmar, Dario, Marisol, Gudrun. 11, and a margin of 1 for those
	// who eat everything.
	d.checkCovers(d.day.ID, "Breakfast", handCount{12, 11, 0, 1,
		map[catering.Diet]int{"vegetarian": 2, "vegan": 2, "halal": 1, "pescatarian": 1, "kosher": 1, "omnivore": 4 + 1},
		map[catering.Allergen]int{"peanuts": 1, "tree-nuts": 1, "sesame": 1}})
	// Day 1, lunch 13:00 to 13:45: all 18 but Noor, who is called at 14:00, and
	// Rafe, who is not called: 16. Vegetarian Wrenna, Oriel, Philippa; vegan
	// Sunniva, Tamsin, Celestyn, Milo; halal Kofi; pescatarian Jonah; kosher
	// Hattie; everything Ilmar, Dario, Bexley, Marisol, Ansel, Gudrun. Two guests
	// and a margin of 2 make 20. Peanuts: Dario. Tree nuts: Oriel. Milk:
	// Philippa. Sesame: Milo. Gluten: Ansel, who must not have wheat either.
	lunch := handCount{20, 16, 2, 2,
		map[catering.Diet]int{"vegetarian": 3, "vegan": 4, "halal": 1, "pescatarian": 1, "kosher": 1, "omnivore": 6 + 2 + 2},
		map[catering.Allergen]int{"peanuts": 1, "tree-nuts": 1, "milk": 1, "sesame": 1, "gluten": 1, "wheat": 1}}
	d.checkCovers(d.day.ID, "Lunch", lunch)
	// Day 2, lunch: all 18. Noor makes a second halal, Rafe a seventh of
	// everything, without crustaceans and molluscs; margin 2.
	d.checkCovers(day2, "Lunch", handCount{20, 18, 0, 2,
		map[catering.Diet]int{"vegetarian": 3, "vegan": 4, "halal": 2, "pescatarian": 1, "kosher": 1, "omnivore": 7 + 2},
		map[catering.Allergen]int{"peanuts": 1, "tree-nuts": 1, "milk": 1, "sesame": 1, "gluten": 1, "wheat": 1, "crustaceans": 1, "molluscs": 1}})

	// Signing in at the call changes nothing.
	d.everybodyIn()
	d.checkCovers(d.day.ID, "Lunch", lunch)
	// Milo goes home at 12:00: one vegan less, and sesame is nobody's.
	d.punch(shoot.MarkOut, d.at("12:00"), d.keys["milo"])
	lunch.total, lunch.people, lunch.diets["vegan"] = 19, 15, 3
	delete(lunch.without, "sesame")
	d.checkCovers(d.day.ID, "Lunch", lunch)
}

// What the producer is shown is the same reckoning, finished as text.
func TestOvertimeScreenShowsTheFiguresByHand(t *testing.T) {
	d := openDay(t)
	d.everybodyIn()
	d.lunch()
	who, _ := d.s.AudienceOf(d.keys["wren"])
	for clock, want := range map[string]string{"18:30": "$503.63", "19:00": "$921.57", "19:30": "$1,441.50", "20:30": "$2,866.14"} {
		model, err := day.Make(string(view.ScreenOvertime), d.s.For(who), day.Context{Context: view.Context{Me: who.Person, Now: d.at("14:30"), Day: d.day.ID}, At: d.at(clock)})
		if err != nil {
			t.Fatal(err)
		}
		screen := model.(*day.Overtime)
		if got := screen.Drag.Figure.Amount; got != want {
			t.Errorf("a wrap at %s is shown as %s, want %s", clock, got, want)
		}
		if got := screen.Wrap.Amount; got != "$503.63" {
			t.Errorf("the planned wrap is shown as %s, want $503.63", got)
		}
	}
}
