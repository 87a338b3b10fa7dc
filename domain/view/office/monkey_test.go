package office

import (
	"encoding/json"
	"slices"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/view"
	"fairday/domain/view/day"
	"fairday/domain/when"
)

// Hands that press whatever is on, in an order that only the seed knows. No
// button that needs no form may be refused, every form can be filled in, and
// every screen can be made at every step.
func TestPressingAnythingThatIsOn(t *testing.T) {
	for seed := range uint64(4) {
		st := newStage(t)
		next := seed*977 + 1
		pick := func(n int) int {
			next = next*6364136223846793005 + 1442695040888963407
			return int(next>>33) % n
		}
		now := clock("07:00")
		pressed := map[string]int{}
		for range 250 {
			now += when.Instant(pick(6)) * when.Minute
			role := shoot.Roles()[pick(len(shoot.Roles()))]
			c := view.Context{Me: person(role), Now: now}
			seen := func() *shoot.State { return st.State.For(shoot.Audience{Person: c.Me, Role: role}) }
			if st.State.Floor.People[c.Me].Revoked {
				continue
			}
			v, err := either(anyScreen[pick(len(anyScreen))], seen(), c)
			if err != nil {
				t.Fatal(err)
			}
			var lists map[string][]view.Option
			if plan, ok := v.(*Plan); ok {
				lists = plan.Lists
			}
			b, err := json.Marshal(v)
			if err != nil {
				t.Fatal(err)
			}
			var on []view.Action
			for _, a := range actions(t, b) {
				if a.Enabled {
					on = append(on, a)
				}
			}
			if len(on) == 0 {
				continue
			}
			a := on[pick(len(on))]
			if a.Later {
				if a = day.Open(a, seen(), day.Context{Context: c}); !a.Enabled {
					t.Errorf("seed %d: %q was on and is off: %s", seed, a.Label, a.Why)
					continue
				}
			}
			st.N++
			args, err := view.Fill(a, anything(a, lists, pick), id(5000+st.N))
			if err != nil {
				t.Fatalf("seed %d, %q: %v", seed, a.Label, err)
			}
			_, refusal := st.Late(c.Me, now, now, a.Name, json.RawMessage(args))
			if refusal != nil && (a.Form == nil || refusal.Code == shoot.CodeBadArgs && !free[a.Name] || refusal.Code == shoot.CodeUnknownThing) {
				t.Errorf("seed %d: %s presses %q (%s %s): %v", seed, role, a.Label, a.Name, args, refusal)
			}
			if refusal == nil {
				pressed[a.Name]++
			}
		}
		if len(pressed) < 12 {
			t.Errorf("seed %d pressed only %v", seed, pressed)
		}
	}
}

// free are the intents of forms in which a person can write what the rules do
// not take.
var free = map[string]bool{"punch": true, "sheet.set": true, "shot.set": true, "hero.set": true, "day.set": true, "light.set": true, "meal.range": true, "food.out": true}

// anything fills a form in, now and then with what it was shown with.
func anything(a view.Action, lists map[string][]view.Option, pick func(int) int) map[string][]string {
	out := map[string][]string{}
	if a.Form == nil {
		return out
	}
	for _, f := range a.Form.Fields {
		switch f.As {
		case view.AsDegrees, view.AsMetres:
			out[f.Key] = []string{view.Itoa(pick(9)) + "." + view.Itoa(pick(99))}
			continue
		case view.AsMoment:
			continue // as it was shown
		case view.AsArcs:
			out[f.Key] = []string{"", "80 to 120: 6", "350 to 20: 12\n90 to 91: 1"}[pick(3):][:1]
			continue
		}
		options := slices.Concat(lists[f.List], f.Options)
		switch f.Kind {
		case view.KindTime:
			out[f.Key] = []string{when.Clock(pick(24 * 60)).String()}
		case view.KindMoney:
			out[f.Key] = []string{"120.50"}
		case view.KindNumber:
			out[f.Key] = []string{"15"}
		case view.KindChoice:
			out[f.Key] = []string{options[pick(len(options))].Value}
		case view.KindTicks:
			for _, o := range options {
				out[f.Key] = append(out[f.Key], o.Value)
			}
		default:
			out[f.Key] = []string{[]string{"LX-20", "B7", "brass", "something else"}[pick(4)]}
		}
	}
	return out
}

// anyScreen are all whose forms anything can be written into, near and far.
var anyScreen = []view.Screen{view.ScreenShell, view.ScreenCallSheet, view.ScreenShots, view.ScreenHeroes, view.ScreenCatering, view.ScreenOvertime, view.ScreenSettle, view.ScreenHours, view.ScreenDay, view.ScreenPlan}

// either makes a screen, near or far.
func either(screen view.Screen, s *shoot.State, c view.Context) (any, error) {
	if screen == view.ScreenPlan && slices.Contains(screens()[screen].who, s.Floor.People[c.Me].Role) {
		return Make(string(screen), s, Context{Context: c})
	}
	if screen == view.ScreenPlan {
		screen = view.ScreenCallSheet
	}
	return day.Make(string(screen), s, day.Context{Context: c})
}
