package shoot

import (
	"slices"

	"fairday/domain/catering"
	"fairday/domain/sorting"
	"fairday/domain/when"
)

// How the kitchen is told how many eat what without being told who.
//
// Everybody sees who is on the clock. A count that followed each punch would tell whose
// plate went with it, and so would one that was made a while later and had nobody else
// in it. So the desk gathers counts: it looks at each quarter of an hour, and makes one
// known only if everybody in it has somebody beside them who was in just the same
// counts so far, so that no count would be another if the two had each other's diet.
// What waits for that is told in any case a day before the meal, for the kitchen to buy
// by, and from two hours before it, to cook by; and at the last count.
const (
	GatherEvery = 15 * when.Minute
	toBuy       = 24 * when.Hour
	toCook      = 2 * when.Hour
)

// Count is a meal's covers and when they were worked out.
type Count struct {
	catering.Covers
	At        when.Instant `json:"at"`
	Late      bool         `json:"late"`                // differs from the locked count
	Everybody when.Instant `json:"everybody,omitempty"` // when it was last counted who eats; guests and spare plates are taken in at once
}

type coversCount struct {
	First bool `json:"first"` // only the meals that were never counted
}

// regroup divides the groups of people that were in the same counts so far by who is in
// one more. Who never was in any has no group.
func regroup(groups map[PersonID]int, in []PersonID) map[PersonID]int {
	type place struct {
		was int
		in  bool
	}
	all := sorting.Keys(groups)
	for _, p := range in {
		if groups[p] == 0 {
			all = append(all, p)
		}
	}
	sorting.Up(all)
	out, names := map[PersonID]int{}, map[place]int{}
	for _, p := range all {
		at := place{groups[p], slices.Contains(in, p)}
		if names[at] == 0 {
			names[at] = len(names) + 1
		}
		out[p] = names[at]
	}
	return out
}
