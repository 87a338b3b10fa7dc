package overtime

import "fairday/domain/money"

// Card is a set of terms to start from. The rate in it is an example; the source
// is of the rules, not of the rate.
type Card struct {
	Key     string
	Name    string
	Source  string
	Year    int // as of which the rules stand
	Caution string
	Terms   Terms
}

// For gives the card's terms at another rate, with an agreed hourly base in the
// same proportion. It returns what Validate does, or a code of
// package money where a base would not fit.
func (c Card) For(rate money.Amount) (Terms, error) {
	t := c.Terms
	if t.Base != (money.Amount{}) {
		r, err := money.NewRatio(t.Base.Minor, t.Rate.Minor)
		if err == nil {
			t.Base, err = rate.Times(r, money.HalfUp)
		}
		if err != nil {
			return Terms{}, err
		}
	}
	t.Rate = rate
	return t, t.Validate()
}

const (
	practice      = "common practice, no source"
	cautionTerms  = "A starting point, not advice: the deal memo, the agreement that applies and local law decide. Change what was agreed otherwise."
	cautionDaily  = " For an employee, overtime law may ask for more than a day rate that is silent about its hours."
	cautionUK     = " Coefficients differ by grade (1, 1.25 or 1.5), and calls outside 07:00 to 11:00, night and weekend work have rules that are not in here."
	cautionGolden = " Which wage order, collective agreement or exemption applies is for a licensed payroll or employment professional."
)

// Cards gives the cards, each on its own: what is changed in one stays there.
func Cards() []Card {
	half, double := money.Ratio{Num: 3, Den: 2}, money.Whole(2)
	return []Card{
		{"ten-hours", "10-hour day, common practice", practice, 2026, cautionTerms + cautionDaily,
			Terms{Basis: Day, Rate: money.Of(60000, "USD"), Included: 600, Step: 30,
				Bands: []Band{{After: 600, Times: half}, {After: 720, Times: double}}}},
		{"california-guarantee", "10-hour guarantee, California daily floor inside",
			"California Labor Code 510 and 226.7, Wage Order 12 section 11; the divisor of 8 + 1.5 × 2 = 11 hours is common practice, no source", 2026,
			cautionTerms + cautionGolden,
			Terms{Basis: Day, Rate: money.Of(75000, "USD"), Included: 600, Divisor: ByWeighted, MealLeast: 30,
				Bands:   []Band{{After: 480, Times: half}, {After: 720, Times: double}},
				Meal:    MealRule{Due: 360, Next: 360, Hour: true},
				Seventh: RunDay{half, []Band{{After: 480, Times: double}}}}},
		{"uk-commercials", "10+1, UK commercials terms 2014", "APA Recommended Terms 2014: the day over ten, overtime after ten hours and an hour for lunch, by the half hour",
			2014, cautionTerms + cautionUK,
			Terms{Basis: Day, Rate: money.Of(43000, "GBP"), Included: 600, Step: 30, Bands: []Band{{After: 600, Times: half}}}},
		{"talent-day", "8-hour talent day with agency fee", "stills practice in several published terms; the four hours of a half day are common practice, no source", 2026,
			cautionTerms + " The agency's fee is on pay, never on expenses; usage is another matter.",
			Terms{Basis: Day, Rate: money.Of(90000, "USD"), Included: 480, Step: 30, Bands: []Band{{After: 480, Times: half}},
				Half:   HalfDay{240, money.Ratio{Num: 3, Den: 5}},
				Agency: Agency{money.Ratio{Num: 1, Den: 5}, AgencyOnBoth}}},
		{"studio-day", "studio day hire", practice, 2026, "The contract of the place decides what a day is, when it starts and what a late hour costs; setting up and cleaning often count.",
			Terms{Basis: Hire, Rate: money.Of(120000, "USD"), Included: 600, Step: 60, Bands: []Band{{After: 600, Times: half}}}},
		{"all-in", "all-in", practice, 2026, cautionTerms + " An all-in fee does not do away with the overtime of an employee.",
			Terms{Basis: AllIn, Rate: money.Of(95000, "USD")}},
	}
}
