package money

import (
	"encoding/json"
	"errors"
	"math"
	"math/big"
	"math/rand/v2"
	"testing"
)

func code(err error) string {
	var e *Error
	if errors.As(err, &e) {
		return e.Code
	}
	return ""
}

func ratio(t *testing.T, s string) Ratio {
	t.Helper()
	r, err := ParseRatio(s)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestTimesRounds(t *testing.T) {
	for _, c := range []struct {
		minor      int64
		by         string
		half, even int64
		up, down   int64
	}{
		{75000, "1/11", 6818, 6818, 6819, 6818}, // 6818.18
		{5, "1/2", 3, 2, 3, 2},
		{15, "1/2", 8, 8, 8, 7},
		{-5, "1/2", -3, -2, -3, -2},
		{4, "1/2", 2, 2, 2, 2},
		{1, "1/3", 0, 0, 1, 0},
		{2, "-1/3", -1, -1, -1, 0},
		{43000, "1.25", 53750, 53750, 53750, 53750},
		{math.MaxInt64, "1", math.MaxInt64, math.MaxInt64, math.MaxInt64, math.MaxInt64},
		{100, "0", 0, 0, 0, 0},
	} {
		for how, want := range map[Rounding]int64{"": c.half, HalfUp: c.half, HalfEven: c.even, Up: c.up, Down: c.down} {
			got, err := Of(c.minor, "USD").Times(ratio(t, c.by), how)
			if err != nil || got != Of(want, "USD") {
				t.Errorf("%d x %s %q = %v, %v; want %d", c.minor, c.by, how, got, err, want)
			}
		}
	}
}

// The same product and rounding with math/big, over numbers near every edge.
func TestTimesAgreesWithBig(t *testing.T) {
	edge := []int64{0, 1, 2, 3, 5, 7, 10, 999, 1 << 31, 1<<31 + 1, 1<<62 - 1, 1 << 62, math.MaxInt64 - 1, math.MaxInt64}
	for _, a := range edge {
		for _, n := range edge {
			for _, d := range edge[1:] {
				r, err := NewRatio(-n, d)
				if err != nil {
					t.Fatal(err)
				}
				twice := new(big.Int).Mul(big.NewInt(2*1), new(big.Int).Mul(big.NewInt(a), big.NewInt(n)))
				want := twice.Add(twice, big.NewInt(d))
				want.Quo(want, new(big.Int).Mul(big.NewInt(2), big.NewInt(d))).Neg(want)
				got, err := Of(a, "EUR").Times(r, HalfUp)
				fits := want.IsInt64() && want.Int64() != math.MinInt64
				if fits != (err == nil) || (fits && got.Minor != want.Int64()) {
					t.Errorf("%d x -%d/%d = %v, %v; want %v", a, n, d, got, err, want)
				}
			}
		}
	}
}

func TestArithmeticAgreesWithBig(t *testing.T) {
	parts := []int64{-7, -1, 0, 1, 3, 60, 1e9, 3e9 + 1}
	for _, a := range parts {
		for _, b := range []int64{1, 7, 60, 1e9, -4} {
			for _, c := range parts {
				for _, d := range []int64{1, 9, 3e9 + 1} {
					r, _ := NewRatio(a, b)
					s, _ := NewRatio(c, d)
					x, y := big.NewRat(a, b), big.NewRat(c, d)
					check(t, "add", func() (Ratio, error) { return r.Add(s) }, new(big.Rat).Add(x, y))
					check(t, "sub", func() (Ratio, error) { return r.Sub(s) }, new(big.Rat).Sub(x, y))
					check(t, "mul", func() (Ratio, error) { return r.Mul(s) }, new(big.Rat).Mul(x, y))
					if c != 0 {
						check(t, "div", func() (Ratio, error) { return r.Div(s) }, new(big.Rat).Quo(x, y))
					}
					if r.Cmp(s) != x.Cmp(y) {
						t.Errorf("%v cmp %v = %d, want %d", r, s, r.Cmp(s), x.Cmp(y))
					}
				}
			}
		}
	}
}

func check(t *testing.T, name string, f func() (Ratio, error), want *big.Rat) {
	t.Helper()
	got, err := f()
	if code(err) == CodeOverflow {
		if want.Num().BitLen() < 32 && want.Denom().BitLen() < 32 {
			t.Errorf("%s: overflow, though %v is small", name, want)
		}
		return
	}
	if err != nil || big.NewRat(got.Num, got.Den).Cmp(want) != 0 || got.Check() != nil {
		t.Errorf("%s = %v, %v; want %v", name, got, err, want)
	}
}

func TestZeroRatioIsNought(t *testing.T) {
	var z Ratio
	if s, err := z.Add(Whole(2)); err != nil || s != Whole(2) {
		t.Error(s, err)
	}
	if got, err := Of(9, "USD").Times(z, Up); err != nil || got.Minor != 0 {
		t.Error(got, err)
	}
	if z.String() != "0" || z.Cmp(Whole(0)) != 0 {
		t.Error(z)
	}
}

func TestAddSubCmp(t *testing.T) {
	a, b := Of(150, "GBP"), Of(200, "GBP")
	if s, err := a.Sub(b); err != nil || s != Of(-50, "GBP") {
		t.Error(s, err)
	}
	if s, err := Sum(Amount{}, a, b); err != nil || s != Of(350, "GBP") {
		t.Error(s, err)
	}
	if c, err := a.Cmp(b); err != nil || c != -1 {
		t.Error(c, err)
	}
}

func TestFormatAndString(t *testing.T) {
	for _, c := range []struct {
		a            Amount
		people, plan string
	}{
		{Of(125000, "USD"), "$1,250.00", "1250.00 USD"},
		{Of(43000, "GBP"), "£430.00", "430.00 GBP"},
		{Of(-5, "EUR"), "−€0.05", "-0.05 EUR"},
		{Of(1234567890, "JPY"), "¥1,234,567,890", "1234567890 JPY"},
		{Of(1500, "KWD"), "KWD 1.500", "1.500 KWD"},
		{Of(99999, "SEK"), "SEK 999.99", "999.99 SEK"},
		{Of(math.MinInt64, "USD"), "−$92,233,720,368,547,758.08", "-92233720368547758.08 USD"},
		{Amount{}, "0", "0"},
	} {
		if got := c.a.Format(); got != c.people {
			t.Errorf("Format = %q, want %q", got, c.people)
		}
		if got := c.a.String(); got != c.plan {
			t.Errorf("String = %q, want %q", got, c.plan)
		}
	}
}

func TestParse(t *testing.T) {
	for s, want := range map[string]Amount{
		"1250.00 USD": Of(125000, "USD"), "1250": Of(125000, "EUR"), "GBP 430.5": Of(43050, "GBP"),
		"-3 EUR": Of(-300, "EUR"), "800 JPY": Of(800, "JPY"), "1.005 KWD": Of(1005, "KWD"), "0.07": Of(7, "EUR"),
	} {
		if got, err := Parse(s, "EUR"); err != nil || got != want {
			t.Errorf("Parse(%q) = %v, %v; want %v", s, got, err, want)
		}
	}
}

func TestJSON(t *testing.T) {
	b, err := json.Marshal(Of(125000, "USD"))
	if err != nil || string(b) != `{"minor":125000,"currency":"USD"}` {
		t.Fatalf("%s %v", b, err)
	}
	for _, v := range []Amount{Of(125000, "USD"), {}} {
		b, _ := json.Marshal(v)
		var got Amount
		if err := json.Unmarshal(b, &got); err != nil || got != v {
			t.Errorf("%v came back as %v, %v", v, got, err)
		}
	}
	for text, want := range map[string]string{"1.50": "1.5", "4/3": "4/3", "6/4": "1.5", "20%": "0.2", "12.5%": "0.125", "-0.25": "-0.25"} {
		b, err := json.Marshal(ratio(t, text))
		if err != nil || string(b) != `"`+want+`"` {
			t.Errorf("ratio %s came out as %s, %v", text, b, err)
		}
	}
}

func TestRefusals(t *testing.T) {
	second := func(_ any, err error) error { return err }
	usd, gbp, most, least := Of(1, "USD"), Of(1, "GBP"), Of(math.MaxInt64, "USD"), Of(math.MinInt64, "USD")
	parse := func(s string) error { return second(Parse(s, "USD")) }
	readRatio := func(s string) error { return second(ParseRatio(s)) }
	for name, c := range map[string]struct {
		err  error
		want string
	}{
		"add mixed":          {second(usd.Add(gbp)), CodeCurrencyMixed},
		"sub mixed":          {second(usd.Sub(gbp)), CodeCurrencyMixed},
		"cmp mixed":          {second(usd.Cmp(gbp)), CodeCurrencyMixed},
		"sum mixed":          {second(Sum(usd, gbp)), CodeCurrencyMixed},
		"add too much":       {second(most.Add(usd)), CodeOverflow},
		"add too little":     {second(least.Add(Of(-1, "USD"))), CodeOverflow},
		"neg of the least":   {second(least.Neg()), CodeOverflow},
		"times too much":     {second(most.Times(Ratio{3, 2}, HalfUp)), CodeOverflow},
		"times the least":    {second(least.Times(Whole(1), HalfUp)), CodeOverflow},
		"no such rounding":   {second(usd.Times(Whole(1), "sideways")), CodeRounding},
		"over nothing":       {second(NewRatio(1, 0)), CodeZeroDivisor},
		"divide by nought":   {second(Whole(1).Div(Ratio{})), CodeZeroDivisor},
		"ratio too big":      {second(Whole(math.MaxInt64).Mul(Whole(2))), CodeOverflow},
		"ratio sum too big":  {second(Whole(math.MaxInt64).Add(Whole(1))), CodeOverflow},
		"least over one":     {second(NewRatio(math.MinInt64, 1)), CodeOverflow},
		"not reduced":        {Ratio{2, 4}.Check(), CodeZeroDivisor},
		"below zero divisor": {Ratio{1, -4}.Check(), CodeZeroDivisor},
		"unknown currency":   {parse("12 ABC"), CodeCurrencyUnknown},
		"small letters":      {parse("12 usd"), CodeCurrencyUnknown},
		"nothing":            {parse(""), CodeUnreadable},
		"only a currency":    {parse("USD"), CodeUnreadable},
		"thousands":          {parse("1,250 USD"), CodeUnreadable},
		"decimal comma":      {parse("12,50 EUR"), CodeUnreadable},
		"a sign in front":    {parse("$12"), CodeUnreadable},
		"loose point":        {parse("12. USD"), CodeUnreadable},
		"bare point":         {parse(".5 USD"), CodeUnreadable},
		"exponent":           {parse("1e3 USD"), CodeUnreadable},
		"half a cent":        {parse("1.005 USD"), CodeUnreadable},
		"half a yen":         {parse("1.5 JPY"), CodeUnreadable},
		"three words":        {parse("1 2 USD"), CodeUnreadable},
		"too many digits":    {parse("99999999999999999999 USD"), CodeOverflow},
		"too big":            {parse("9223372036854775807 USD"), CodeOverflow},
		"ratio of letters":   {readRatio("half"), CodeUnreadable},
		"ratio of nothing":   {readRatio(""), CodeUnreadable},
		"ratio over nought":  {readRatio("1/0"), CodeZeroDivisor},
		"ratio over a word":  {readRatio("1/x"), CodeUnreadable},
		"currency in JSON":   {json.Unmarshal([]byte(`{"minor":1,"currency":"XYZ"}`), new(Amount)), CodeCurrencyUnknown},
		"default unknown":    {second(Parse("5", "")), CodeCurrencyUnknown},
	} {
		if got := code(c.err); got != c.want {
			t.Errorf("%s: code %q (%v), want %q", name, got, c.err, c.want)
		}
	}
	if !errors.Is(second(usd.Add(gbp)), &Error{Code: CodeCurrencyMixed}) {
		t.Error("errors.Is does not compare by code")
	}
	err := json.Unmarshal([]byte(`{"minor":1.5,"currency":"USD"}`), new(Amount))
	if err == nil {
		t.Error("a fraction of a cent was read from JSON")
	}
}

// A piece is the exact product, rounded once, like Times.
func TestPieceIsTimes(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	for range 20_000 {
		a := Of(r.Int64N(1<<r.IntN(50)+1)-5, "USD")
		each, err := NewRatio(r.Int64N(500)-5, r.Int64N(700)+1)
		if err != nil {
			t.Fatal(err)
		}
		n := r.Int64N(3000)
		whole, err := each.Mul(Whole(n))
		if err != nil {
			t.Fatal(err)
		}
		want, err1 := a.Times(whole, HalfUp)
		p := a.Per(each)
		got, err2 := p.Of(n)
		if got != want || code(err1) != code(err2) {
			t.Fatalf("%v x %v x %d: %v %v, want %v %v", a, each, n, got, err2, want, err1)
		}
	}
	for _, each := range []int64{1, 2} {
		p := Of(math.MaxInt64, "USD").Per(Whole(each))
		if _, err := p.Of(3); code(err) != CodeOverflow {
			t.Error(err)
		}
	}
}

func TestExchange(t *testing.T) {
	second := func(_ any, err error) error { return err }
	x := Exchange{To: "USD", Rates: map[Currency]Ratio{"EUR": {27, 25}, "JPY": {1, 150}, "KWD": {13, 4}}}
	if err := x.Check(); err != nil {
		t.Fatal(err)
	}
	for from, want := range map[Amount]Amount{
		Of(100_00, "EUR"): Of(108_00, "USD"),
		Of(15_000, "JPY"): Of(100_00, "USD"), // yen have no decimals
		Of(1_000, "KWD"):  Of(3_25, "USD"),   // dinars have three
		Of(7, "USD"):      Of(7, "USD"),
		{}:                Of(0, "USD"),
		Of(-1, "EUR"):     Of(-1, "USD"), // 1.08 cents
	} {
		if got, err := x.Convert(from); err != nil || got != want {
			t.Errorf("%v is %v, %v; want %v", from, got, err, want)
		}
	}
	for name, err := range map[string]error{
		"no rate":      second(x.Convert(Of(1, "GBP"))),
		"rate of none": Exchange{"USD", map[Currency]Ratio{"EUR": {}}}.Check(),
		"rate below":   Exchange{"USD", map[Currency]Ratio{"EUR": {-1, 1}}}.Check(),
		"rate of self": Exchange{"USD", map[Currency]Ratio{"USD": {1, 1}}}.Check(),
		"used unsound": second(Exchange{"USD", map[Currency]Ratio{"EUR": {}}}.Convert(Of(1, "EUR"))),
	} {
		if code(err) != CodeExchangeRate {
			t.Errorf("%s: %v", name, err)
		}
	}
	if err := (Exchange{To: "ABC"}).Check(); code(err) != CodeCurrencyUnknown {
		t.Error(err)
	}
}
