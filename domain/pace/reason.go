package pace

import (
	"fmt"
	"slices"
)

// ReasonKind says what a Reason is about.
type ReasonKind string

// The kinds of reason.
const (
	Closes   ReasonKind = "closes"    // before What, at At
	Opens    ReasonKind = "opens"     // after What, at At
	Keeps    ReasonKind = "keeps"     // What keeps for Minutes from when it is made, or until At
	First    ReasonKind = "first"     // the shot of Key comes before it
	Change   ReasonKind = "change"    // saves a set-up change of Minutes
	Idle     ReasonKind = "idle"      // saves waiting for Minutes
	Room     ReasonKind = "room"      // makes room for the shot of Key
	Gone     ReasonKind = "gone"      // What, at At, before it could be made
	TooLong  ReasonKind = "too-long"  // it takes Minutes, the longest of its windows is Room
	NeverAll ReasonKind = "never-all" // what it needs is never there all at once
)

// Reason is why a shot moves, or why it is late.
type Reason struct {
	Kind    ReasonKind
	What    string // as the plan says it
	At      int64
	Minutes int64
	Room    int64
	Key     string
}

// Text says it. clock writes a minute as people read it and shot names the shot
// of a key, as in "shot 7".
func (r Reason) Text(clock func(minute int64) string, shot func(key string) string) string {
	switch r.Kind {
	case Closes:
		return fmt.Sprintf("before %s at %s", r.What, clock(r.At))
	case Opens:
		return fmt.Sprintf("after %s at %s", r.What, clock(r.At))
	case Keeps:
		if r.At != 0 {
			return fmt.Sprintf("%s keeps until %s", r.What, clock(r.At))
		}
		return fmt.Sprintf("%s keeps for %d min once it is made", r.What, r.Minutes)
	case First:
		return fmt.Sprintf("%s comes first", shot(r.Key))
	case Change:
		return fmt.Sprintf("saves a set-up change of %d min", r.Minutes)
	case Idle:
		return fmt.Sprintf("saves %d min of waiting", r.Minutes)
	case Room:
		return fmt.Sprintf("makes room for %s", shot(r.Key))
	case Gone:
		return fmt.Sprintf("%s at %s, before it can be done", r.What, clock(r.At))
	case TooLong:
		return fmt.Sprintf("it takes %d min and has %d at most", r.Minutes, r.Room)
	case NeverAll:
		return "what it needs is never there all at once"
	}
	return ""
}

// moves says what moves from one order to another, in the new order.
func (w *work) moves(present, order []int) (moves []Move) {
	_, was := w.run(present)
	_, is := w.run(order)
	stay := rising(order, present, func(i int) bool { // what is to move for its own sake
		old, now := was[slices.Index(present, i)], is[slices.Index(order, i)]
		return now.window+now.hold < old.window+old.hold
	})
	better := w.better(present, order, was, is)
	for k, i := range order {
		if stay[i] {
			continue
		}
		m := Move{Key: w.plan.Tasks[i].Key}
		if k > 0 {
			m.Follow = w.plan.Tasks[order[k-1]].Key
		}
		m.Why = w.why(i, present, order, was, is)
		if len(m.Why) == 0 {
			m.Why = []Reason{w.room(k, better, present, order, was, is)}
		}
		moves = append(moves, m)
	}
	return moves
}

// late says what an order misses.
func (w *work) late(order []int) (missed []Missed) {
	_, is := w.run(order)
	for _, p := range is {
		if p.window > 0 {
			missed = append(missed, Missed{w.plan.Tasks[p.job].Key, p.window, w.missed(p)})
		}
		if p.hold > 0 {
			missed = append(missed, Missed{w.plan.Tasks[p.job].Key, p.hold, w.hold(int(p.job), p.hero)})
		}
	}
	return missed
}

// rising are the most jobs that keep their places among each other; of as many,
// those that have no cause to move.
func rising(order, present []int, cause func(int) bool) map[int]bool {
	rank := map[int]int{}
	for r, i := range present {
		rank[i] = r
	}
	length, before, end := make([]int, len(order)), make([]int, len(order)), -1
	for k, i := range order {
		own := 2 * len(order)
		if cause(i) {
			own--
		}
		length[k], before[k] = own, -1
		for b := range k {
			if rank[order[b]] < rank[i] && length[b]+own > length[k] {
				length[k], before[k] = length[b]+own, b
			}
		}
		if end < 0 || length[k] > length[end] {
			end = k
		}
	}
	stay := map[int]bool{}
	for ; end >= 0; end = before[end] {
		stay[order[end]] = true
	}
	return stay
}

