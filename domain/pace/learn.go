package pace

import "math"

// How a day is learned from. Tried on days of many kinds; common practice, no source.
const (
	turn      = 0.10 // chance at each piece that the pace turns to another
	turnSD    = 0.30 // how far it may turn
	oddShare  = 0.10 // of pieces that say little: a wait that nobody tells of, a shot of three times its plan
	lateStart = 0.80 // of first pieces that do, since people were called early or came late
	oddSD     = 0.80 // how far off such a piece is
	tapSD     = 5    // minutes by which a tap is off
	together  = 4    // a tap that comes in less than a fourth of its plan belongs to the one before
	least     = 30   // planned minutes of a piece
	ahead     = 0.09 // how far the pace may yet go from what it was
	stopping  = 2    // of so many minutes that were stopped, one is a day that stops again
	worth     = 6    // pieces that what is believed of Shot beforehand is worth
)

// piece is a stretch of the day that says how fast it ran.
type piece struct {
	planned, took int64
	squares       float64 // of the planned minutes of its shots
}

// regime is a pace that may have held since some piece.
type regime struct{ weight, mean, variance float64 }

// Learn gives the pace from the shots that are finished, in order of time. A shot
// planned at no time adds what it took to the one before. It fails with CodePlanned or
// CodeTook.
func Learn(done []Finished) (Pace, error) {
	p := Pace{Shot: ShotSD}
	pieces, late, err := p.pieces(done)
	if err != nil {
		return Pace{}, err
	}
	p.Late = (float64(late) + 0.1) / (float64(p.Shots) + 4)
	var all []regime
	for first := range 2 { // the second time with the spread that the first has found
		all = []regime{{1, -ShotSD * ShotSD / 2, PriorSD * PriorSD}} // a plan is right as a sum
		sum := 0.0
		for i, q := range pieces {
			ratio := float64(q.took) / float64(q.planned)
			weighed := q.squares / float64(float64(q.planned)*float64(q.planned))
			y := logOf(min(max(ratio, 1.0/farthest), farthest)) - float64(float64(p.Shot*p.Shot)*(1-weighed))/2 // a sum's middle is above the sum of middles
			noise := float64(float64(p.Shot*p.Shot)*weighed) + 2*tapSD*tapSD/float64(float64(q.planned)*float64(q.planned))
			was := blend(all)
			e := y - was.mean
			odd := oddShare
			if i == 0 {
				odd = lateStart
			} else {
				sum += min(float64(float64(e*e)*noise)/(noise+was.variance)/weighed, 1)
			}
			all = step(all, was, y, noise, odd)
		}
		n := float64(max(len(pieces)-1, 0))
		if first > 0 {
			break
		}
		p.Shot = math.Sqrt((worth*ShotSD*ShotSD + sum) / (worth + n))
	}
	r := blend(all)
	p.Mean = r.mean
	if len(pieces) == 0 {
		return Pace{Shot: ShotSD, SD: PriorSD, Late: p.Late}, nil
	}
	p.SD = math.Sqrt(r.variance + ahead*ahead)
	return p, nil
}

// pieces puts together what was tapped together, and what is too short to tell.
func (p *Pace) pieces(done []Finished) (out []piece, late int, err error) {
	for i, f := range done {
		if f.Planned < 0 || f.Planned > longest {
			return nil, 0, fail(CodePlanned, "finished shot %d was planned at %d min; correct the plan to between 0 min and 36 h", i+1, f.Planned)
		}
		if f.Took < 0 || f.Took > 2*longest || f.Stopped < 0 || f.Stopped > 2*longest {
			return nil, 0, fail(CodeTook, "finished shot %d took %d min; correct when it was opened or captured", i+1, f.Took)
		}
		if f.Planned == 0 {
			if n := len(out); n > 0 {
				out[n-1].took += f.Took + f.Stopped/stopping // a shot made again
				p.Took += f.Took
			}
			continue
		}
		p.Shots++
		p.Planned += f.Planned
		p.Took += f.Took
		n := len(out)
		tapped := f.Took*together < f.Planned
		if n == 0 || !tapped && out[n-1].planned >= least {
			out = append(out, piece{})
			n++
		}
		if tapped {
			late++
		}
		q := &out[n-1]
		q.planned += f.Planned
		q.took += f.Took + f.Stopped/stopping
		q.squares += float64(float64(f.Planned) * float64(f.Planned))
	}
	return out, late, nil
}

// blend is all that may hold as one.
func blend(all []regime) (out regime) {
	for _, r := range all {
		out.weight += r.weight
		out.mean += float64(r.weight * r.mean)
	}
	out.mean /= out.weight
	for _, r := range all {
		d := r.mean - out.mean
		out.variance += float64(r.weight * (r.variance + float64(d*d)))
	}
	out.variance /= out.weight
	return out
}

// step takes a piece in.
func step(all []regime, was regime, y, noise, oddShare float64) []regime {
	next := make([]regime, 0, len(all)+1)
	for _, r := range all {
		next = append(next, regime{float64(r.weight * (1 - turn)), r.mean, r.variance})
	}
	next = append(next, regime{float64(was.weight * turn), was.mean, was.variance + turnSD*turnSD})
	total := 0.0
	for i := range next {
		r := &next[i]
		e := y - r.mean
		s := r.variance + noise
		far := s + oddSD*oddSD
		plain := float64((1-oddShare)*expOf(-float64(e*e)/(2*s))) / math.Sqrt(s)
		odd := float64(oddShare*expOf(-float64(e*e)/(2*far))) / math.Sqrt(far)
		o := odd / (plain + odd)
		near, wide := r.variance/s, r.variance/far
		gain := float64(near*(1-o)) + float64(wide*o)
		apart := float64((near - wide) * e)
		r.mean += float64(gain * e)
		r.variance = float64(r.variance*(1-gain)) + float64(float64(o*(1-o))*float64(apart*apart))
		r.weight = float64(r.weight * (plain + odd))
		total += r.weight
	}
	for i := range next {
		next[i].weight /= total
	}
	return next
}
