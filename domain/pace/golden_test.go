package pace

import (
	_ "embed"
	"encoding/binary"
	"flag"
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the golden file anew")

//go:embed testdata/golden.txt
var golden string

// The same corpus runs on every machine the tests run on, the browser's engine
// among them, against one file: bits of the pace, minutes of the wrap, and a
// hash of all chances and starts.
func TestSameOnEveryMachine(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	var b strings.Builder
	for i := range 200 {
		d := anyDay(r)
		f := predict(t, d)
		h := fnv.New64a()
		for _, p := range f.Parts {
			_ = binary.Write(h, binary.BigEndian, p)
		}
		fmt.Fprint(h, f.Starts, f.Doubtful)
		fmt.Fprintf(&b, "%d shots %d mean %016x from %d wrap %d %d hash %016x\n",
			i, len(d.Remaining), math.Float64bits(f.Pace.Mean), f.From, f.Wrap50, f.Wrap80, h.Sum64())
	}
	if *update {
		if err := os.WriteFile("testdata/golden.txt", []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want := strings.Split(golden, "\n")
	for i, line := range strings.Split(b.String(), "\n") {
		if i >= len(want) || line != want[i] {
			t.Fatalf("line %d is %q, recorded is %q", i+1, line, want[min(i, len(want)-1)])
		}
	}
}

// anyDay makes up a day with whatever can be in one.
func anyDay(r *rand.Rand) Day {
	d := Day{Now: 500 + r.Int64N(300), Meals: []Meal{{At: 780, Minutes: 45}, {At: 1140, Minutes: r.Int64N(40)}}}
	for range r.IntN(12) {
		d.Finished = append(d.Finished, Finished{Planned: r.Int64N(60), Took: r.Int64N(90)})
	}
	for i := range r.IntN(20) {
		s := Remaining{Key: fmt.Sprint(i), Planned: r.Int64N(50)}
		switch r.IntN(5) {
		case 0:
			s.Change = r.Int64N(40)
		case 1:
			s.Earliest = d.Now + r.Int64N(600) - 100
		case 2:
			s.Open, s.Elapsed = i < 2, 0
			if s.Open {
				s.Elapsed = r.Int64N(80)
			}
		}
		d.Remaining = append(d.Remaining, s)
	}
	return d
}
