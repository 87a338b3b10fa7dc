package view

import (
	"encoding/json"

	"fairday/domain/shoot"
	"fairday/domain/when"
)

// Context is what a view needs to know besides the shoot.
type Context struct {
	Me      shoot.PersonID
	Now     when.Instant
	Day     shoot.DayID  // the chosen day, "" for today's
	Stuck   []Stuck      // edits of this phone to look at
	Waiting int          // edits of this phone that the server has not ruled on
	At      when.Instant // the wrap minute that is asked about, 0 for the planned one
}

// Stuck is an edit of this phone that was refused, or accepted with a flag.
type Stuck struct {
	Seq    uint64
	Name   string
	Args   json.RawMessage
	Made   when.Instant
	Code   shoot.Code
	Say    string
	Yours  string
	Theirs string
	Flag   bool // kept, with a remark
}
