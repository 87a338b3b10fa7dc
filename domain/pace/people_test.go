package pace_test

import (
	"math"
	"math/rand/v2"
	"slices"

	"fairday/domain/pace"
)

// Days as people make them, and what they tap meanwhile. Nothing here knows the
// model that the forecast believes in: lengths come from gamma distributions,
// disturbances from what goes wrong on set (common practice, no source).

// habits are what a day is like. Shares are of shots, lengths are minutes.
type habits struct {
	truth     float64 // what everything takes of its plan in the middle; 0 for 1
	daySD     float64 // how far days differ in that
	vary      float64 // coefficient of variation of one shot
	heavy     float64 // share of shots that take heavyBy their plan
	heavyBy   float64
	oneHeavy  bool // just one of them
	bimodal   bool // a shot takes 0.6 or 1.6 of its plan
	morning   float64
	afternoon float64 // factor of what starts after the middle of the day
	sagging   float64 // grows by that much to the end of the day
	changes   float64 // factor of set-up changes
	gaps      float64 // a day, that nobody tells of
	gapLow    float64
	gapHigh   float64
	pauses    float64 // a day, that are tapped
	redo      float64 // share of shots that are made again later
	startLate float64

	lateShare          float64 // of taps
	lateLow, lateHigh  float64
	batch              int     // taps so many at once
	unopened           float64 // share of shots that nobody opens
	openEarly          float64 // how long before they begin shots are opened
	lunchLate          float64
	lunchLength        float64 // factor
	lunchUntold        bool
	lunchToldLate      float64 // how late the taps of its start and end come
	lunchEndUntold     bool
	noLunch            bool
	shuffled           bool // shots are made in another order than planned
	cut, added         int  // during the day
	few                bool // long shots, few of them
	changesAreNotPlans bool // no set-up change is planned, but they take time

	sway    float64 // the pace goes up and down by that much, twice a day
	quarter bool    // taps stand at the next quarter of an hour
	many    bool    // twice as many shots, half as long
}

type tap struct {
	at   float64
	shot int
	what string // "open", "capture", "reset", "cut", "add", "eat", "eaten", "pause", "on"
}

type scene struct {
	setup   int
	planned int64
}

// lived is one day and what was tapped on it.
type lived struct {
	call    int64
	scenes  []scene
	change  []int64 // into each set-up
	taps    []tap
	wrap    float64
	lunchAt int64
	lunch   int64 // minutes planned, 0 for none
	added   map[int]bool
}

func gamma(r *rand.Rand, cv float64) float64 { // mean 1
	if cv <= 0 {
		return 1
	}
	k := 1 / (cv * cv)
	boost := 1.0
	if k < 1 { // Marsaglia and Tsang 2000, with their boost
		boost = math.Pow(r.Float64(), 1/k)
		k++
	}
	d := k - 1.0/3
	c := 1 / math.Sqrt(9*d)
	for {
		x := r.NormFloat64()
		v := 1 + c*x
		if v <= 0 {
			continue
		}
		v *= v * v
		if math.Log(r.Float64()) < x*x/2+d-d*v+d*math.Log(v) {
			return boost * d * v * cv * cv
		}
	}
}

