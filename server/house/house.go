// Package house says what a server knows above its shoots: the owners, who start
// shoots and invite producers; the shelf on which the shoots stand; and the people
// whom it trusts with the next one. What happens in a shoot is never kept here.
package house

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"fairday/domain/shoot"
	"fairday/domain/when"
)

// OwnerID names an owner: a UUIDv7.
type OwnerID string

// Owner is somebody who starts shoots. They come in by a link as others do, made for
// access.House; a session holds in the epoch that it was made in.
type Owner struct {
	ID     OwnerID      `json:"id"`
	Name   string       `json:"name"` // "" until they have come in
	Epoch  int          `json:"epoch"`
	Made   when.Instant `json:"made"`
	Joined when.Instant `json:"joined,omitzero"` // first came in, 0 for not yet
	Ended  bool         `json:"ended,omitempty"` // may no longer come in
}

// Pass is what links and sessions name an owner by.
func (o Owner) Pass() shoot.PersonID { return shoot.PersonID(o.ID) }

// Admits tells whether a session or a link of an owner still holds.
func (o Owner) Admits(epoch int) bool { return o.ID != "" && !o.Ended && o.Epoch == epoch }

// Shelved is what is known of a shoot beside its log.
type Shelved struct {
	Made     when.Instant               `json:"made,omitzero"`
	By       OwnerID                    `json:"by,omitempty"`
	File     string                     `json:"file,omitempty"`    // SHA-256 of the plan file that it was loaded from, in hex
	Archived when.Instant               `json:"archived,omitzero"` // since when it is put away, 0 for not
	Known    map[OwnerID]shoot.PersonID `json:"known,omitempty"`   // who owners are on it
}

// Person is somebody the house would work with again.
type Person struct {
	ID         shoot.PersonID `json:"id"`
	Name       string         `json:"name"`
	Role       shoot.Role     `json:"role"`
	Department string         `json:"department,omitempty"`
	Job        string         `json:"job,omitempty"`
	Phone      string         `json:"phone,omitempty"`
	Terms      *shoot.Terms   `json:"terms,omitempty"` // what they worked for last, nil for not known
	Note       string         `json:"note,omitempty"`  // for owners and producers alone
	Last       string         `json:"last,omitempty"`  // title of the shoot that they were remembered from
	Since      when.Instant   `json:"since"`           // remembered, or remembered anew
}

// MostNote is how many characters a note may have.
const MostNote = 500

// Same tells whether somebody of a shoot is this person: by name, and by phone
// number where both are known.
func (p Person) Same(name, phone string) bool {
	if !strings.EqualFold(strings.Join(strings.Fields(p.Name), " "), strings.Join(strings.Fields(name), " ")) {
		return false
	}
	return p.Phone == "" || phone == "" || digits(p.Phone) == digits(phone)
}

func digits(s string) string {
	return strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' {
			return r
		}
		return -1
	}, s)
}

// Wrong says what is wrong with a text, "" where it can stand.
func Wrong(what, text string, most int) string {
	switch n := utf8.RuneCountInString(text); {
	case !utf8.ValidString(text) || !shoot.Showable(text):
		return "The " + what + " holds characters that cannot be shown. Enter it again."
	case n > most:
		return fmt.Sprintf("The %s is too long: %d characters, %d fit.", what, n, most)
	}
	return ""
}

// Book keeps all that. Each call is one transaction: it happens as a whole, is
// durable when it returns, and is seen by every later call. All may be called at
// once. Package housetest has the tests that every book passes.
type Book interface {
	// Owners gives everybody who is or was an owner.
	Owners() (map[OwnerID]Owner, error)
	// ChangeOwner hands the row to change, empty where there is none, and stores what
	// it made of it; with an error of change nothing is stored and that is the error.
	ChangeOwner(id OwnerID, change func(*Owner) error) error
	// Shelf gives what is known of shoots; not every shoot has a row.
	Shelf() (map[string]Shelved, error)
	// ChangeShelved is as ChangeOwner.
	ChangeShelved(shoot string, change func(*Shelved) error) error
	// People gives everybody who is remembered.
	People() (map[shoot.PersonID]Person, error)
	// ChangePerson is as ChangeOwner.
	ChangePerson(id shoot.PersonID, change func(*Person) error) error
	// ForgetPerson forgets somebody; who is not there is passed over.
	ForgetPerson(id shoot.PersonID) error
}

// InOrder lists owners as people read them: by name, those who have not come in yet
// last.
func InOrder(all map[OwnerID]Owner) []Owner {
	var out []Owner
	for _, o := range all {
		out = append(out, o)
	}
	slices.SortFunc(out, func(a, b Owner) int {
		return cmp.Or(b2i(a.Name == "")-b2i(b.Name == ""), cmp.Compare(a.Name, b.Name), cmp.Compare(a.ID, b.ID))
	})
	return out
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}
