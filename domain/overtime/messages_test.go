package overtime

import (
	"math/rand/v2"
	"strings"
	"testing"

	"fairday/domain/money"
	"fairday/domain/when"
)

// A message says what is wrong with what was written, and asks back where a
// percentage was likely meant.
func TestMessages(t *testing.T) {
	for _, c := range []struct {
		change func(*Terms)
		say    string
	}{
		{func(c *Terms) { c.Bands[0].After = -60 }, "band 1 starts after −1 h; write hours from 0 on"},
		{func(c *Terms) { c.Bands[1].Times = money.Ratio{Num: 150_001, Den: 100_000} }, "band 2 pays 1.50001 times the base, which has too many decimals"},
		{func(c *Terms) { c.Bands[1].After = 600 }, "band 2 starts after 10 h, which is not later than the one before"},
		{func(c *Terms) { c.Agency = Agency{money.Whole(5), AgencyOnFee} }, "it reads as 500%; if 5% was meant, write 5%"},
		{func(c *Terms) { c.OnCosts = []OnCost{{"pension", money.Whole(3)}} }, "pension is 3 of the pay; write a share above 0 and up to 1, like 0.138 (it reads as 300%; if 3% was meant, write 3%)"},
		{func(c *Terms) { c.Half = HalfDay{300, money.Whole(60)} }, "if 60% was meant, write 60%"},
		{func(c *Terms) { c.Night = Night{1320, 360, money.Whole(25)} }, "if 25% was meant, write 25%"},
		{func(c *Terms) { c.Cancel = []Notice{{1440, money.Whole(50)}} }, "if 50% was meant, write 50%"},
		{func(c *Terms) { c.OnCosts = []OnCost{{"pension", money.Ratio{Num: 69, Den: 5}}} }, "it reads as 1380%; if 13.8% was meant, write 13.8%"},
		{func(c *Terms) { c.Bands[0].Times = money.Whole(150) }, "it reads as 15000%; if 150% was meant, write 150%"},
		{func(c *Terms) { c.Sixth = RunDay{Times: money.Whole(150)} }, "if 150% was meant, write 150%"},
		{func(c *Terms) { c.Weekend.Sunday = money.Whole(200) }, "if 200% was meant, write 200%"},
		{func(c *Terms) { c.Turnaround = Turnaround{Rest: 600, Times: money.Whole(150)} }, "if 150% was meant, write 150%"},
		{func(c *Terms) { c.Rate = usd(MostMinor + 1) }, "the rate is more than anybody is paid: $10,000,000,000.01"},
		{func(c *Terms) { c.Divisor, c.Base = "", usd(MostMinor+1) }, "the hourly base is more than anybody is paid"},
		{func(c *Terms) {
			c.Meal = MealRule{Due: 360, Every: 30, Amounts: []money.Amount{usd(1), usd(MostMinor + 1)}}
		}, "meal penalty 2 is more"},
		{func(c *Terms) {
			c.Turnaround = Turnaround{Rest: 600, Every: 30, Amounts: []money.Amount{usd(MostMinor + 1)}}
		}, "turnaround penalty 1 is more"},
		{func(c *Terms) { c.Extras = []Extra{{"mileage", usd(MostMinor / 2), 3}} }, "mileage is more than anybody is paid"},
		{func(c *Terms) { c.Usage = []Extra{{"one year", usd(1 << 62), 9}} }, "one year comes to more than can be reckoned"},
	} {
		terms := dayTerms(t)
		c.change(&terms)
		if err := terms.Validate(); err == nil || !strings.Contains(err.Error(), c.say) {
			t.Errorf("%v does not say %q", err, c.say)
		}
	}
}

// The largest amounts that new terms may name leave no sum without an answer.
func TestLargestAmountsAreReckoned(t *testing.T) {
	r := rand.New(rand.NewPCG(71, 1))
	for range 300 {
		terms := anyTerms(t, r)
		h := anyHours(r, terms)
		terms.Rate = usd(MostMinor)
		if terms.Base != (money.Amount{}) {
			terms.Base = usd(MostMinor)
		}
		for _, amounts := range [][]money.Amount{terms.Meal.Amounts, terms.Turnaround.Amounts} {
			for i := range amounts {
				amounts[i] = usd(MostMinor)
			}
		}
		if err := terms.Validate(); err != nil {
			t.Fatal(err)
		}
		if _, err := Pay(terms, h); err != nil {
			t.Errorf("%+v: %v", terms, err)
		}
		all := make([]Engagement, 400)
		for i := range all {
			all[i] = Engagement{Key: "p", Terms: terms, Hours: h}
		}
		if _, err := Expose(all, h.Out-when.Minute, h.Out); err != nil {
			t.Errorf("%+v: %v", terms, err)
		}
	}
}
