package overtime

import (
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"strconv"
	"strings"
	"testing"

	"fairday/domain/money"
	"fairday/domain/when"
)

func dayTerms(t testing.TB) Terms {
	return Terms{Basis: Day, Rate: usd(60000), Included: 600, Bands: bands(t, 600, "1.5", 720, "2")}
}

func TestRefusals(t *testing.T) {
	terms := func(change func(*Terms)) error {
		c := dayTerms(t)
		change(&c)
		err := c.Validate()
		if _, payErr := Pay(c, Hours{In: at(0), Out: at(60)}); !errors.Is(payErr, err) {
			t.Errorf("Validate says %v, Pay says %v", err, payErr)
		}
		return err
	}
	meal := func(change func(*MealRule)) error {
		return terms(func(c *Terms) {
			c.Meal = lateMeals(30, 2500).Meal
			change(&c.Meal)
		})
	}
	hourly := func(change func(*Terms)) error {
		return terms(func(c *Terms) {
			*c = Terms{Basis: Hourly, Rate: usd(2500), Bands: bands(t, 480, "1.5")}
			change(c)
		})
	}
	endless := func(change func(*Terms)) error {
		return terms(func(c *Terms) {
			*c = Terms{Basis: AllIn, Rate: usd(90000)}
			change(c)
		})
	}
	rest := func(change func(*Turnaround)) error {
		return terms(func(c *Terms) {
			c.Turnaround = Turnaround{Rest: 600, Times: ratio(t, "1.5")}
			change(&c.Turnaround)
		})
	}
	half, x2 := ratio(t, "0.5"), money.Whole(2)
	asked := func(h Hours, change func(*Terms)) error {
		c := dayTerms(t)
		change(&c)
		if err := c.Validate(); err != nil {
			t.Error(err)
		}
		h.Call, h.In, h.Out = at(0), at(0), at(600)
		_, err := Pay(c, h)
		if _, also := Expose([]Engagement{{"p1", "Ines Marlow", c, h, 0, ""}}, at(0), at(60)); !errors.Is(also, err) {
			t.Errorf("Pay says %v, Expose says %v", err, also)
		}
		return err
	}
	rested := func(b Before) error {
		return asked(Hours{Before: b}, func(c *Terms) { c.Turnaround = Turnaround{Rest: 600, Carry: true} })
	}
	hours := func(h Hours) error { _, err := Pay(dayTerms(t), h); return err }
	curve := func(h Hours, from, to when.Instant) error {
		_, err := Expose([]Engagement{{"p1", "Ines Marlow", dayTerms(t), h, 0, ""}}, from, to)
		return err
	}
	week := func(mins int64) error { _, err := PayWorked(dayTerms(t), mins); return err }
	second := func(_ any, err error) error { return err }
	_, floor := Take(Terms{Basis: Hire, Rate: usd(1), Included: 60}, Hours{In: at(0), Out: at(60)})
	seen := map[string]bool{}
	for name, c := range map[string]struct {
		err  error
		code string
	}{
		"no basis":                {terms(func(c *Terms) { c.Basis = "" }), CodeBasis},
		"unknown basis":           {terms(func(c *Terms) { c.Basis = "weekly" }), CodeBasis},
		"no currency":             {terms(func(c *Terms) { c.Rate = money.Amount{} }), CodeCurrency},
		"unknown currency":        {terms(func(c *Terms) { c.Rate.Currency = "ABC" }), CodeCurrency},
		"negative rate":           {terms(func(c *Terms) { c.Rate.Minor = -1 }), CodeRate},
		"no rate":                 {terms(func(c *Terms) { c.Rate.Minor = 0 }), CodeRate},
		"divisor zero":            {terms(func(c *Terms) { c.Included = 0 }), CodeIncluded},
		"negative included":       {terms(func(c *Terms) { c.Included = -600 }), CodeIncluded},
		"40-hour day":             {terms(func(c *Terms) { c.Included = 40 * 60 }), CodeIncluded},
		"hire without hours":      {terms(func(c *Terms) { c.Basis, c.Included = Hire, 0 }), CodeIncluded},
		"hourly with included":    {terms(func(c *Terms) { c.Basis = Hourly }), CodeIncluded},
		"all-in with bands":       {terms(func(c *Terms) { c.Basis, c.Included = AllIn, 0 }), CodeIncluded},
		"all-in with a step":      {terms(func(c *Terms) { *c = Terms{Basis: AllIn, Rate: usd(1), Step: 30} }), CodeIncluded},
		"unknown divisor":         {terms(func(c *Terms) { c.Divisor = "daily" }), CodeDivisor},
		"divisor for hourly":      {terms(func(c *Terms) { c.Basis, c.Included, c.Divisor = Hourly, 0, ByIncluded }), CodeDivisor},
		"divisor for all-in":      {terms(func(c *Terms) { *c = Terms{Basis: AllIn, Rate: usd(1), Divisor: ByIncluded} }), CodeDivisor},
		"weighted, no band in it": {terms(func(c *Terms) { c.Divisor = ByWeighted }), CodeDivisor},
		"weighted, no band":       {terms(func(c *Terms) { c.Divisor, c.Bands = ByWeighted, nil }), CodeDivisor},
		"base and divisor":        {terms(func(c *Terms) { c.Base, c.Divisor = usd(5000), ByIncluded }), CodeBase},
		"base for hourly":         {terms(func(c *Terms) { c.Basis, c.Included, c.Base = Hourly, 0, usd(5000) }), CodeBase},
		"base of nothing":         {terms(func(c *Terms) { c.Base = usd(0) }), CodeBase},
		"negative base":           {terms(func(c *Terms) { c.Base = usd(-5000) }), CodeBase},
		"base in pounds":          {terms(func(c *Terms) { c.Base = money.Of(5000, "GBP") }), CodeCurrency},
		"bands out of order":      {terms(func(c *Terms) { c.Bands = bands(t, 720, "2", 600, "1.5") }), CodeBandOrder},
		"two bands at once":       {terms(func(c *Terms) { c.Bands = bands(t, 600, "2", 600, "1.5") }), CodeBandOrder},
		"negative band":           {terms(func(c *Terms) { c.Bands = bands(t, -1, "2") }), CodeBandOrder},
		"band past the week":      {terms(func(c *Terms) { c.Bands = bands(t, 169*60, "2") }), CodeBandOrder},
		"times nothing":           {terms(func(c *Terms) { c.Bands = []Band{{After: 600}} }), CodeBandTimes},
		"times below nought":      {terms(func(c *Terms) { c.Bands = bands(t, 600, "-1.5") }), CodeBandTimes},
		"times 150":               {terms(func(c *Terms) { c.Bands = bands(t, 600, "150") }), CodeBandTimes},
		"times too fine":          {terms(func(c *Terms) { c.Bands = bands(t, 600, "1.00001") }), CodeBandTimes},
		"times not reduced":       {terms(func(c *Terms) { c.Bands = []Band{{After: 600, Times: money.Ratio{Num: 3, Den: -2}}} }), CodeBandTimes},
		"step of seven":           {terms(func(c *Terms) { c.Step = 7 }), CodeStep},
		"negative step":           {terms(func(c *Terms) { c.Step = -15 }), CodeStep},
		"unknown rule":            {terms(func(c *Terms) { c.Step, c.StepRule = 15, "down" }), CodeStepRule},
		"a rule without a step":   {terms(func(c *Terms) { c.StepRule = StepUp }), CodeStepRule},
		"negative grace":          {terms(func(c *Terms) { c.Grace = -1 }), CodeGrace},
		"grace of a day":          {terms(func(c *Terms) { c.Grace = 1440 }), CodeGrace},
		"grace by the hour":       {terms(func(c *Terms) { c.Basis, c.Included, c.Grace = Hourly, 0, 10 }), CodeGrace},
		"meals for a place":       {terms(func(c *Terms) { c.Basis, c.Meal = Hire, lateMeals(30, 1).Meal }), CodeMealRule},
		"meal due never":          {meal(func(m *MealRule) { m.Due = 0 }), CodeMealRule},
		"meal due before":         {meal(func(m *MealRule) { m.Due = -60 }), CodeMealRule},
		"next meal before":        {meal(func(m *MealRule) { m.Next = -60 }), CodeMealRule},
		"period of nothing":       {meal(func(m *MealRule) { m.Every = 0 }), CodeMealRule},
		"period of a day":         {meal(func(m *MealRule) { m.Every = 1440 }), CodeMealRule},
		"no penalties":            {meal(func(m *MealRule) { m.Amounts = nil }), CodeMealRule},
		"negative penalty":        {meal(func(m *MealRule) { m.Amounts[0].Minor = -1 }), CodeMealRule},
		"penalty in pounds":       {meal(func(m *MealRule) { m.Amounts[0].Currency = "GBP" }), CodeCurrency},
		"never started":           {hours(Hours{Out: at(600)}), CodeHoursStart},
		"still on":                {hours(Hours{In: at(0)}), CodeHoursOpen},
		"out before in":           {hours(Hours{In: at(0), Out: at(-1)}), CodeOutBeforeIn},
		"out before the call":     {hours(Hours{Call: at(0), Out: at(-1)}), CodeOutBeforeIn},
		"40 hours on":             {hours(Hours{In: at(0), Out: at(40 * 60)}), CodeHoursLong},
		"a month of work":         {week(30 * 24 * 60), CodeHoursLong},
		"less than no work":       {week(-1), CodeHoursLong},
		"meal before in":          {hours(Hours{In: at(0), Out: at(600), Meals: []Break{{at(-60), at(-30)}}}), CodeMealBeforeIn},
		"meal before the call":    {hours(Hours{Call: at(0), Out: at(600), Meals: []Break{{at(-60), at(-30)}}}), CodeMealBeforeIn},
		"meal after out":          {hours(Hours{In: at(0), Out: at(600), Meals: []Break{{at(610), at(640)}}}), CodeMealAfterOut},
		"meal over the out":       {hours(Hours{In: at(0), Out: at(600), Meals: []Break{{at(590), at(640)}}}), CodeMealAfterOut},
		"meal backwards":          {hours(Hours{In: at(0), Out: at(600), Meals: []Break{{at(300), at(270)}}}), CodeMealOrder},
		"meals overlap":           {hours(Hours{In: at(0), Out: at(600), Meals: []Break{{at(300), at(330)}, {at(320), at(350)}}}), CodeMealOrder},
		"meal under way":          {curve(Hours{In: at(0), Meals: []Break{{at(300), 0}}}, at(300), at(900)), CodeMealOpen},
		"curve backwards":         {curve(Hours{In: at(0)}, at(900), at(300)), CodeRange},
		"curve of a week":         {curve(Hours{In: at(0)}, at(0), at(7*24*60)), CodeRange},
		"forgotten sign-out":      {curve(Hours{In: at(-30 * 60)}, at(0), at(900)), CodeHoursLong},
		"curve of no start":       {curve(Hours{}, at(0), at(900)), CodeHoursStart},
		"a floor of a place":      {floor, CodeFloor},
		"negative days":           {terms(func(c *Terms) { c.Days = -1 }), CodeDays},
		"days by the hour":        {hourly(func(c *Terms) { c.Days = 3 }), CodeDays},
		"elapsed out of order":    {terms(func(c *Terms) { c.Bands = []Band{{700, x2, true}, {660, x2, true}} }), CodeBandOrder},
		"elapsed pays less":       {terms(func(c *Terms) { c.Bands = []Band{{600, half, true}} }), CodeBandTimes},
		"elapsed falls":           {terms(func(c *Terms) { c.Bands = []Band{{600, x2, true}, {700, ratio(t, "1.5"), true}} }), CodeBandTimes},
		"weighted by elapsed":     {terms(func(c *Terms) { c.Divisor, c.Bands = ByWeighted, []Band{{480, x2, true}} }), CodeDivisor},
		"week of a place":         {terms(func(c *Terms) { c.Basis, c.Week = Hire, bands(t, 2400, "1.5") }), CodeWeek},
		"first of nothing":        {hourly(func(c *Terms) { c.First = 60 }), CodeFirst},
		"first of a day":          {terms(func(c *Terms) { c.First = 241 }), CodeFirst},
		"meal in no clock day":    {hourly(func(c *Terms) { c.Inclusive = 60 }), CodeClockDay},
		"meal of a shift":         {terms(func(c *Terms) { c.Inclusive = 181 }), CodeClockDay},
		"paid twice":              {terms(func(c *Terms) { c.Inclusive, c.MealPaid = 60, true }), CodeClockDay},
		"continuous without":      {terms(func(c *Terms) { c.Continuous = 540 }), CodeClockDay},
		"continuous too long":     {terms(func(c *Terms) { c.Inclusive, c.Continuous = 60, 601 }), CodeClockDay},
		"saturday for less":       {terms(func(c *Terms) { c.Weekend.Saturday = half }), CodeWeekend},
		"holiday without dates":   {terms(func(c *Terms) { c.Weekend.Holiday = x2 }), CodeWeekend},
		"holidays for nothing":    {terms(func(c *Terms) { c.Weekend.Holidays = []when.Date{"2026-12-25"} }), CodeWeekend},
		"holiday that never was":  {terms(func(c *Terms) { c.Weekend = Weekend{Holiday: x2, Holidays: []when.Date{"2026-12-32"}} }), CodeWeekend},
		"too many holidays":       {terms(func(c *Terms) { c.Weekend = Weekend{Holiday: x2, Holidays: make([]when.Date, 61)} }), CodeWeekend},
		"kit without a name":      {terms(func(c *Terms) { c.Extras = []Extra{{" ", usd(1), 0}} }), CodeExtra},
		"kit twice":               {terms(func(c *Terms) { c.Extras = []Extra{{"kit", usd(1), 0}, {"kit", usd(1), 0}} }), CodeExtra},
		"kit for nothing":         {terms(func(c *Terms) { c.Extras = []Extra{{"kit", usd(0), 0}} }), CodeExtra},
		"kit in pounds":           {terms(func(c *Terms) { c.Extras = []Extra{{"kit", money.Of(1, "GBP"), 0}} }), CodeCurrency},
		"miles to the moon":       {terms(func(c *Terms) { c.Extras = []Extra{{"miles", usd(67), 238_855}} }), CodeExtra},
		"usage without end":       {terms(func(c *Terms) { c.Usage = []Extra{{"world", usd(1 << 62), 9}} }), CodeExtra},
		"thirteen lines":          {terms(func(c *Terms) { c.Extras = make([]Extra, 13) }), CodeExtra},
		"a day of no kind":        {terms(func(c *Terms) { c.Other = []OtherDay{{"", half, true}} }), CodeOther},
		"a kind of day twice":     {terms(func(c *Terms) { c.Other = []OtherDay{{"prep", half, true}, {"prep", half, true}} }), CodeOther},
		"a rate beyond all":       {Terms{Basis: AllIn, Rate: usd(MostMinor + 1)}.Validate(), CodeAmount},
		"a travel day x3":         {terms(func(c *Terms) { c.Other = []OtherDay{{"travel", money.Whole(3), true}} }), CodeOther},
		"nine kinds of day":       {terms(func(c *Terms) { c.Other = make([]OtherDay, 9) }), CodeOther},
		"notice out of order":     {terms(func(c *Terms) { c.Cancel = []Notice{{1440, half}, {1440, half}} }), CodeNotice},
		"notice above the rate":   {terms(func(c *Terms) { c.Postpone = []Notice{{1440, x2}} }), CodeNotice},
		"notice by the hour":      {hourly(func(c *Terms) { c.Cancel = []Notice{{1440, half}} }), CodeNotice},
		"called off when":         {second(CalledOff(dayTerms(t), "", at(0), 0, false)), CodeNotice},
		"grace of a shift":        {meal(func(m *MealRule) { m.Grace = 121 }), CodeMealRule},
		"breakfast after lunch":   {meal(func(m *MealRule) { m.Breakfast = m.Due }), CodeMealRule},
		"second night alone":      {terms(func(c *Terms) { c.Night2 = Night{1320, 360, half} }), CodeNight},
		"early call of no time":   {terms(func(c *Terms) { c.EarlyCall = Night{360, 360, half} }), CodeNight},
		"week by elapsed":         {hourly(func(c *Terms) { c.Week = []Band{{2400, x2, true}} }), CodeWeek},
		"week pays less":          {hourly(func(c *Terms) { c.Week = bands(t, 2400, "0.5") }), CodeBandTimes},
		"week out of order":       {hourly(func(c *Terms) { c.Week = bands(t, 2400, "1.5", 2400, "2") }), CodeBandOrder},
		"no shortest meal":        {terms(func(c *Terms) { c.MealLeast = -1 }), CodeMealLeast},
		"shortest meal of hours":  {terms(func(c *Terms) { c.MealLeast = 180 }), CodeMealLeast},
		"shortest of nothing":     {terms(func(c *Terms) { c.MealPaid, c.MealLeast = true, 30 }), CodeMealLeast},
		"negative minimum":        {hourly(func(c *Terms) { c.Minimum = -1 }), CodeMinimum},
		"minimum of a day rate":   {terms(func(c *Terms) { c.Minimum = 240 }), CodeMinimum},
		"minimum in a band":       {hourly(func(c *Terms) { c.Minimum = 500 }), CodeMinimum},
		"minimum in a sixth day":  {hourly(func(c *Terms) { c.Minimum, c.Sixth = 480, RunDay{x2, bands(t, 240, "3")} }), CodeMinimum},
		"half day by the hour":    {hourly(func(c *Terms) { c.Half = HalfDay{300, half} }), CodeHalfDay},
		"half day of a week":      {terms(func(c *Terms) { c.Days, c.Half = 5, HalfDay{300, half} }), CodeHalfDay},
		"half day of ten hours":   {terms(func(c *Terms) { c.Half = HalfDay{600, half} }), CodeHalfDay},
		"half day of no time":     {terms(func(c *Terms) { c.Half = HalfDay{0, half} }), CodeHalfDay},
		"half day for all of it":  {terms(func(c *Terms) { c.Half = HalfDay{300, money.Whole(1)} }), CodeHalfDay},
		"half day for nothing":    {terms(func(c *Terms) { c.Half = HalfDay{UpTo: 300} }), CodeHalfDay},
		"late call backwards":     {terms(func(c *Terms) { c.LateCall = LateCall{1020, 660} }), CodeLateCall},
		"late call overnight":     {terms(func(c *Terms) { c.LateCall = LateCall{1020, 1500} }), CodeLateCall},
		"rest for a place":        {terms(func(c *Terms) { c.Basis, c.Turnaround = Hire, Turnaround{Rest: 600, Times: x2} }), CodeTurnaround},
		"rest of nothing":         {rest(func(a *Turnaround) { a.Rest = 0 }), CodeTurnaround},
		"rest of 40 hours":        {rest(func(a *Turnaround) { a.Rest = 2400 }), CodeTurnaround},
		"rest paid twice":         {rest(func(a *Turnaround) { a.Carry = true }), CodeTurnaround},
		"rest at a half":          {rest(func(a *Turnaround) { a.Times = half }), CodeTurnaround},
		"rest at no cost":         {rest(func(a *Turnaround) { a.Times = money.Ratio{} }), CodeTurnaround},
		"rest by no period":       {rest(func(a *Turnaround) { a.Amounts = []money.Amount{usd(1)} }), CodeTurnaround},
		"rest for no amounts":     {rest(func(a *Turnaround) { a.Every = 60 }), CodeTurnaround},
		"rest for less":           {rest(func(a *Turnaround) { a.Every, a.Amounts = 60, []money.Amount{usd(-1)} }), CodeTurnaround},
		"rest in pounds":          {rest(func(a *Turnaround) { a.Every, a.Amounts = 60, []money.Amount{money.Of(1, "GBP")} }), CodeCurrency},
		"rest without a base":     {endless(func(c *Terms) { c.Turnaround = Turnaround{Rest: 600, Times: x2} }), CodeTurnaround},
		"sixth day of a place":    {terms(func(c *Terms) { c.Basis, c.Sixth = Hire, RunDay{x2, nil} }), CodeRun},
		"sixth day at a half":     {terms(func(c *Terms) { c.Sixth = RunDay{half, nil} }), CodeRun},
		"seventh day of bands":    {terms(func(c *Terms) { c.Seventh = RunDay{Bands: bands(t, 480, "2")} }), CodeRun},
		"seventh bands mixed up":  {terms(func(c *Terms) { c.Seventh = RunDay{x2, bands(t, 480, "2", 300, "3")} }), CodeBandOrder},
		"sixth bands, no time":    {endless(func(c *Terms) { c.Sixth = RunDay{x2, bands(t, 480, "2")} }), CodeRun},
		"night without a base":    {endless(func(c *Terms) { c.Night = Night{1320, 360, half} }), CodeNight},
		"night of no time":        {terms(func(c *Terms) { c.Night = Night{360, 360, half} }), CodeNight},
		"night after midnight":    {terms(func(c *Terms) { c.Night = Night{1320, 1800, half} }), CodeNight},
		"night for nothing":       {terms(func(c *Terms) { c.Night = Night{1320, 360, money.Ratio{}} }), CodeNight},
		"agency of nothing":       {terms(func(c *Terms) { c.Agency = Agency{On: AgencyOnFee} }), CodeAgency},
		"agency of twice the fee": {terms(func(c *Terms) { c.Agency = Agency{x2, AgencyOnFee} }), CodeAgency},
		"agency on neither":       {terms(func(c *Terms) { c.Agency = Agency{half, "neither"} }), CodeAgency},
		"agency on no overtime":   {endless(func(c *Terms) { c.Agency = Agency{half, AgencyOnBoth} }), CodeAgency},
		"nameless on-cost":        {terms(func(c *Terms) { c.OnCosts = []OnCost{{" ", half}} }), CodeOnCost},
		"on-cost twice":           {terms(func(c *Terms) { c.OnCosts = []OnCost{{"tax", half}, {"tax", half}} }), CodeOnCost},
		"on-cost of twice it":     {terms(func(c *Terms) { c.OnCosts = []OnCost{{"tax", x2}} }), CodeOnCost},
		"thirteen on-costs": {terms(func(c *Terms) {
			for i := range 13 {
				c.OnCosts = append(c.OnCosts, OnCost{strconv.Itoa(i), half})
			}
		}), CodeOnCost},
		"meal by both":           {meal(func(m *MealRule) { m.Hour = true }), CodeMealRule},
		"meal for nothing":       {meal(func(m *MealRule) { m.Every, m.Amounts = 0, nil }), CodeMealRule},
		"meal hour, no base":     {endless(func(c *Terms) { c.Meal = MealRule{Due: 360, Hour: true} }), CodeMealRule},
		"night without a zone":   {asked(Hours{}, func(c *Terms) { c.Night = Night{1320, 360, half} }), CodeZone},
		"night on the moon":      {asked(Hours{Zone: "Moon/Base"}, func(c *Terms) { c.Night = Night{1320, 360, half} }), CodeZone},
		"late call, no zone":     {asked(Hours{}, func(c *Terms) { c.LateCall = LateCall{660, 1020} }), CodeZone},
		"which day in a row":     {asked(Hours{}, func(c *Terms) { c.Sixth = RunDay{x2, nil} }), CodeBefore},
		"day minus one in a row": {asked(Hours{Before: Before{Run: -1}}, func(c *Terms) {}), CodeBefore},
		"which of three days":    {asked(Hours{}, func(c *Terms) { c.Days = 3 }), CodeBefore},
		"day four of three":      {asked(Hours{Before: Before{Day: 4}}, func(c *Terms) { c.Days = 3 }), CodeBefore},
		"a week before it":       {asked(Hours{Before: Before{Week: -1}}, func(c *Terms) {}), CodeBefore},
		"which day of the week":  {asked(Hours{}, func(c *Terms) { *c = Terms{Basis: Hourly, Rate: usd(1), Week: bands(t, 2400, "1.5")} }), CodeBefore},
		"when they were out":     {rested(Before{Run: 2}), CodeBefore},
		"out after the start":    {rested(Before{Out: at(1)}), CodeBefore},
		"next call before this":  {second(Expose([]Engagement{{"p1", "Ines Marlow", dayTerms(t), Hours{In: at(0)}, at(-1), ""}}, at(0), at(60))), CodeBefore},
		"carried from what":      {rested(Before{Out: at(-60)}), CodeBefore},
	} {
		var e *Error
		if !errors.As(c.err, &e) || e.Code != c.code {
			t.Errorf("%s: %v, want %s", name, c.err, c.code)
			continue
		}
		seen[e.Code] = true
		if len(e.Text) < 20 || !strings.ContainsAny(e.Text, ";:") {
			t.Errorf("%s: %q does not say what to do next", name, e.Text)
		}
		if !errors.Is(c.err, &Error{Code: c.code}) {
			t.Errorf("%s: errors.Is does not compare by code", name)
		}
	}
	for _, code := range codes(t) {
		if !seen[code] {
			t.Errorf("no refusal shows %s", code)
		}
	}
	if err := dayTerms(t).Validate(); err != nil {
		t.Error(err)
	}
}

