package office

import (
	"fairday/domain/view"
)

// TermsSheet is what somebody works for and what it can be changed to.
type TermsSheet struct {
	ID     string       `json:"id"`
	Name   string       `json:"name"`
	Say    string       `json:"say"`    // "No terms are written for them.", or ""
	Rules  []view.Line  `json:"rules"`  // the terms as they stand
	Change *view.Action `json:"change"` // these terms in a form; nothing without terms
	Cards  []TermsCard  `json:"cards"`
}

// TermsCard is a set of terms to start from.
type TermsCard struct {
	Name    string      `json:"name"`
	Source  string      `json:"source"`
	Caution string      `json:"caution"`
	Rules   []view.Line `json:"rules"`
	Start   view.Action `json:"start"` // the card in a form
}
