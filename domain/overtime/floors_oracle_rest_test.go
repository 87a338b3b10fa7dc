package overtime_test

import (
	"fairday/domain/overtime"
	"fairday/domain/when"
)

// The same for rest, from the text of the Working Time Regulations 1998,
// regulations 2 and 10 to 12 (from memory; 11 as its Northern Irish twin, SR
// 2016/49 regulation 13, was read), and Directive 2003/88, articles 2 to 5 (from
// memory).

// owed are the minutes of rest that a law asks for.
type owed struct{ daily, weekly, pause, after int64 }

var owedBy = map[overtime.Law]owed{
	overtime.LawUK:      {11 * 60, 35 * 60, 20, 6 * 60},
	overtime.LawUKYoung: {12 * 60, 48 * 60, 30, 4*60 + 30},
	overtime.LawEU:      {11 * 60, 35 * 60, 1, 6 * 60},
}

// restKey says which floor of rest is meant; day is -1 for the week.
type restKey struct {
	kind string
	day  int
}

// rested is what the law asks and what there was; known is whether it can be
// told.
type rested struct {
	owed, had int64
	known     bool
}

// began is the first minute of a day.
func began(h overtime.Hours) int64 { return max(minuteAt(h.In), minuteAt(h.Call)) }

// lastAtWork is the minute after the last one at work.
func lastAtWork(h overtime.Hours) int64 {
	away := onClock(h)
	for len(away) > 0 && away[len(away)-1] > 0 {
		away = away[:len(away)-1]
	}
	return began(h) + int64(len(away))
}

// calendar says of each minute around a week whether a day is under way and
// whether one begins.
type calendar struct {
	from        int64
	busy, begin []bool
}

func newCalendar(week when.Instant) calendar {
	const around, all = 14 * 24 * 60, 35 * 24 * 60
	return calendar{minuteAt(week) - around, make([]bool, all), make([]bool, all)}
}

// longestFree is the longest stretch of minutes from one to another at which no
// day is under way and none begins.
func (c calendar) longestFree(from, to int64) (most int64) {
	run := int64(0)
	for m := from - c.from; m < to-c.from; m++ {
		if c.begin[m] {
			run = 0
		}
		run++
		if c.busy[m] {
			run = 0
		}
		most = max(most, run)
	}
	return most
}

// restsOf reckons every floor of rest of some days.
func restsOf(law overtime.Law, week when.Instant, days []overtime.Hours) map[restKey]rested {
	o := owedBy[law]
	out := map[restKey]rested{}
	c, endless := newCalendar(week), int64(1)<<60 // from where on nobody knows
	for _, h := range days {
		if !ended(h) {
			endless = min(endless, began(h))
			continue
		}
		c.begin[began(h)-c.from] = true // though the day be one long break
		end := lastAtWork(h)
		if openBreak(h) {
			end = minuteAt(h.Out)
		}
		for m := began(h); m < end; m++ {
			c.busy[m-c.from] = true
		}
	}
	within := func(owed, from, to int64) rested {
		out := rested{owed: owed, had: c.longestFree(from, min(to, endless))}
		left := to - max(endless, from)
		out.known = out.had >= owed || left <= out.had
		return out
	}
	for i, h := range days {
		daily := within(o.daily, began(h), began(h)+24*60)
		daily.known = daily.known && ended(h) && !openBreak(h)
		out[restKey{"daily rest", i}] = daily
		out[restKey{"break", i}] = pauseOf(law, o, h)
	}
	from := minuteAt(week)
	out[restKey{"weekly rest", -1}] = within(o.weekly, from, from+7*24*60)
	return out
}

// ended tells whether a day has an end that makes sense.
func ended(h overtime.Hours) bool { return h.Out != 0 && minuteAt(h.Out) >= began(h) }

// openBreak tells whether nobody knows how long a break of the day was.
func openBreak(h overtime.Hours) bool {
	return len(h.Meals) > 0 && h.Meals[len(h.Meals)-1].To == 0
}

// pauseOf is regulation 12 or article 4.
func pauseOf(law overtime.Law, o owed, h overtime.Hours) rested {
	if !ended(h) || openBreak(h) {
		return rested{}
	}
	away := onClock(h)
	away = away[:lastAtWork(h)-began(h)]
	working, longest, began := int64(0), int64(0), false
	for _, gap := range away {
		if gap == 0 || law == overtime.LawEU {
			working++
		}
		if began = began || gap == 0; began { // a rest in the middle of work
			longest = max(longest, gap)
		}
	}
	if working <= o.after {
		return rested{owed: 0, had: longest, known: true}
	}
	return rested{owed: o.pause, had: longest, known: true}
}
