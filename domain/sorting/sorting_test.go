package sorting

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"testing"
)

type pair struct{ key, place int }

func byKey(a, b pair) int { return cmp.Compare(a.key, b.key) }

// The order is that of package slices, for any list; equals keep theirs.
func TestByIsStableSort(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for n := range 80 {
		var list []pair
		for i := range n {
			list = append(list, pair{r.IntN(1 + n/2), i})
		}
		want := slices.Clone(list)
		slices.SortStableFunc(want, byKey)
		if By(list, byKey); !slices.Equal(list, want) {
			t.Fatalf("%d: %v, want %v", n, list, want)
		}
	}
}

func TestValues(t *testing.T) {
	got := Values(map[string]pair{"x": {3, 0}, "y": {1, 0}, "z": {2, 0}}, byKey)
	if want := []pair{{1, 0}, {2, 0}, {3, 0}}; !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
	if none := Values(map[string]pair{}, byKey); none != nil {
		t.Errorf("%v out of nothing", none)
	}
}

func TestUpAndKeys(t *testing.T) {
	list := []string{"b", "c", "a", "b"}
	Up(list)
	if !slices.Equal(list, []string{"a", "b", "b", "c"}) {
		t.Error(list)
	}
	if keys := Keys(map[int]bool{3: true, 1: true, 2: false}); !slices.Equal(keys, []int{1, 2, 3}) {
		t.Error(keys)
	}
	if keys := Keys(map[string]int(nil)); len(keys) != 0 {
		t.Error(keys)
	}
}
