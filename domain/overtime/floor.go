package overtime

import "fairday/domain/money"

// Floor is what a law asks for at least, to be shown beside the contract figure
// and never added to it. It is either about pay or about rest.
type Floor struct {
	Law     string
	Day     int          // index in the days that it was asked for, -1 for the whole week
	Missing []string     // what would have to be known; with any, the floor is not known and has no amounts
	Least   money.Amount // the pay that the law asks for; unset for rest
	Extra   money.Amount // the part of it that is for overtime, or the premium itself
	Counted money.Amount // what of the contract's pay counts towards Least
	Credit  money.Amount // the part of Counted that is a premium over straight time
	Rest    *Rest        // unset for pay
	Say     string       // in a sentence, to be followed with a pencil
	Source  string
	Caution string
	Reads   []string // how the law was read where it can be read in more than one way
	Leaves  []string // what was not reckoned

	rounded int64 // minor units by which the rounding of lines can part Least and Counted
}

// Known tells whether all is known that the floor stands on. Nothing else may be
// read as "none above".
func (f Floor) Known() bool { return len(f.Missing) == 0 }

// Due is by how much the floor is higher than what counts towards it; nothing
// where it is not, or not known. A minor unit for each day that it was reckoned over
// comes from the rounding of lines, and is not due.
func (f Floor) Due() money.Amount {
	due := f.Least.Minor - f.Counted.Minor
	if due <= f.rounded {
		due = 0
	}
	return money.Of(due, f.Least.Currency)
}

// Rest is the rest that is owed and the rest that there was.
type Rest struct {
	Owed, Had int64 // minutes
}

// Short tells whether there was less than is owed.
func (r Rest) Short() bool { return r.Had < r.Owed }

// What is shown with every floor of its kind.
const (
	CautionFloor = "It holds for employees that no exemption covers, and may be higher by what is not reckoned. A licensed payroll or employment professional decides."
	CautionRest  = "Exceptions and agreements can allow compensatory rest instead, and young workers are owed more. Local law and a licensed professional decide."
)

// closed opens hours that have ended, of a person.
func closed(t Terms, h Hours) (*sheet, error) {
	s, err := newSheet(t, h, newClockCache())
	switch {
	case err != nil:
		return nil, err
	case h.Out == 0:
		return nil, fail(CodeHoursOpen, "still on the clock; sign out first, or ask what it comes to at a given wrap")
	case t.Basis == Hire:
		return nil, fail(CodeFloor, "labour law is for people; a place or equipment has no floor")
	}
	return s, nil
}
