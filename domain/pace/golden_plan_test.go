package pace

import (
	_ "embed"
	"fmt"
	"hash/fnv"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
)

//go:embed testdata/plans.txt
var goldenPlans string

// Orders and levers are the same on every machine as well, down to how many shots
// were tried.
func TestSamePlansOnEveryMachine(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 14))
	var b strings.Builder
	for i := range 60 {
		p := anyPlan(r, 1+i%12)
		o, err := Order(p, Quick)
		if err != nil {
			t.Fatal(err)
		}
		levers, err := Levers(p, func(m int64) int64 { return max(m-p.By, 0) * 77 })
		if err != nil {
			t.Fatal(err)
		}
		h := fnv.New64a()
		for _, l := range levers {
			fmt.Fprintln(h, l.Kind, l.Key, l.Keys, l.At, l.Saved50, l.Saved80, l.Before, l.After, l.Money)
		}
		fmt.Fprintf(&b, "%d order %v best %v bound %v tried %d levers %d hash %016x\n", i, o.Keys, o.Best, o.Bound, o.Tried, len(levers), h.Sum64())
	}
	if *update {
		if err := os.WriteFile("testdata/plans.txt", []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if got, want := strings.Split(b.String(), "\n"), strings.Split(goldenPlans, "\n"); len(got) != len(want) {
		t.Fatalf("%d lines, recorded are %d", len(got), len(want))
	} else {
		for i := range got {
			if got[i] != want[i] {
				t.Fatalf("line %d is %q, recorded is %q", i+1, got[i], want[i])
			}
		}
	}
}
