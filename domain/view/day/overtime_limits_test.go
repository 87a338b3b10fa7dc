package day

import (
	"testing"

	"fairday/domain/money"
	"fairday/domain/shoot"
	"fairday/domain/view"
)

// Two limits given for different times do not merge into one that nobody gave, nor
// do two of different currencies.
func TestLimitsStandByThemselves(t *testing.T) {
	st := newStage(t)
	show := func() Approvals { return show[Overtime](st, shoot.Producer, "21:00", view.ScreenOvertime).Approvals }
	same(t, "of nothing given", show().Beyond, "$930.00 is due already and not approved.")
	give := func(n int, until string, minor int64, c money.Currency) {
		st.Do(person(shoot.Producer), "17:00", "overtime.approve", obj{"id": id(900 + n), "day": day1, "until": clock(until), "amount": money.Of(minor, c)})
	}
	give(1, "19:00", 10_000_00, "USD")
	const late = "$680.00 is due already and not approved." // $250.00 had come by 19:00
	same(t, "of what came after the time", show().Beyond, late)
	give(2, "23:00", 1_00, "USD")
	give(3, "20:00", 99_999_00, "GBP")
	give(4, "18:00", 500_00, "USD") // less than the first in both
	all := show()
	same(t, "of an early high amount and a late low one", all.Beyond, late)
	same(t, "said", all.Say, "Approved until 19:00 and up to $10,000.00, or until 20:00 and up to £99,999.00, or until 23:00 and up to $1.00.")
}
