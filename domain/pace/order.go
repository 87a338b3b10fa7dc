package pace

import "cmp"

// How much an order may cost to find, in shots tried at a place. It is counted
// and not timed, so that every machine finds the same.
const (
	Quick    = 400_000   // for every look at a screen
	Thorough = 4_000_000 // proves an order of up to 15 shots the best one
)

// Ordered is the best order found for what remains, at the middle of the pace. An
// order is better that is late by fewer minutes, in all its windows and holds
// together; then one that wraps earlier; then one in which fewer pairs of shots
// have changed places.
type Ordered struct {
	Keys    []string // the order; what is up comes first
	Best    Tally    // of this order
	Present Tally    // of the present one, with what has to come before moved before
	Proven  bool     // no order is better
	Bound   Tally    // none is better than this; Best where Proven
	Tried   int      // shots tried at a place
	Moves   []Move   // what moves, in the new order
	Missed  []Missed // what this order is late for
}

// Tally is what an order is judged by, in this order.
type Tally struct {
	Late  int64 // minutes outside of windows and holds, summed over the shots
	Wrap  int64 // the minute of the wrap
	Pairs int   // pairs of shots that have changed places against the present order
}

func (a Tally) compare(b Tally) int {
	return cmp.Or(cmp.Compare(a.Late, b.Late), cmp.Compare(a.Wrap, b.Wrap), cmp.Compare(a.Pairs, b.Pairs))
}

// Move is a shot that changes its place.
type Move struct {
	Key    string
	Follow string // the key it now follows, empty for none
	Why    []Reason
}

// Missed is a window or a hold that cannot be met.
type Missed struct {
	Key     string
	Minutes int64 // by which it is late
	Why     Reason
}

// Order looks for the best order of what remains. Within an order everything
// starts as soon as it can: after the set-up change, in the first of its windows
// that it still fits into, and with the meals at their time. effort is how many
// shots it may try at a place, Quick or Thorough or any number; with Quick and more
// an order of up to 12 shots is proven the best one, whatever that takes. It fails
// with any of the codes.
func Order(p Plan, effort int) (Ordered, error) {
	w, err := p.work()
	if err != nil {
		return Ordered{}, err
	}
	present, _ := w.possible(w.present())
	s := newSearch(w, present, effort)
	s.improve()
	proven := s.prove()
	o := Ordered{Best: w.tally(s.best), Present: w.tally(s.present), Proven: proven, Tried: s.tried}
	o.Bound = o.Best
	if !proven {
		o.Bound = w.tally(s.limit())
	}
	for _, i := range s.order {
		o.Keys = append(o.Keys, p.Tasks[i].Key)
	}
	o.Moves, o.Missed = w.moves(w.present(), s.order), w.late(s.order)
	return o, nil
}

func (w *work) tally(s score) Tally { return Tally{s.late, w.clock.ends(s.at), s.pairs} }