func (h habits) live(r *rand.Rand) lived {
	d := lived{call: 480 + 15*r.Int64N(5), added: map[int]bool{}}
	n := 10 + r.IntN(16)
	if h.few {
		n = 10 + r.IntN(3)
	}
	if h.many {
		n *= 2
	}
	mean := 520.0 / float64(n) * 0.85
	for setup, i := 0, 0; i < n; setup++ {
		c := 5 * (1 + r.Int64N(4))
		if h.changesAreNotPlans {
			c = 0
		}
		d.change = append(d.change, c)
		for k := 2 + r.IntN(4); k > 0 && i < n; k-- {
			m := max(5, int64(math.Round(mean*(0.5+r.Float64())/5))*5)
			d.scenes = append(d.scenes, scene{setup, m})
			i++
		}
	}
	truth := h.truth
	if truth == 0 {
		truth = 1
	}
	pace := truth * math.Exp(h.daySD*r.NormFloat64())
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	if h.shuffled {
		for range n / 3 {
			i, k := r.IntN(n), r.IntN(n)
			order[i], order[k] = order[k], order[i]
		}
	}
	for k := range h.added {
		i := len(d.scenes)
		d.scenes = append(d.scenes, scene{d.scenes[n-1].setup, max(5, int64(mean/5)*5)})
		d.added[i] = true
		d.taps = append(d.taps, tap{float64(d.call) + 150 + 90*float64(k) + 60*r.Float64(), i, "add"})
		order = append(order, i)
	}
	gone := map[int]float64{}
	for k := range h.cut {
		i := n - 1 - 2*k
		gone[i] = float64(d.call) + 120 + 200*r.Float64()
		d.taps = append(d.taps, tap{gone[i], i, "cut"})
	}
	heavyOne := -1
	if h.oneHeavy {
		heavyOne = r.IntN(n)
	}
	if !h.noLunch {
		d.lunchAt, d.lunch = d.call+270, 45
	}
	total := int64(0)
	for _, s := range d.scenes {
		total += s.planned
	}
	now := float64(d.call) + h.startLate*(0.5+r.Float64())
	ate := h.noLunch
	eat := func() {
		if ate || now < float64(d.lunchAt)+h.lunchLate {
			return
		}
		ate = true
		from := now
		now += float64(d.lunch) * max(h.lunchLength, 0.01+map[bool]float64{true: 1, false: 0}[h.lunchLength == 0]) * (0.9 + 0.2*r.Float64())
		if !h.lunchUntold {
			d.taps = append(d.taps, tap{from + h.lunchToldLate*r.Float64(), 0, "eat"})
			if !h.lunchEndUntold {
				d.taps = append(d.taps, tap{now + h.lunchToldLate*r.Float64(), 0, "eaten"})
			}
		}
	}
	perHour := func(n float64, minutes float64) bool { return r.Float64() < n*minutes/540 }
	at := func(length float64) float64 { // what a length planned takes now
		f := pace
		part := (now - float64(d.call)) / 540
		if part < 0.5 && h.morning > 0 {
			f *= h.morning
		}
		if part >= 0.5 && h.afternoon > 0 {
			f *= h.afternoon
		}
		f *= 1 + h.sagging*part
		if h.sway != 0 { // nothing is drawn from r, so other kinds stay as they were
			f *= 1 + h.sway*math.Sin(4*math.Pi*part)
		}
		return length * f * gamma(r, h.vary)
	}
	stands := -1
	var again []int
	made := 0
	shoot := func(i int, second bool) {
		s := d.scenes[i]
		eat()
		opens := now
		if stands != s.setup {
			c := float64(d.change[s.setup])
			if h.changesAreNotPlans {
				c = 12
			}
			f := h.changes
			if f == 0 {
				f = 1
			}
			now += at(c * f)
			stands = s.setup
			opens = now
		}
		m := at(float64(s.planned))
		switch {
		case i == heavyOne || r.Float64() < h.heavy:
			m *= h.heavyBy
		case h.bimodal && r.Float64() < 0.6:
			m *= 0.6
		case h.bimodal:
			m *= 1.6
		}
		if r.Float64() >= h.unopened {
			d.taps = append(d.taps, tap{max(float64(d.call), opens-h.openEarly), i, "open"})
		}
		if perHour(h.gaps, m) {
			now += h.gapLow + (h.gapHigh-h.gapLow)*r.Float64()
		}
		if perHour(h.pauses, m) {
			d.taps = append(d.taps, tap{now, 0, "pause"})
			now += h.gapLow + (h.gapHigh-h.gapLow)*r.Float64()
			d.taps = append(d.taps, tap{now, 0, "on"})
		}
		now += m
		d.taps = append(d.taps, tap{now, i, "capture"})
		if made++; !second && r.Float64() < h.redo {
			d.taps = append(d.taps, tap{now + 5 + 20*r.Float64(), i, "reset"})
			again = append(again, i)
		}
	}
	for _, i := range order {
		if g, ok := gone[i]; ok && now > g {
			continue
		}
		delete(gone, i)
		d.taps = slices.DeleteFunc(d.taps, func(t tap) bool { return t.what == "cut" && t.shot == i })
		shoot(i, false)
		if len(again) > 0 && r.Float64() < 0.4 {
			k := again[0]
			again = again[1:]
			now = max(now, 0)
			shoot(k, true)
		}
	}
	for _, k := range again {
		shoot(k, true)
	}
	d.wrap = now
	d.late(r, h)
	return d
}

