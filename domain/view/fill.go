package view

// As is how Fill turns what was entered into JSON.
type As string

// The forms that a value takes in an intent's arguments.
const (
	AsText    As = "text"
	AsNumber  As = "number"
	AsClock   As = "clock"   // "07:30"
	AsMaybe   As = "maybe"   // a clock, or null where nothing was entered
	AsInstant As = "instant" // the clock, resolved on the form's date
	AsAmount  As = "amount"
	AsList    As = "list" // of texts
)