// why gives the reasons for a job of its own.
func (w *work) why(i int, present, order []int, was, is []placed) (out []Reason) {
	at := func(order []int) int { return slices.Index(order, i) }
	old, now := was[at(present)], is[at(order)]
	for _, a := range w.jobs[i].after {
		if slices.Index(present, a) > at(present) {
			out = append(out, Reason{Kind: First, Key: w.plan.Tasks[a].Key})
		}
	}
	if now.window < old.window {
		out = append(out, w.edge(i, old, false))
	} else if wait(was, at(present), w) > 0 && wait(is, at(order), w) == 0 && len(w.jobs[i].during) > 0 {
		out = append(out, w.edge(i, now, true))
	}
	if now.hold < old.hold {
		out = append(out, w.hold(i, old.hero))
	}
	if before, after := w.alone(at(present), present), w.alone(at(order), order); before > after {
		out = append(out, Reason{Kind: Change, Minutes: before - after})
	}
	return out
}

// idle is for how long an order waits altogether.
func (w *work) idle(p []placed) (sum int64) {
	for k := range p {
		sum += wait(p, k, w)
	}
	return sum
}

// wait is for how long the place of an order waits for its window.
func wait(p []placed, k int, w *work) int64 {
	end := int64(0)
	if k > 0 {
		end = p[k-1].end
	}
	return p[k].start - end - w.changeAt(p, k)
}

func (w *work) changeAt(p []placed, k int) int64 {
	stands := w.stands
	for _, q := range p[:k] {
		if s := w.jobs[q.job].setup; s != 0 {
			stands = s
		}
	}
	if s := w.jobs[p[k].job].setup; s != 0 && s != stands && !w.plan.Tasks[p[k].job].Open {
		return w.change[s]
	}
	return 0
}

// alone is how many minutes of change an order takes more for the job at a place
// than it would without.
func (w *work) alone(k int, order []int) int64 {
	return w.changes(order) - w.changes(slices.Delete(slices.Clone(order), k, k+1))
}

func (w *work) changes(order []int) (sum int64) {
	stands := w.stands
	for _, i := range order {
		if s := w.jobs[i].setup; s != 0 {
			if s != stands && !w.plan.Tasks[i].Open {
				sum += w.plan.Changes[w.setups[s]]
			}
			stands = s
		}
	}
	return sum
}

// edge is the start or the end of the window that a job lies in or misses.
func (w *work) edge(i int, p placed, opens bool) Reason {
	starts, ends := w.clock.starts(p.start), w.clock.ends(p.end)
	best, found := Reason{}, false
	for _, l := range w.plan.Tasks[i].Limits {
		for _, s := range l.During {
			switch {
			case opens && s.From <= starts && (!found || s.From > best.At):
				best, found = Reason{Kind: Opens, What: l.Opens, At: s.From}, true
			case !opens && s.To < ends && (!found || s.To > best.At):
				best, found = Reason{Kind: Closes, What: l.Closes, At: s.To}, true
			}
		}
	}
	return best
}

func (w *work) hold(i, n int) Reason {
	h := w.plan.Tasks[i].Holds[n]
	return Reason{Kind: Keeps, What: h.What, Minutes: h.Minutes, At: h.Until}
}

// better are the places of a new order whose jobs are better off than before.
func (w *work) better(present, order []int, was, is []placed) (out []int) {
	for n, j := range order {
		at := slices.Index(present, j)
		old, now := was[at], is[n]
		if now.window+now.hold < old.window+old.hold || w.alone(at, present) > w.alone(n, order) {
			out = append(out, n)
		}
	}
	return out
}

// room is why a job moves for the sake of others: the nearest one to it that is
// better off.
func (w *work) room(k int, better, present, order []int, was, is []placed) Reason {
	best := -1
	for _, n := range better {
		if n != k && (best < 0 || abs(n-k) < abs(best-k)) {
			best = n
		}
	}
	if best >= 0 {
		return Reason{Kind: Room, Key: w.plan.Tasks[order[best]].Key}
	}
	if saved := w.changes(present) - w.changes(order); saved > 0 { // with others of its set-up
		return Reason{Kind: Change, Minutes: saved}
	}
	return Reason{Kind: Idle, Minutes: w.idle(was) - w.idle(is)}
}

func abs(n int) int { return max(n, -n) }

// missed says why a job is late for its windows.
func (w *work) missed(p placed) Reason {
	j := w.jobs[p.job]
	if j.never {
		return Reason{Kind: NeverAll}
	}
	longest := int64(0)
	for _, s := range all(w.plan.Tasks[p.job].Limits) {
		longest = max(longest, s.To-s.From)
	}
	if longest < j.minutes && p.start < j.during[len(j.during)-1].to {
		return Reason{Kind: TooLong, Minutes: j.minutes, Room: longest}
	}
	r := w.edge(int(p.job), p, false)
	r.Kind = Gone
	return r
}
