package pace

import (
	"slices"
	"testing"
)

// Single-machine examples of Pinedo, Scheduling: Theory, Algorithms, and Systems
// (inputs from memory, optima worked out by going through every order). A crew is
// the one machine; a due date is the end of a window. Not used, since a crew works
// on one shot at a time: the job shop of the OR-Tools documentation, whose jobs run
// on three machines at once (11).

// due is a plan of shots with due dates, each weighted by as many heroes that run
// out then.
func due(minutes, dates []int64, weights []int) Plan {
	p := Plan{}
	for i, m := range minutes {
		t := Task{Key: string(rune('1' + i)), Planned: m}
		for range weights[i] {
			t.Holds = append(t.Holds, Hold{What: "plate", Until: dates[i]})
		}
		p.Tasks = append(p.Tasks, t)
	}
	return p
}

func order(t *testing.T, p Plan) Ordered {
	t.Helper()
	o, err := Order(p, Thorough)
	if err != nil || !o.Proven {
		t.Fatal(o, err)
	}
	return o
}

func TestTardinessOfPinedo(t *testing.T) {
	o := order(t, due([]int64{12, 8, 15, 9}, []int64{16, 26, 25, 27}, []int{4, 5, 3, 5}))
	if o.Best.Late != 67 || !slices.Equal(o.Keys, []string{"1", "2", "4", "3"}) { // 1||sum w T
		t.Errorf("%+v", o)
	}
	o = order(t, due([]int64{121, 79, 147, 83, 130}, []int64{260, 266, 266, 336, 337}, []int{1, 1, 1, 1, 1}))
	if o.Best.Late != 370 { // 1||sum T
		t.Errorf("%+v", o)
	}
}

// 1|r|Lmax is 5: with windows from release to due date + 5 nothing is late, with
// + 4 something is. The known order is 1-3-4-2.
func TestMaximumLatenessOfPinedo(t *testing.T) {
	for _, slack := range []int64{4, 5} {
		p := Plan{}
		release, date := []int64{0, 1, 3, 5}, []int64{8, 12, 11, 10}
		for i, m := range []int64{4, 2, 6, 5} {
			p.Tasks = append(p.Tasks, Task{Key: string(rune('1' + i)), Planned: m,
				Limits: []Limit{{During: []Stretch{{release[i], date[i] + slack}}}}})
		}
		if o := order(t, p); (o.Best.Late == 0) != (slack == 5) || slack == 5 && !slices.Equal(o.Keys, []string{"1", "3", "4", "2"}) {
			t.Errorf("%d: %+v", slack, o)
		}
	}
}

// 1||sum U is 2: some three of the five can all be on time, no four can.
func TestLateJobsOfPinedo(t *testing.T) {
	all := due([]int64{7, 8, 4, 6, 6}, []int64{9, 17, 18, 19, 21}, []int{1, 1, 1, 1, 1})
	most := 0
	for set := range 32 {
		p := Plan{}
		for i, task := range all.Tasks {
			if set&(1<<i) != 0 {
				p.Tasks = append(p.Tasks, task)
			}
		}
		if order(t, p).Best.Late == 0 {
			most = max(most, len(p.Tasks))
		}
	}
	if most != 3 {
		t.Errorf("%d of 5 on time", most)
	}
}
