package pace

import "testing"

// A morning from 08:00 (480) of three shots planned at 60 minutes each that took just
// that, with half an hour between the first two that somebody told of.
func TestWhatIsToldOfStops(t *testing.T) {
	read := func(change func(*Taps)) (Plan, Pace) {
		t.Helper()
		taps := Taps{Call: 480, Captures: []Capture{{At: 540, Planned: 60, Opened: true}, {At: 630, Planned: 60, Opened: true}, {At: 690, Planned: 60, Opened: true}}}
		change(&taps)
		p := Plan{Now: 690, Tasks: []Task{{Key: "a", Planned: 60}}}
		p.Read(taps)
		pace, err := Learn(p.Finished)
		if err != nil {
			t.Fatal(err)
		}
		return p, pace
	}
	half := Stretch{540, 570}
	_, planned := read(func(t *Taps) { t.Planned = []Stretch{half} })
	told, stopped := read(func(t *Taps) { t.Stops = []Stretch{half} })
	_, untold := read(func(*Taps) {})
	if got := told.Finished[1]; got != (Finished{60, 60, 30}) {
		t.Errorf("the shot after the stop is %+v", got)
	}
	if planned.Observed() != 100 || stopped.Observed() != 100 || untold.Observed() != 117 {
		t.Errorf("took %d, %d and %d %% of the plan", planned.Observed(), stopped.Observed(), untold.Observed())
	}
	if !(planned.Mean < stopped.Mean && stopped.Mean < untold.Mean) {
		t.Errorf("a wait that was planned %.3f, one that was told of %.3f, one that nobody told of %.3f", planned.Mean, stopped.Mean, untold.Mean)
	}
	_, both := read(func(t *Taps) { t.Planned, t.Stops = []Stretch{half}, []Stretch{half} })
	if both != planned {
		t.Error("a pause in a wait that was planned stops twice")
	}
}

// A shot that is made again takes time that nobody planned, and a day that did so may
// do so again: the wrap is never sooner for it.
func TestMadeAgain(t *testing.T) {
	wrap := func(captures ...Capture) int64 {
		p := Plan{Now: captures[len(captures)-1].At, Tasks: []Task{{Key: "a", Planned: 60}, {Key: "b", Planned: 60}}}
		p.Read(Taps{Call: 480, Captures: captures})
		f, err := p.Forecast()
		if err != nil {
			t.Fatal(err)
		}
		return f.Wrap50 - p.Now
	}
	first, second := Capture{At: 540, Planned: 60, Opened: true}, Capture{At: 600, Planned: 60, Opened: true}
	again := Capture{At: 640, Planned: 60, Opened: true, Again: true}
	once, twice := wrap(first, second), wrap(first, second, again)
	if twice <= once+10 { // 160 minutes for 120 planned
		t.Errorf("two shots take %d min after a day to plan, %d after one was made again", once, twice)
	}
}
