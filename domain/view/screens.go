package view

// Screen names a screen.
type Screen string

// The screens.
const (
	ScreenShell     Screen = "shell"
	ScreenCallSheet Screen = "callsheet"
	ScreenShots     Screen = "shots"
	ScreenHeroes    Screen = "heroes"
	ScreenCatering  Screen = "catering"
	ScreenOvertime  Screen = "overtime"
	ScreenSettle    Screen = "settle"
	ScreenHours     Screen = "hours"
	ScreenDay       Screen = "day"
	ScreenPlan      Screen = "plan"
	ScreenTerms     Screen = "terms"
)

// Caution is the line that a screen shows beside what it says.
func Caution(s Screen) string {
	switch s {
	case ScreenCallSheet:
		return "Electrics, heat and exits: the venue's rules and local code decide. Minors: permits and hours are set by local law."
	case ScreenHeroes:
		return "Food that was styled or held under lights is not for eating."
	case ScreenCatering:
		return "Allergen counts do not replace asking the person and the kitchen."
	case ScreenOvertime:
		return "These figures are estimates: contracts, agreements, local law and a licensed payroll or employment professional decide."
	}
	return ""
}
