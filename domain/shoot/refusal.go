package shoot

import "fmt"

// Refusal is why an intent did not happen. Code is stable and append-only; Say
// tells a tired person what is wrong and what to do next. Where two values stand
// against each other, both are given.
type Refusal struct {
	Code   Code   `json:"code"`
	Say    string `json:"say"`
	Yours  string `json:"yours,omitempty"`
	Theirs string `json:"theirs,omitempty"`
}

// Error gives the code and the sentence.
func (r *Refusal) Error() string { return string(r.Code) + ": " + r.Say }

// Flag marks an accepted intent that somebody should know more about.
type Flag struct {
	Code   Code   `json:"code"`
	Say    string `json:"say"`
	Yours  string `json:"yours,omitempty"`
	Theirs string `json:"theirs,omitempty"`
}

// Code is a stable name for a refusal or a flag.
type Code string

// Codes of refusals and flags. Only ever add to this list.
const (
	CodeUnknownIntent Code = "unknown_intent"
	CodeBadArgs       Code = "bad_args"
	CodeNotAllowed    Code = "not_allowed"
	CodeUnknownThing  Code = "unknown_thing"
	CodeStale         Code = "stale"
	CodeHeld          Code = "held"
	CodeWrongProgress Code = "wrong_progress"
	CodeChecklist     Code = "checklist_open"
	CodeNothingToDo   Code = "nothing_to_do"
	CodeLocked        Code = "locked"
	CodeSettled       Code = "settled_already"
	CodeNotServing    Code = "not_serving"
	CodeNotKnownHere  Code = "not_known_here"
	CodeRoot          Code = "root_refused" // an intent it depended on was refused
	CodeFault         Code = "fault"        // a rule failed; the intent is kept for a look
	CodeOwnWord       Code = "own_word"     // somebody else delivered it, and it is for its owner to say

	FlagMismatch   Code = "plate_mismatch"
	FlagSamePerson Code = "same_person"
	FlagQueried    Code = "queried"
	FlagLate       Code = "late"
	FlagClock      Code = "clock"
	FlagReview     Code = "review"  // it waits for the producer
	FlagChanged    Code = "changed" // signed something that has changed since
)

func refuse(code Code, format string, args ...any) *Refusal {
	return &Refusal{Code: code, Say: fmt.Sprintf(format, args...)}
}
