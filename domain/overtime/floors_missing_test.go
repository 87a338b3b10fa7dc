package overtime_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/when"
)

// TestFloorsThatLackAnInputAreNotKnown spoils one input of generated weeks: no
// floor that stands on it may have an amount, or say that nothing is due.
func TestFloorsThatLackAnInputAreNotKnown(t *testing.T) {
	spoilers := map[string]func(*rand.Rand, *span){
		"no sign-out":         func(r *rand.Rand, s *span) { oneOf(r, s).Hours.Out = 0 },
		"out before in":       func(r *rand.Rand, s *span) { h := &oneOf(r, s).Hours; h.Out = max(h.In, h.Call) - when.Hour },
		"neither in nor call": func(r *rand.Rand, s *span) { h := &oneOf(r, s).Hours; h.In, h.Call = 0, 0 },
		"a break without end": func(r *rand.Rand, s *span) {
			h := &oneOf(r, s).Hours
			h.Meals = []overtime.Break{{From: max(h.In, h.Call) + when.Minute}}
		},
		"days out of order":   func(_ *rand.Rand, s *span) { s.Days = append(s.Days, s.Days[0]) },
		"no day of the week":  func(r *rand.Rand, s *span) { oneOf(r, s).Of = 0 },
		"eighth of the week":  func(r *rand.Rand, s *span) { oneOf(r, s).Of = 8 },
		"terms of no basis":   func(_ *rand.Rand, s *span) { s.Terms.Basis = "" },
		"a rate below nought": func(_ *rand.Rand, s *span) { s.Terms.Rate.Minor = -1 },
		"no currency":         func(_ *rand.Rand, s *span) { s.Terms.Rate.Currency = "" },
		"run not known": func(r *rand.Rand, s *span) {
			s.Terms.Sixth = overtime.RunDay{Times: times(3, 2)}
			h := &oneOf(r, s).Hours
			h.Before.Run, h.Kind = 0, ""
		},
	}
	names := make([]string, 0, len(spoilers))
	for name := range spoilers {
		names = append(names, name)
	}
	slices.Sort(names)
	r := rand.New(rand.NewPCG(22, 0))
	for range min(*weeks, 3000) {
		law := anyOf(r, overtime.LawFederal, overtime.LawCalifornia, overtime.LawCaliforniaPictures, overtime.LawNewYork)
		s, ok := anySpan(r, law)
		if !ok {
			continue
		}
		name := anyOf(r, names...)
		spoilers[name](r, &s)
		floors := s.Pay()
		if len(floors) == 0 {
			t.Errorf("%s: no floors at all", name)
		}
		for _, f := range floors {
			if f.Known() || f.Due() != (money.Amount{}) || f.Least != (money.Amount{}) || f.Extra != (money.Amount{}) || f.Counted != (money.Amount{}) || f.Say != "" {
				t.Errorf("%s: %s of day %d reads as known: %+v\n%s", name, f.Law, f.Day, f, s.tell())
			}
			if once := slices.Compact(slices.Sorted(slices.Values(f.Missing))); len(once) != len(f.Missing) {
				t.Errorf("%s: says a thing twice: %q", name, f.Missing)
			}
		}
		if t.Failed() {
			return
		}
	}
}

// TestFloorOfNewYorkWithoutAMinimumWageIsNotKnown, and the federal one beside it is.
func TestFloorOfNewYorkWithoutAMinimumWageIsNotKnown(t *testing.T) {
	r := rand.New(rand.NewPCG(23, 0))
	for range 100 {
		s, ok := anySpan(r, overtime.LawNewYork)
		if !ok {
			continue
		}
		s.Wage = anyOf(r, money.Amount{}, money.Of(0, "USD"), money.Of(1650, "GBP"))
		floors := s.Pay()
		if len(floors) != 2 || !floors[0].Known() || floors[1].Known() || !floors[1].Least.IsZero() {
			t.Fatalf("%+v\n%s", floors, s.tell())
		}
	}
}

func oneOf(r *rand.Rand, s *span) *overtime.Workday { return &s.Days[r.IntN(len(s.Days))] }