// late has people tap their captures late, or several at once.
func (d *lived) late(r *rand.Rand, h habits) {
	n, since := 0, 0.0
	last := map[int]float64{}
	var held []int
	slices.SortStableFunc(d.taps, func(a, b tap) int { return int(math.Copysign(1, a.at-b.at)) })
	for i := range d.taps {
		t := &d.taps[i]
		if t.what != "capture" {
			continue
		}
		if h.batch > 1 {
			held = append(held, i)
			if n++; n%h.batch == 0 {
				for k, j := range held {
					d.taps[j].at = t.at + 0.3*float64(k)
				}
				held = nil
			}
		}
		if r.Float64() < h.lateShare {
			t.at += h.lateLow + (h.lateHigh-h.lateLow)*r.Float64()
		}
		if h.quarter {
			t.at = math.Ceil(t.at/15) * 15
		}
		t.at = max(t.at, since)
		since, last[t.shot] = t.at, t.at
	}
	for _, j := range held {
		d.taps[j].at = max(d.taps[j].at, since)
	}
	resets := map[int]float64{} // one is put back after it was told to be made
	for i := range d.taps {
		t := &d.taps[i]
		switch t.what {
		case "capture":
			if _, ok := resets[t.shot]; !ok {
				resets[t.shot] = t.at
			}
		case "reset":
			t.at = max(t.at, resets[t.shot]+0.1)
		}
	}
	slices.SortStableFunc(d.taps, func(a, b tap) int {
		if a.at == b.at {
			return 0
		}
		return int(math.Copysign(1, a.at-b.at))
	})
}

// told is what is known at a minute.
type told struct {
	plan pace.Plan
	done int // shots
	all  int
	last int64 // capture

	plannedDone, plannedAll int64
	planWrap, planAt        int64 // the wrap as planned, and when the last captured was planned to be
	eaten, toEat            int64 // minutes of lunch as somebody with a watch takes them
	worked                  int64
}

