package overtime

import (
	"strings"
	"testing"

	"fairday/domain/money"
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
	} {
		terms := dayTerms(t)
		c.change(&terms)
		if err := terms.Validate(); err == nil || !strings.Contains(err.Error(), c.say) {
			t.Errorf("%v does not say %q", err, c.say)
		}
	}
}
