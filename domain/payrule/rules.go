package payrule

// What the rules are folded away with.
const (
	moreOvertime = "More about overtime"
	lateMeals    = "Late meals"
	restBetween  = "Rest between days"
	inARow       = "Sixth and seventh day, weekends and holidays"
	nights       = "Night and early calls"
	shortDays    = "Late call, minimum call and half day"
	otherDays    = "Other days, and days called off"
	fees         = "Agency fee and on-costs"
	notTime      = "What is not for time"
)

// Rules gives the vocabulary, in the order in which it is asked and explained.
func Rules() []Rule {
	return []Rule{
		{Key: "basis", Path: "basis", Label: "Engaged", Kind: Choice, Needed: true, Example: "day", Hire: true, Help: "How they are paid.", Options: []Option{
			{Value: "day", Label: "By the day"}, {Value: "all-in", Label: "All-in"}, {Value: "hire", Label: "Hire by the day"}, {Value: "hourly", Label: "By the hour"}}},
		{Key: "rate", Path: "rate", Label: "Rate", Kind: Money, Needed: true, Example: "640.00", Hire: true, Help: "For the day, or for the agreed days together; for the hour where it is by the hour."},
		{Key: "hours", Path: "included", Label: "Hours included", Kind: Hours, Hire: true, Help: "Worked time that the rate covers, like 10. None where the rate is by the hour, or all-in however long the day."},
		{Key: "bands", Path: "bands", Label: "Overtime", Kind: Bands, Hire: true, Help: "After so many hours an hour is worth so many times the base; elapsed where meals count towards the hours."},
		{Key: "divisor", Path: "divisor", Label: "An hour is the rate divided by", Kind: Choice, Hire: true, Help: "For the hourly base. Weighted is 8 + 1.5 × 2 = 11 for ten hours with a band after 8.", Options: []Option{
			{Value: "", Word: "included", Label: "The hours included"}, {Value: "weighted", Label: "These hours, each as often as its overtime pays it"}}},
		{Key: "step", Path: "step", Label: "Overtime counts in steps of", Kind: Minutes, Hire: true, Help: "6, 15, 30 or 60; none for the exact minute.", Options: []Option{
			{Value: "0", Label: "The exact minute"}, {Value: "6", Label: "6 min"}, {Value: "15", Label: "15 min"}, {Value: "30", Label: "30 min"}, {Value: "60", Label: "1 h"}}},
		{Key: "step-rule", Path: "stepRule", Label: "A started step counts", Kind: Choice, Hire: true, Help: "Whole, or from half of it on.", Options: []Option{
			{Value: "", Word: "up", Label: "Whole"}, {Value: "nearest", Label: "From half of it on"}}},
		{Key: "grace", Path: "grace", Label: "Grace, in minutes", Kind: Minutes, Hire: true, Help: "Overtime this short is not due. Past it, all of it is."},
		{Key: "meal-paid", Path: "mealPaid", Label: "Meals", Kind: Yes, Help: "Whether meals count as worked time.", Options: []Option{
			{Value: "false", Label: "Are off the clock"}, {Value: "true", Label: "Count as worked"}}},

		{Key: "base", Path: "base", Label: "Hourly base", Kind: Money, Group: moreOvertime, Hire: true, Help: "Where it is agreed outright; then nothing is divided."},
		{Key: "days", Path: "days", Label: "Agreed days", Kind: Count, Group: moreOvertime, Hire: true, Help: "How many days the rate covers together."},
		{Key: "week", Path: "week", Label: "Overtime over the week", Kind: Bands, Group: moreOvertime, Help: "By the worked time of the week, like x1.5 after 40 h. The highest that applies is paid."},
		{Key: "first", Path: "first", Label: "Overtime that begins is at least, in minutes", Kind: Minutes, Group: moreOvertime, Hire: true, Newer: true, Help: "Like 60: the first hour counts whole."},
		{Key: "meal-least", Path: "mealLeast", Label: "Shortest break that is a meal, in minutes", Kind: Minutes, Group: moreOvertime, Help: "A shorter one is worked time."},
		{Key: "inclusive", Path: "inclusive", Label: "Meal inside a day on the clock", Kind: Hours, Group: moreOvertime, Hire: true, Newer: true, Help: "Like 1 for 10 + 1: the day ends 11 h after it starts, meal or not."},
		{Key: "continuous", Path: "continuous", Label: "Continuous day", Kind: Hours, Group: moreOvertime, Hire: true, Newer: true, Help: "How long a day on the clock is in which no meal begins by then, like 9."},

		{Key: "meal.due", Path: "meal.due", Label: "First meal due after", Kind: Hours, Group: lateMeals, Help: "From the start of the day, like 6. None: late meals cost nothing."},
		{Key: "meal.next", Path: "meal.next", Label: "Next meal due after", Kind: Hours, Group: lateMeals, Help: "From the end of the last meal."},
		{Key: "meal.hour", Path: "meal.hour", Label: "A late meal costs", Kind: Yes, Group: lateMeals, Help: "Whether it costs one hour at the base, once a day, instead of amounts.", Options: []Option{
			{Value: "false", Label: "Amounts by the period"}, {Value: "true", Label: "One hour at the base, once a day"}}},
		{Key: "meal.every", Path: "meal.every", Label: "Length of a period, in minutes", Kind: Minutes, Group: lateMeals, Help: "Like 30 or 6. A started one counts."},
		{Key: "meal.amounts", Path: "meal.amounts", Label: "Amounts", Kind: Moneys, Group: lateMeals, Help: "For the first period, the second and so on. The last one repeats."},
		{Key: "meal.grace", Path: "meal.grace", Label: "Grace of a meal, in minutes", Kind: Minutes, Group: lateMeals, Newer: true, Help: "A meal this late costs nothing, a later one all of it."},
		{Key: "meal.breakfast", Path: "meal.breakfast", Label: "A break so soon is a paid breakfast, in minutes", Kind: Minutes, Group: lateMeals, Newer: true, Help: "Like 120 from the start: it is worked time, and the first meal is due from its end."},

		{Key: "turnaround.rest", Path: "turnaround.rest", Label: "Rest owed", Kind: Hours, Group: restBetween, Help: "Between two days, like 11. None: a short rest costs nothing."},
		{Key: "turnaround.times", Path: "turnaround.times", Label: "Work within that rest pays", Kind: Ratio, Group: restBetween, Help: "So many times the base, like 1.5."},
		{Key: "turnaround.carry", Path: "turnaround.carry", Label: "It pays what the day before ended on", Kind: Yes, Group: restBetween, Help: "Instead of a stated number: the most that the day before reached.", Options: []Option{
			{Value: "false", Label: "No"}, {Value: "true", Label: "Yes"}}},
		{Key: "turnaround.every", Path: "turnaround.every", Label: "Length of a penalty period, in minutes", Kind: Minutes, Group: restBetween, Help: "Where missed rest costs amounts."},
		{Key: "turnaround.amounts", Path: "turnaround.amounts", Label: "Amounts", Kind: Moneys, Group: restBetween, Help: "For the first period, the second and so on. The last one repeats."},

		{Key: "sixth-day.times", Path: "sixth.times", Label: "Sixth day in a row pays", Kind: Ratio, Group: inARow, Needed: true, Example: "1.5", Help: "Times the rate, like 1.5."},
		{Key: "sixth-day.bands", Path: "sixth.bands", Label: "Overtime on the sixth day", Kind: Bands, Group: inARow, Help: "Instead of that of any other day."},
		{Key: "seventh-day.times", Path: "seventh.times", Label: "Seventh day in a row pays", Kind: Ratio, Group: inARow, Needed: true, Example: "2", Help: "Times the rate, like 2."},
		{Key: "seventh-day.bands", Path: "seventh.bands", Label: "Overtime on the seventh day", Kind: Bands, Group: inARow, Help: "Instead of that of any other day."},
		{Key: "weekend.saturday", Path: "weekend.saturday", Label: "A Saturday pays", Kind: Ratio, Group: inARow, Hire: true, Newer: true, Help: "Times the rate, like 1.5, where the day starts on one. The highest that applies is paid."},
		{Key: "weekend.sunday", Path: "weekend.sunday", Label: "A Sunday pays", Kind: Ratio, Group: inARow, Hire: true, Newer: true, Help: "Times the rate, like 2."},
		{Key: "weekend.holiday", Path: "weekend.holiday", Label: "A holiday pays", Kind: Ratio, Group: inARow, Hire: true, Newer: true, Help: "Times the rate, like 2."},
		{Key: "weekend.holidays", Path: "weekend.holidays", Label: "Dates that are holidays", Kind: Dates, Group: inARow, Hire: true, Newer: true, Help: "Of this shoot."},

		{Key: "night.from", Path: "night.from", Label: "Night from", Kind: Clock, Group: nights, Needed: true, Hire: true, Help: "As the clock on the wall reads."},
		{Key: "night.to", Path: "night.to", Label: "Night until", Kind: Clock, Group: nights, Needed: true, Hire: true, Help: "The next morning where it is earlier."},
		{Key: "night.extra", Path: "night.extra", Label: "A night hour adds", Kind: Ratio, Group: nights, Needed: true, Example: "25%", Hire: true, Help: "A share of the base, like 25%."},
		{Key: "night-2.from", Path: "night2.from", Label: "Second window from", Kind: Clock, Group: nights, Needed: true, Hire: true, Newer: true, Help: "Where deeper night adds more."},
		{Key: "night-2.to", Path: "night2.to", Label: "Second window until", Kind: Clock, Group: nights, Needed: true, Hire: true, Newer: true, Help: "The next morning where it is earlier."},
		{Key: "night-2.extra", Path: "night2.extra", Label: "An hour in it adds", Kind: Ratio, Group: nights, Needed: true, Example: "25%", Hire: true, Newer: true, Help: "On top of the night where they meet."},
		{Key: "early-call.from", Path: "earlyCall.from", Label: "Early calls from", Kind: Clock, Group: nights, Needed: true, Hire: true, Newer: true, Help: "For days that start in the window."},
		{Key: "early-call.to", Path: "earlyCall.to", Label: "Early calls until", Kind: Clock, Group: nights, Needed: true, Hire: true, Newer: true, Help: "Like 07:00."},
		{Key: "early-call.extra", Path: "earlyCall.extra", Label: "An early hour adds", Kind: Ratio, Group: nights, Needed: true, Example: "50%", Hire: true, Newer: true, Help: "A share of the base, until the window ends."},

		{Key: "late-call.from", Path: "lateCall.from", Label: "Late calls are paid from", Kind: Clock, Group: shortDays, Needed: true, Help: "Called later, the clock starts here, like 11:00."},
		{Key: "late-call.to", Path: "lateCall.to", Label: "For calls until", Kind: Clock, Group: shortDays, Needed: true, Help: "Like 17:00."},
		{Key: "minimum", Path: "minimum", Label: "Hours paid at least", Kind: Hours, Group: shortDays, Help: "Where the rate is by the hour. Time that nobody worked is paid plain."},
		{Key: "half-day.up-to", Path: "half.upTo", Label: "Half day up to", Kind: Hours, Group: shortDays, Hire: true, Help: "Hours worked. A longer day costs the whole rate."},
		{Key: "half-day.share", Path: "half.share", Label: "A half day costs", Kind: Ratio, Group: shortDays, Needed: true, Example: "60%", Hire: true, Help: "Share of the rate, like 60%."},

		{Key: "other-days", Path: "other", Label: "Days at another rate", Kind: Others, Group: otherDays, Newer: true, Help: "Prep, travel, rehearsal: a share of the rate; worked where hours and overtime count on it."},
		{Key: "cancellation", Path: "cancel", Label: "A day that is cancelled", Kind: Notices, Group: otherDays, Hire: true, Newer: true, Help: "Share of the rate by hours before the call, the shortest first."},
		{Key: "postponement", Path: "postpone", Label: "A day that is postponed", Kind: Notices, Group: otherDays, Hire: true, Newer: true, Help: "Share of the rate by hours before the call, the shortest first."},

		{Key: "agency.share", Path: "agency.share", Label: "Agency fee", Kind: Ratio, Group: fees, Needed: true, Example: "20%", Hire: true, Help: "Share on top, like 20%."},
		{Key: "agency.on", Path: "agency.on", Label: "Agency fee is on", Kind: Choice, Group: fees, Hire: true, Word: "fee", Help: "The rate, overtime or both. Never on penalties, kit, mileage or per diem.", Options: []Option{
			{Value: "", Label: "Nothing"}, {Value: "fee", Label: "The rate"}, {Value: "overtime", Label: "Overtime"}, {Value: "both", Label: "Both"}}},
		{Key: "on-costs", Path: "onCosts", Label: "On-costs", Kind: Costs, Group: fees, Hire: true, Help: "Shares of all pay that the employer pays on top."},

		{Key: "extras", Path: "extras", Label: "Kit, mileage, per diem", Kind: Extras, Group: notTime, Hire: true, Newer: true, Help: "Lines for each day that no fee and no on-costs are on; of agreed days on the first."},
		{Key: "usage", Path: "usage", Label: "Usage or buyout", Kind: Extras, Group: notTime, Newer: true, Help: "Lines that count as the rate for an agency’s fee."},
	}
}
