package overtime

import "testing"

// What a second reckoning of the floors found, each as it is settled.

// A day that is paid more for every hour of it, at less than half more, pays no
// premium for its long hours: 29 CFR 778.203(b), from memory.
func TestFloorsCreditNoUpliftOfTheDayAsOvertime(t *testing.T) {
	daily := Terms{Basis: Day, Rate: usd(60000), Included: 600, Sixth: RunDay{Times: ratio(t, "1.25")}}
	for _, c := range []struct {
		name                  string
		bands                 []Band
		differential, premium int64
	}{
		{"uplift alone: 150 on the fee and 0.25 of 2 h", nil, 15000 + 3000, 0},
		{"a band that pays more: 0.5 of 2 h", []Band{{After: 600, Times: ratio(t, "1.5")}}, 15000, 6000},
		{"a band that pays less: the uplift stands", []Band{{After: 600, Times: ratio(t, "1.1")}}, 15000 + 3000, 0},
	} {
		terms := daily
		terms.Bands = c.bands
		e, err := Take(terms, shift(6, 0, 720).Hours)
		if err != nil || e.Differential != usd(c.differential) || e.Premium != usd(c.premium) {
			t.Errorf("%s: %+v %v", c.name, e, err)
		}
	}
}

// What every hour is paid is the straight rate, whatever it is called: 29 CFR
// 778.108, from memory. 10 h at $20, x1.5 from the first minute and x2 after 8 h.
func TestFloorsCreditNothingThatEveryHourIsPaid(t *testing.T) {
	terms := Terms{Basis: Hourly, Rate: usd(2000), Bands: []Band{{Times: ratio(t, "1.5")}, {After: 480, Times: ratio(t, "2")}}}
	e, err := Take(terms, shift(1, 0, 600).Hours)
	if err != nil || e.Hourly != usd(20000) || e.Differential != usd(10000) || e.Premium != usd(2000) {
		t.Errorf("%+v %v", e, err)
	}
}

// Of days at several rates the regular rate is the average by hours: DLSE Manual
// 49.2.5, from memory. A prep day of 10 h at $200, a shoot day of 8 h at $400:
// ($25 x 10 + $50 x 8) / 18 h = $36.11; 2 h x 1.5 x $36.11 = $108.33.
func TestFloorsAverageTheRatesOfDaysInCalifornia(t *testing.T) {
	terms := Terms{Basis: Day, Rate: usd(40000), Included: 600, Other: []OtherDay{{Kind: "prep", Share: ratio(t, "0.5"), Worked: true}}}
	prep := shift(1, 0, 600)
	prep.Hours.Kind = "prep"
	floors := Workweek{Law: LawCalifornia, Terms: terms, Days: []Workday{prep, shift(2, 0, 480)}}.Pay()
	if f := find(t, floors, "California overtime", 0); f.Extra != usd(10833) || f.Least != usd(30833) {
		t.Errorf("prep: %+v", f)
	}
	if f := find(t, floors, "California overtime", 1); f.Extra != usd(0) || f.Least != usd(40000) {
		t.Errorf("shoot: %+v", f)
	}
}

// Labor Code 510(a) has each hour of overtime at one and a half times the regular
// rate, not at its own rate and half of the regular one on top. 10 h at half the
// $20 rate and 8 h at all of it: R = (100 + 160) / 18 h; 2 h x 1.5 x R = $43.33.
func TestFloorsPayOvertimeOfALowerRateAtTheRegularRate(t *testing.T) {
	terms := Terms{Basis: Hourly, Rate: usd(2000), Other: []OtherDay{{Kind: "prep", Share: ratio(t, "0.5"), Worked: true}}}
	prep := shift(1, 0, 600)
	prep.Hours.Kind = "prep"
	floors := Workweek{Law: LawCalifornia, Terms: terms, Days: []Workday{prep, shift(2, 0, 480)}}.Pay()
	if f := find(t, floors, "California overtime", 0); f.Extra != usd(4333) || f.Least != usd(8000+4333) {
		t.Errorf("%+v", f)
	}
}

// Where a later day has not ended, or makes no sense, no rest is counted after its
// start: the daily rest of the day before is not known, unless it can be.
func TestFloorsCountNoRestBehindADayThatIsUnderWay(t *testing.T) {
	first := shift(1, 0, 180).Hours
	for _, c := range []struct {
		name  string
		next  Hours
		known bool
		had   int64
	}{
		{"under way 8 h after a day of 3 h", Hours{In: at(660), Zone: "UTC"}, false, 0},
		{"ended 8 h after a day of 3 h", Hours{In: at(660), Out: at(690), Zone: "UTC"}, true, 750},
		{"signed out before signing in", Hours{In: at(660), Out: at(600), Zone: "UTC"}, false, 0},
		{"under way once 11 h were had", Hours{In: at(900), Zone: "UTC"}, true, 720},
	} {
		f := find(t, Rests(LawUK, at(0), []Hours{first, c.next}), "daily rest", 0)
		if f.Known() != c.known || c.known && f.Rest.Had != c.had {
			t.Errorf("%s: %+v %+v", c.name, f, f.Rest)
		}
	}
	// 20 h of work, 3 h off, and under way again: there can be no more than 3 h.
	long := shift(1, 0, 1200).Hours
	if f := find(t, Rests(LawUK, at(0), []Hours{long, {In: at(1380), Zone: "UTC"}}), "daily rest", 0); !f.Known() || !f.Rest.Short() || f.Rest.Had != 180 {
		t.Errorf("%+v %+v", f, f.Rest)
	}
	// A week of which a day is under way from its second noon on.
	if f := find(t, Rests(LawEU, at(0), []Hours{{In: at(2160), Zone: "UTC"}}), "weekly rest", -1); !f.Known() || f.Rest.Had != 2160 {
		t.Errorf("%+v %+v", f, f.Rest)
	}
	if f := find(t, Rests(LawEU, at(0), []Hours{{In: at(2000), Zone: "UTC"}}), "weekly rest", -1); f.Known() {
		t.Errorf("%+v", f)
	}
}
