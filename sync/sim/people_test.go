package sim

import (
	"testing"

	"fairday/domain/shoot"
	"fairday/sync/wire"
)

// Simulated people enter every intent there is, and each is accepted from some phone.
func TestPeopleEnterEverything(t *testing.T) {
	missing := map[string]bool{}
	for _, name := range shoot.Intents() {
		if !servers[shoot.Target(name, nil)] {
			missing[name] = true
		}
	}
	for seed := uint64(1); seed <= 30 && len(missing) > 0; seed++ {
		cfg := Hostile(seed)
		cfg.Phones, cfg.Edits, cfg.Steps = 0, 400, 250 // everybody, and busy
		if seed%2 == 0 {
			cfg.Restore, cfg.Roles = 0, 0 // a day that is not put back comes further
		}
		for _, e := range Run(cfg).Log {
			if e.Device != Server && e.Verdict.Result != wire.Refused {
				delete(missing, e.Intent.Name)
			}
		}
	}
	for name := range missing {
		t.Errorf("no simulated person gets %s accepted: see its generator in domain/shoot/shoottest", name)
	}
}