func (d lived) told(now int64) told {
	k := told{plan: pace.Plan{Now: now, Changes: map[string]int64{}, By: d.call + 600}}
	name := func(s int) string { return string(rune('a' + s)) }
	t := pace.Taps{Call: d.call}
	shotBefore := map[int]bool{}
	captured, opened, known := map[int]bool{}, map[int]int64{}, map[int]bool{}
	for i := range d.scenes {
		known[i] = !d.added[i]
	}
	lunch := pace.TappedMeal{PlannedMeal: pace.PlannedMeal{Key: "lunch", At: d.lunchAt, Minutes: d.lunch}}
	stands, stop := -1, int64(-1)
	for _, x := range d.taps {
		at := int64(math.Round(x.at))
		if at > now {
			break
		}
		switch x.what {
		case "open":
			opened[x.shot] = at
		case "capture":
			c := pace.Capture{At: at, Planned: d.scenes[x.shot].planned}
			c.Again = shotBefore[x.shot]
			shotBefore[x.shot] = true
			_, c.Opened = opened[x.shot]
			delete(opened, x.shot)
			if s := d.scenes[x.shot].setup; s != stands {
				c.Planned += d.change[s]
				stands = s
			}
			captured[x.shot] = true
			k.last = at
			t.Captures = append(t.Captures, c)
		case "reset":
			delete(captured, x.shot)
		case "cut":
			known[x.shot] = false
		case "add":
			known[x.shot] = true
		case "eat":
			lunch.Begun, lunch.From = true, at
		case "eaten":
			lunch.Over, lunch.To = true, at
		case "pause":
			stop = at
		case "on":
			t.Stops = append(t.Stops, pace.Stretch{From: stop, To: at})
			stop = -1
		}
	}
	if stop >= 0 {
		t.Stops = append(t.Stops, pace.Stretch{From: stop, To: now})
	}
	if d.lunch > 0 {
		t.Meals = append(t.Meals, lunch)
	}
	k.plan.Read(t)
	for i, c := range d.change {
		k.plan.Changes[name(i)] = c
	}
	// All that were opened and are not captured are up.
	var up []int
	for i := range opened {
		if known[i] && !captured[i] {
			up = append(up, i)
		}
	}
	slices.SortFunc(up, func(a, b int) int { return int(2*(opened[a]-opened[b])) + map[bool]int{true: 1, false: -1}[a > b] })
	if stands >= 0 {
		k.plan.Setup = name(stands)
	}
	add := func(i int) {
		s := d.scenes[i]
		task := pace.Task{Key: string(rune('A' + i)), Setup: name(s.setup), Planned: s.planned}
		if n := slices.Index(up, i); n >= 0 {
			task.Open, task.Elapsed, task.Passed = true, k.plan.Elapsed(opened[i]), n+1 < len(up)
			k.plan.Setup = name(s.setup)
		}
		k.plan.Tasks = append(k.plan.Tasks, task)
	}
	for _, i := range up {
		add(i)
	}
	for i := range d.scenes {
		if known[i] && !captured[i] && !slices.Contains(up, i) {
			add(i)
		}
	}
	// What a person with the plan and a watch knows.
	k.planWrap, k.planAt = d.call, d.call
	stood := -1
	for i, s := range d.scenes {
		if !known[i] {
			continue
		}
		k.all++
		m := s.planned
		if s.setup != stood {
			m += d.change[s.setup]
			stood = s.setup
		}
		k.plannedAll += m
		if captured[i] {
			k.done++
			k.plannedDone += m
		}
	}
	k.toEat = d.lunch
	switch {
	case lunch.Over:
		k.eaten, k.toEat = lunch.To-lunch.From, 0
	case lunch.Begun:
		k.eaten, k.toEat = min(d.lunch, now-lunch.From), max(0, lunch.From+d.lunch-now)
	case now > d.lunchAt+d.lunch:
		k.eaten, k.toEat = d.lunch, 0
	}
	k.worked = k.last - d.call
	if k.last > lunch.From && lunch.Begun || !lunch.Begun && k.last > d.lunchAt+d.lunch {
		k.worked -= min(k.eaten, max(0, k.last-d.call))
	}
	k.planWrap = d.call + k.plannedAll + d.lunch
	k.planAt = d.call + k.plannedDone
	if k.last > d.lunchAt {
		k.planAt += d.lunch
	}
	return k
}

// baselines are what people do without a forecast: the plan plus the delay so far,
// a straight line by the count of shots, and one by their planned minutes.
func (k told) baselines(call, now int64) (out [3]int64) {
	if k.done == 0 {
		for i := range out {
			out[i] = max(k.planWrap, now)
		}
		return out
	}
	rest := k.last
	if k.eaten+k.toEat > 0 && k.toEat > 0 {
		rest += k.toEat
	}
	out[0] = k.planWrap + k.last - k.planAt
	out[1] = rest + k.worked*int64(k.all-k.done)/int64(k.done)
	out[2] = rest
	if k.plannedDone > 0 {
		out[2] += k.worked * (k.plannedAll - k.plannedDone) / k.plannedDone
	}
	for i := range out {
		out[i] = max(out[i], now)
	}
	return out
}