// codes reads the Code constants out of errors.go.
func codes(t *testing.T) []string {
	file, err := parser.ParseFile(token.NewFileSet(), "errors.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	ast.Inspect(file, func(n ast.Node) bool {
		if v, ok := n.(*ast.ValueSpec); ok {
			code, err := strconv.Unquote(v.Values[0].(*ast.BasicLit).Value)
			if err != nil {
				t.Fatal(err)
			}
			out = append(out, code)
		}
		return true
	})
	if len(out) < 15 {
		t.Fatalf("only %d codes found", len(out))
	}
	return out
}

// What does not fit says so, whatever the size of the rate.
func TestHugeRatesDoNotWrapRound(t *testing.T) {
	terms := Terms{Basis: Day, Rate: usd(1<<63 - 1), Included: 60, Bands: bands(t, 60, "10")}
	_, err := Pay(terms, Hours{In: at(0), Out: at(600)})
	if !errors.Is(err, &money.Error{Code: money.CodeOverflow}) {
		t.Error(err)
	}
	_, err = Expose([]Engagement{{"p1", "Ines Marlow", terms, Hours{In: at(0)}, 0, ""}}, at(0), at(600))
	var who *EngagementError
	if !errors.As(err, &who) || who.Key != "p1" || !errors.Is(err, &money.Error{Code: money.CodeOverflow}) {
		t.Error(err)
	}
	flat := Terms{Basis: Day, Rate: usd(1 << 62), Included: 60, Bands: bands(t, 60, "1")}
	pair := []Engagement{{"p1", "Ines Marlow", flat, Hours{In: at(0)}, 0, ""}, {"p2", "Tomas Reed", flat, Hours{In: at(0)}, 0, ""}}
	if _, err := Expose(pair, at(0), at(130)); !errors.Is(err, &money.Error{Code: money.CodeOverflow}) {
		t.Error(err)
	}
}
