package day

import (
	"math/big"
	"strings"
	"testing"

	"fairday/domain/money"
	"fairday/domain/pace"
	"fairday/domain/shoot"
	"fairday/domain/view"
)

func expectedAt(st *stage, at string) Expected {
	return show[Overtime](st, shoot.Producer, at, view.ScreenOvertime).Expected
}

// byHand is the mean over every minute of the forecast of what TestExposureAgainstTheWrap
// has by hand: free until 18:00, $250.00 until 19:00, then $340.00 more for each hour begun.
func byHand(st *stage, at string) string {
	m, err := newMaker(st.State.For(shoot.Audience{Person: person(shoot.Producer), Role: shoot.Producer}), looks(person(shoot.Producer), at))
	if err != nil {
		st.T.Fatal(err)
	}
	o := m.forecast()
	sum := new(big.Rat)
	for i, part := range o.f.Parts {
		minute, cost := o.f.From+int64(i), int64(0)
		if minute > 18*60 {
			cost = 250_00
		}
		for hour := int64(19 * 60); minute > hour; hour += 60 {
			cost += 340_00
		}
		sum.Add(sum, big.NewRat(part*cost, pace.Whole))
	}
	cents, _ := new(big.Rat).Add(sum, big.NewRat(1, 2)).Float64()
	return money.Of(int64(cents), "USD").Format()
}

func TestExpectedStandsAtTheTop(t *testing.T) {
	st := newStage(t)
	e := expectedAt(st, "08:00") // the work is over by noon
	same(t, "a short day", []string{e.Wrap.Label, e.Wrap.Clock, e.Wrap.Amount, e.Average.Amount, e.Notice}, []string{"Likely wrap", "10:50", "$0.00", "$0.00", ""})
	e = expectedAt(st, "17:00") // two hours and forty minutes are left, and the lunch that nobody told of
	if !e.Known || e.Average.Amount != byHand(st, "17:00") {
		t.Errorf("on average %+v, by hand %s", e.Average, byHand(st, "17:00"))
	}
	same(t, "at the likely wrap", e.Wrap.Amount, show[Overtime](st, shoot.Producer, "17:00", view.ScreenOvertime, at(e.Wrap.Clock)).Drag.Figure.Amount)
	contains(t, "who is left out", e.Average.Say, "Without 7 that could not be reckoned.")
	contains(t, "notice", e.Notice, "and nothing is approved yet")
}

// A limit covers the expected overtime by itself or not at all.
func TestNoticeOfExpectedOvertime(t *testing.T) {
	type limit struct {
		until string
		minor int64
		of    money.Currency
	}
	for _, c := range []struct {
		what   string
		limits []limit
		notice bool
	}{
		{"nothing", nil, true},
		{"enough in both", []limit{{"23:30", 5_000_00, "USD"}}, false},
		{"too little", []limit{{"23:30", 100_00, "USD"}}, true},
		{"too early", []limit{{"18:30", 5_000_00, "USD"}}, true},
		{"two that would do together", []limit{{"23:30", 100_00, "USD"}, {"18:30", 5_000_00, "USD"}}, true},
		{"two of half each", []limit{{"23:30", 400_00, "USD"}, {"23:00", 400_00, "USD"}}, true},
		{"another currency", []limit{{"23:30", 5_000_00, "GBP"}}, true},
		{"one too little and one enough", []limit{{"23:00", 100_00, "USD"}, {"23:30", 5_000_00, "USD"}}, false},
	} {
		t.Run(c.what, func(t *testing.T) {
			st := newStage(t)
			for i, l := range c.limits {
				st.Do(person(shoot.Producer), "16:00", "overtime.approve", obj{"id": id(900 + i), "day": day1, "until": clock(l.until), "amount": money.Of(l.minor, l.of)})
			}
			e := expectedAt(st, "17:00")
			same(t, "notice", e.Notice != "", c.notice)
			same(t, "tone", e.Average.Tone == view.ToneStop, c.notice)
			if len(c.limits) > 0 {
				contains(t, "chance", e.Average.Say, "Within what is approved: ")
			}
		})
	}
	st := newStage(t)
	st.Do(person(shoot.Producer), "07:00", "overtime.approve", obj{"id": id(900), "day": day1, "until": clock("18:30"), "amount": money.Of(1_00, "USD")})
	e := expectedAt(st, "08:00")
	same(t, "a short day", []string{e.Notice, e.Average.Say}, []string{"", "Within what is approved: almost surely. Without 7 that could not be reckoned."})
}

// What is missing makes it not known, never nought.
func TestExpectedIsNotKnown(t *testing.T) {
	check := func(t *testing.T, e Expected, say string) {
		t.Helper()
		contains(t, "say", e.Say, say)
		if e.Known || e.Average.Amount != "" || e.Wrap.Amount != "" || e.Notice != "" {
			t.Errorf("it is said to be %+v", e)
		}
	}
	t.Run("no shots", func(t *testing.T) {
		st := newStage(t)
		for _, s := range []string{shot1, shot2, shot3, shot4} {
			st.Do(person(shoot.ArtDirector), "06:00", "shot.drop", obj{"shot": s})
		}
		check(t, expectedAt(st, "08:00"), "not known. This day has no shots yet.")
	})
	t.Run("nobody reckoned", func(t *testing.T) {
		st := newStage(t)
		st.State.Money.Terms, st.State.Money.Hires = nil, nil
		check(t, expectedAt(st, "17:00"), "The expected overtime is not known")
	})
	t.Run("all captured", func(t *testing.T) {
		st := newStage(t)
		for _, s := range []string{shot1, shot2, shot4} {
			st.Do(person(shoot.ArtDirector), "09:00", "shot.cut", obj{"shot": s})
		}
		st.Do(person(shoot.ArtDirector), "09:00", "shot.open", obj{"shot": shot3})
		st.Do(person(shoot.Photographer), "09:40", "shot.capture", obj{"shot": shot3})
		check(t, expectedAt(st, "12:00"), "Nothing is left to forecast.")
	})
	t.Run("nobody else is shown it", func(t *testing.T) {
		for _, r := range shoot.Roles()[1:] {
			if e := show[Overtime](newStage(t), r, "17:00", view.ScreenOvertime).Expected; strings.Contains(e.Average.Amount+e.Wrap.Amount, "$") {
				t.Errorf("%s sees %+v", r, e)
			}
		}
	})
}
