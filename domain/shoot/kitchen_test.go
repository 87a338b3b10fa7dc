package shoot

import (
	"testing"

	"fairday/domain/when"
)

// Who has to go before a meal is not counted for it; who is still there when it is
// served is.
func TestWhoGoesBeforeAMealIsNotCounted(t *testing.T) {
	st := newStage(t)
	covers := func() int {
		st.gather(clock("11:00")) // two hours before lunch everything is told
		return st.s.Kitchen.Covers[lunch].People
	}
	before := covers()
	from := func(c when.Clock) *when.Clock { return &c }
	st.must(ada, clock("09:00"), "stay.until", stayUntil{Day: day1, Person: crew, Until: from(12 * 60)})
	if covers() != before-1 {
		t.Errorf("%d people, %d before", covers(), before)
	}
	st.must(ada, clock("09:01"), "stay.until", stayUntil{Day: day1, Person: crew, Until: from(17 * 60), Was: from(12 * 60)})
	if covers() != before {
		t.Errorf("%d people, %d before", covers(), before)
	}
}

// Two who take the same guest off leave none, not one too few.
func TestGuestsAreNeverBelowNone(t *testing.T) {
	st := newStage(t)
	st.must(cust, clock("09:00"), "meal.guests", mealGuests{lunch, 1})
	st.must(cust, clock("09:01"), "meal.guests", mealGuests{lunch, -1})
	st.must(art, clock("09:02"), "meal.guests", mealGuests{lunch, -1})
	st.must(art, clock("09:03"), "meal.guests", mealGuests{lunch, 2})
	if n := st.s.Floor.Meals[lunch].Guests; n != 2 {
		t.Errorf("%d guests", n)
	}
}
