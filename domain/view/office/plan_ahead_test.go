package office

import (
	"strings"
	"testing"

	"fairday/domain/money"
	"fairday/domain/shoot"
	"fairday/domain/view"
	"fairday/domain/when"
)

// weeks before the shoot, as one role sees the plan.
func weeksBefore(st *stage, r shoot.Role) *Plan {
	st.T.Helper()
	c := Context{Context: view.Context{Me: person(r), Now: clock("09:00") - 21*24*when.Hour, Day: shoot.DayID(day1)}}
	v, err := Make(string(view.ScreenPlan), st.State.For(shoot.Audience{Person: c.Me, Role: r, Desk: true}), c)
	if err != nil {
		st.T.Fatal(err)
	}
	return v.(*Plan)
}

// one leaves a single shot of an hour in a set-up without a change, called at 08:00.
func one(st *stage, wrap string) {
	for _, s := range []string{shot1, id(42), shot4} {
		st.Do(person(shoot.ArtDirector), "05:20", "shot.drop", obj{"shot": s})
	}
	shot := st.State.Floor.Shots[shoot.ShotID(shot3)]
	shot.ShotPlan.Minutes = 60
	st.Do(person(shoot.ArtDirector), "05:20", "shot.set", struct {
		shoot.ShotPlan
		Base int `json:"base"`
	}{shot.ShotPlan, shot.Version})
	replan(st, wrap)
}

func replan(st *stage, wrap string) {
	ada := person(shoot.Producer)
	st.Do(ada, "05:21", "sheet.set", obj{"day": day1, "place": obj{"name": "The Mill", "address": "1 Water Lane"}, "generalCall": "08:00", "plannedWrap": wrap,
		"emergency": "", "safety": "", "notes": "", "base": 1})
	st.Do(ada, "05:22", "sheet.publish", obj{"day": day1, "number": 2})
}

// One shot of an hour is done within it half of the time, within an hour and a half
// nearly nine times in ten (pace.TestAPlanAlone has the arithmetic).
func TestAheadOfADay(t *testing.T) {
	for wrap, want := range map[string]string{"09:00": "as likely as not", "09:30": "9 times in 10", "08:40": "2 times in 10", "12:00": "almost surely"} {
		st := newStage(t)
		one(st, wrap)
		a := weeksBefore(st, shoot.Producer).Ahead
		same(t, wrap, a.Plan, "Done by the planned wrap at "+wrap+": "+want+".")
		switch wrap {
		case "12:00":
			same(t, "heaviest", a.Heaviest, "No shot puts the wrap in doubt.")
		default:
			contains(t, "heaviest", a.Heaviest, "Most of the doubt comes from shot 3, Picture 3. Without it the day is done by then almost surely")
		}
	}
}

// The planned order goes from the window table to the barn wall and back, which takes
// twenty minutes of changing over; the better one stays until the table is done.
func TestAheadProposesAnOrder(t *testing.T) {
	st := newStage(t)
	replan(st, "10:40")
	a := weeksBefore(st, shoot.ArtDirector).Ahead
	same(t, "money is the producer's", []string{a.Money, a.Notice}, []string{"", ""})
	if a.Order == nil {
		t.Fatalf("%+v", a)
	}
	contains(t, "saves", a.Order.Saves, "min earlier")
	contains(t, "reason", strings.Join(a.Order.Why, " "), "20 min of changing over to Window table")
	st.Press(person(shoot.ArtDirector), "06:00", a.Order.Take, nil)
	a = weeksBefore(st, shoot.ArtDirector).Ahead
	if a.Order != nil || a.OrderSay != "No order of these shots is better: every one was looked at." {
		t.Errorf("once it is taken: %+v, %q", a.Order, a.OrderSay)
	}
}

func TestAheadTellsOvertime(t *testing.T) {
	st := newStage(t)
	a := weeksBefore(st, shoot.Producer).Ahead
	contains(t, "a short day", a.Money, "Expected overtime $0.00 on average.")
	same(t, "notice", a.Notice, "")
	shot := st.State.Floor.Shots[shoot.ShotID(shot3)]
	shot.ShotPlan.Minutes = 540
	st.Do(person(shoot.ArtDirector), "05:20", "shot.set", struct {
		shoot.ShotPlan
		Base int `json:"base"`
	}{shot.ShotPlan, shot.Version})
	a = weeksBefore(st, shoot.Producer).Ahead
	contains(t, "a long day", a.Notice, "and nothing is approved yet")
	contains(t, "heaviest", a.Heaviest, "Most of the doubt comes from shot 3")
	st.Do(person(shoot.Producer), "06:00", "overtime.approve", obj{"id": id(900), "day": day1, "until": clock("30:00"), "amount": money.Of(50_000_00, "USD")})
	a = weeksBefore(st, shoot.Producer).Ahead
	same(t, "notice once approved", a.Notice, "")
	contains(t, "within", a.Money, "Within what is approved: ")
}

func TestAheadIsNotKnown(t *testing.T) {
	st := newStage(t)
	for _, s := range []string{shot1, id(42), shot3, shot4} {
		st.Do(person(shoot.ArtDirector), "05:20", "shot.drop", obj{"shot": s})
	}
	a := weeksBefore(st, shoot.Producer).Ahead
	if a == nil || a.Known || a.Plan != "" {
		t.Fatalf("%+v", a)
	}
	same(t, "say", a.Say, "Whether the day fits is not known. This day has no shots yet.")
	st = newStage(t)
	st.Do(person(shoot.ArtDirector), "09:00", "shot.open", obj{"shot": shot3})
	if a := shown[Plan](st, shoot.Producer, "09:10", view.ScreenPlan).Ahead; a != nil {
		t.Errorf("a day that has begun: %+v", a)
	}
}
