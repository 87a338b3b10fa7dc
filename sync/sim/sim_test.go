package sim

import (
	"flag"
	"iter"
	"os"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"
)

var (
	seedFlag  = flag.Uint64("sim.seed", 0, "play this seed only; also FAIRDAY_SIM_SEED")
	seedsFlag = flag.Int("sim.seeds", usualSeeds, "how many seeds to play")
	firstFlag = flag.Uint64("sim.first", 1, "the first seed")
	forFlag   = flag.Duration("sim.for", 0, "play one seed after the other for so long, whatever sim.seeds says")
)

// seeds gives the seeds to play, one after the other.
func seeds(t *testing.T) iter.Seq[uint64] {
	one := *seedFlag
	if s := os.Getenv("FAIRDAY_SIM_SEED"); s != "" && one == 0 {
		n, err := strconv.ParseUint(s, 10, 64)
		if err != nil {
			t.Fatal(err)
		}
		one = n
	}
	return func(yield func(uint64) bool) {
		if one != 0 {
			yield(one)
			return
		}
		until := time.Now().Add(*forFlag)
		for seed := *firstFlag; *forFlag > 0 && time.Now().Before(until) || *forFlag == 0 && seed < *firstFlag+uint64(*seedsFlag); seed++ {
			if !yield(seed) {
				return
			}
		}
	}
}

// SPEC S4, D1, D2, Q6, A1, A11, V1, V2, L3: phones and a desk under a hostile network.
func TestHostile(t *testing.T) {
	var mu sync.Mutex
	var total Report
	next, stop := iter.Pull(seeds(t))
	defer stop()
	var players sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		players.Go(func() {
			for {
				mu.Lock()
				seed, ok := next()
				mu.Unlock()
				if !ok {
					return
				}
				r := Run(Hostile(seed))
				for _, wrong := range r.Wrong {
					t.Errorf("seed %d, %s", seed, wrong)
				}
				if len(r.Wrong) > 0 {
					t.Logf("play it again with -sim.seed=%d", seed)
				}
				mu.Lock()
				if total.add(r); total.Runs%1000 == 0 {
					t.Log(total)
				}
				mu.Unlock()
			}
		})
	}
	players.Wait()
	if n := total.Runs; n >= 20 && (total.Entered < 30*n || total.Faults < 70*n) { // a single one may be a quiet day
		t.Errorf("too little happens in %d shoots: %d edits and %d faults", n, total.Entered, total.Faults)
	}
	t.Logf("from seed %d: %s", *firstFlag, total)
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
		with, without := pair(Hostile(100 + seed))
		if with.Entries < without.Entries+20 {
			t.Fatalf("seed %d: %d and %d entries", 100+seed, without.Entries, with.Entries)
		}
		for p, texts := range without.Heard {
			if !slices.Equal(texts, with.Heard[p]) {
				t.Errorf("seed %d: money changed what %s hears", 100+seed, p)
			}
		}
		if len(without.Heard) != People-1 {
			t.Errorf("%d people heard something", len(without.Heard))
		}
	}
}

// pair plays a run twice, with and without money.
func pair(cfg Config) (with, without Report) {
	cfg.WithoutProduce, cfg.Restore, cfg.Phones, cfg.Steps = true, 0, 0, 120
	cfg.Money = 0
	without = Run(cfg)
	cfg.Money = 200
	return Run(cfg), without
}

// SPEC S4, D2: a crowd, with several devices each.
func TestHundreds(t *testing.T) {
	cfg := Hostile(1)
	cfg.Phones, cfg.Steps, cfg.Edits, cfg.Restore = usualCrowd, 25, 40, 2
	r := Run(cfg)
	for _, wrong := range r.Wrong {
		t.Error(wrong)
	}
	r.Runs = 1
	t.Log(r)
}

// The seeds that found something.
func TestFound(t *testing.T) {
	for name, seed := range found {
		t.Run(name, func(t *testing.T) {
			cfg := Hostile(seed)
			cfg.Phones, cfg.Steps, cfg.Drop, cfg.Double, cfg.Swap, cfg.Cut, cfg.Half = 0, 160, 30, 30, 15, 20, 4
			for _, wrong := range Run(cfg).Wrong {
				t.Error(wrong)
			}
		})
	}
}

// found names what each seed found, when it did.
var found = map[string]uint64{
	"a number that never comes was announced before what was in front of it":      155,
	"a refusal that was not stored came back after the server had been put back":  191,
	"a queue that was lost and filled again was taken for another edit's numbers": 12,
}

// Each check finds what it is for.
func TestChecksCanFail(t *testing.T) {
	for sabotage, want := range map[string]string{
		"a phone forgets":                "is lost",
		"a phone stays away":             "is not quiet",
		"the log changes a verdict":      "has the verdict",
		"the log drops what happened":    "decided again leads to other events",
		"the log opens a shot":           "opened a shot",
		"the log has an edit twice":      "is in the log twice",
		"the desk talks":                 "was sent",
		"the desk tells other verdicts":  "and the log says",
		"the desk garbles the floor":     "other hashes",
		"the desk garbles another plane": "has another state than the log gives",
		"the desk hands out everything":  "holds what it may not see",
		"the desk tells of strangers":    "hears whether",
		"nobody hears who is on line":    "for on line",
	} {
		t.Run(sabotage, func(t *testing.T) {
			var wrong []string
			for seed := uint64(7); seed < 12 && len(wrong) == 0; seed++ { // what it breaks may not come up in one
				cfg := Hostile(seed)
				cfg.sabotage = sabotage
				wrong = Run(cfg).Wrong
			}
			if !slices.ContainsFunc(wrong, func(s string) bool { return strings.Contains(s, want) }) {
				t.Errorf("nothing says %q: %q", want, wrong)
			}
		})
	}
	cfg := Hostile(100)
	cfg.sabotage = "money is heard"
	if with, without := pair(cfg); slices.Equal(without.Heard[Person(1)], with.Heard[Person(1)]) {
		t.Error("money is heard, and nobody notices")
	}
}
