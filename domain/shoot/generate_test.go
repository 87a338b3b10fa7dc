package shoot_test

import (
	"os"
	"slices"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/shoot/shoottest"
	"fairday/domain/when"
)

type chance func(int) int

func (f chance) Below(n int) int { return f(n) }

func TestMain(m *testing.M) {
	shoot.Generate = func(sees *shoot.State, who shoot.Audience, now when.Instant, below func(int) int) (string, any) {
		p := &shoottest.Somebody{Sees: sees, Me: who.Person, Now: now, Chance: chance(below)}
		role := who.Role
		if below(10) == 0 {
			role = "" // tries what is not theirs to do
		}
		name := p.Choose(role)
		return name, p.Args(name)
	}
	os.Exit(m.Run())
}

func TestEveryIntentHasAGenerator(t *testing.T) {
	for _, name := range shoot.Intents() {
		if !shoottest.Has(name) {
			t.Errorf("%s has no generator: add one in domain/shoot/shoottest", name)
		}
	}
	for _, name := range shoottest.Names() {
		if !slices.Contains(shoot.Intents(), name) {
			t.Errorf("a generator makes %s, which is no intent", name)
		}
	}
}
