package sim

import (
	"flag"
	"os"
	"slices"
	"strconv"
	"sync"
	"testing"
)

var (
	seedFlag  = flag.Uint64("sim.seed", 0, "play this seed only; also FAIRDAY_SIM_SEED")
	seedsFlag = flag.Int("sim.seeds", usualSeeds, "how many seeds to play")
	firstFlag = flag.Uint64("sim.first", 1, "the first seed")
)

func seeds(t *testing.T) []uint64 {
	one := *seedFlag
	if s := os.Getenv("FAIRDAY_SIM_SEED"); s != "" && one == 0 {
		n, err := strconv.ParseUint(s, 10, 64)
		if err != nil {
			t.Fatal(err)
		}
		one = n
	}
	if one != 0 {
		return []uint64{one}
	}
	var out []uint64
	for i := range *seedsFlag {
		out = append(out, *firstFlag+uint64(i))
	}
	return out
}

// SPEC S4, D1, D2, Q6, A1, V1, V2, L3: ten phones and a desk under a hostile network.
func TestHostile(t *testing.T) {
	var mu sync.Mutex
	var total Report
	t.Run("seeds", func(t *testing.T) {
		for _, seed := range seeds(t) {
			t.Run(strconv.FormatUint(seed, 10), func(t *testing.T) {
				t.Parallel()
				r := Run(Hostile(seed))
				for _, wrong := range r.Wrong {
					t.Error(wrong)
				}
				if r.Made < 50 || r.Faults < 40 {
					t.Errorf("%d edits and %d faults only", r.Made, r.Faults)
				}
				if t.Failed() {
					t.Logf("play it again with -sim.seed=%d", seed)
				}
				mu.Lock()
				defer mu.Unlock()
				total.Steps, total.Made, total.Faults, total.Entries = total.Steps+r.Steps, total.Made+r.Made, total.Faults+r.Faults, total.Entries+r.Entries
			})
		}
	})
	t.Logf("%d steps, %d edits, %d entries, %d faults", total.Steps, total.Made, total.Entries, total.Faults)
}

// SPEC D1: a seed plays the same every time.
func TestSameSeedSameRun(t *testing.T) {
	a, b := Run(Hostile(7)), Run(Hostile(7))
	if !slices.Equal(a.Heard[Person(1)], b.Heard[Person(1)]) || a.Faults != b.Faults || a.Steps != b.Steps {
		t.Errorf("%d and %d messages, %d and %d faults", len(a.Heard[Person(1)]), len(b.Heard[Person(1)]), a.Faults, b.Faults)
	}
}

// SPEC A6: with and without money, everybody but the producer hears the same,
// in the same faults.
func TestMoneyIsNotHeard(t *testing.T) {
	for seed := range uint64(usualPairs) {
		cfg := Hostile(100 + seed)
		cfg.WithoutProduce, cfg.Restore = true, 0
		cfg.Money = 0
		without := Run(cfg)
		cfg.Money = 150
		with := Run(cfg)
		if with.Entries < without.Entries+20 {
			t.Fatalf("seed %d: %d and %d entries", cfg.Seed, without.Entries, with.Entries)
		}
		for p, texts := range without.Heard {
			if !slices.Equal(texts, with.Heard[p]) {
				t.Errorf("seed %d: money changed what %s hears", cfg.Seed, p)
			}
		}
		if len(without.Heard) != People-1 {
			t.Errorf("%d people heard something", len(without.Heard))
		}
	}
}
