package overtime

import (
	"errors"
	"testing"

	"fairday/domain/money"
)

func TestCards(t *testing.T) {
	keys := map[string]bool{}
	for _, c := range Cards() {
		if err := c.Terms.Validate(); err != nil {
			t.Errorf("%s: %v", c.Key, err)
		}
		if keys[c.Key] || c.Key == "" || c.Name == "" || c.Source == "" || c.Year < 2014 || len(c.Caution) < 60 {
			t.Errorf("%+v", c)
		}
		keys[c.Key] = true
		terms, err := c.For(money.Of(123400, "EUR"))
		if err != nil || terms.Rate != money.Of(123400, "EUR") {
			t.Errorf("%s at another rate: %+v, %v", c.Key, terms, err)
		}
		if _, err := c.For(money.Of(-1, "EUR")); !errors.Is(err, &Error{Code: CodeRate}) {
			t.Errorf("%s: %v", c.Key, err)
		}
	}
	Cards()[0].Terms.Bands[0].After = 1 // whoever changes a card changes it for nobody else
	if Cards()[0].Terms.Bands[0].After != 600 {
		t.Error("cards share their bands")
	}
	based := Card{Terms: Terms{Basis: Day, Rate: usd(50000), Included: 480, Base: usd(10000)}}
	if terms, err := based.For(usd(60000)); err != nil || terms.Base != usd(12000) {
		t.Error(terms, err)
	}
}

// What each card pays, by hand, for 13 hours on the clock with an hour's lunch
// after five.
func TestCardsPay(t *testing.T) {
	h := Hours{Call: at(0), In: at(0), Out: at(780), Meals: []Break{{at(300), at(360)}}, Before: Before{Run: 1}}
	for key, want := range map[string][]int64{
		"ten-hours":            {60000, 18000},       // 2 h at $60 x 1.5
		"california-guarantee": {75000, 20455, 6818}, // 2 h at $750 / 11 x 1.5; the second meal is due at 12 h: an hour
		"uk-commercials":       {43000, 12900},       // 2 h at £43 x 1.5
		"talent-day":           {90000, 67500},       // 4 h at $112.50 x 1.5
		"studio-day":           {120000, 36000},      // 2 h at $120 x 1.5, meals off
		"all-in":               {95000},
	} {
		for _, c := range Cards() {
			if c.Key == key {
				same(t, key, amounts(pay(t, c.Terms, h)), want)
			}
		}
	}
}
