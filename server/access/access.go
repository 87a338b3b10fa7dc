// Package access says who may come in: the sessions of browsers, the links
// and codes that start them, and the keys of devices. What a person may see is looked up live in the shoot
// and never kept here.
package access

import (
	"crypto/sha256"
	"encoding/base64"
	"errors"

	"fairday/domain/shoot"
	"fairday/domain/when"
)

// Hash is the SHA-256 of a token. Whoever reads it cannot come in with it, so it
// also names a session or a link towards people.
type Hash [sha256.Size]byte

// HashOf hashes a token. Tokens are 256 random bits, so one round is enough; a
// short code lives for minutes.
func HashOf(token string) Hash { return sha256.Sum256([]byte(token)) }

// Name writes a hash for an address or an answer.
func (h Hash) Name() string { return base64.RawURLEncoding.EncodeToString(h[:]) }

// HashNamed reads what Name wrote; false for anything else.
func HashNamed(name string) (Hash, bool) {
	b, err := base64.RawURLEncoding.DecodeString(name)
	if err != nil || len(b) != sha256.Size {
		return Hash{}, false
	}
	return Hash(b), true
}

// House stands in place of a shoot where a session or a link is an owner's, above all
// shoots; the person is then the owner's id. It cannot be the id of a shoot.
const House = "house"

// Session says that a browser has joined a shoot as a person. It holds as long as
// the person's epoch is the one that it was made in: withdrawing access, giving it
// back and changing the role each raise that.
type Session struct {
	Shoot  string         `json:"shoot"`
	Person shoot.PersonID `json:"person"`
	Epoch  int            `json:"epoch,omitempty"`
	Phone  string         `json:"phone,omitempty"` // what kind of phone it is, for people
	Made   when.Instant   `json:"made"`
	Seen   when.Instant   `json:"seen,omitempty"` // last contact, to some minutes; 0 for none since it was made
	Until  when.Instant   `json:"until"`
}

// Link is a way to join a shoot as a person, in the epoch that it was made in.
type Link struct {
	Shoot  string         `json:"shoot"`
	Person shoot.PersonID `json:"person"`
	Epoch  int            `json:"epoch,omitempty"`
	By     shoot.PersonID `json:"by"`
	Made   when.Instant   `json:"made"`
	Until  when.Instant   `json:"until"`
	Many   bool           `json:"many"`           // may be used more than once
	Used   when.Instant   `json:"used"`           // first use, 0 for not yet
	Void   bool           `json:"void,omitempty"` // cancelled, or a newer one took its place
	From   Hash           `json:"from,omitzero"`  // the session that made it for another phone of its own person
}

// Code tells whether the link is a short code for another phone.
func (l Link) Code() bool { return l.From != Hash{} }

// Why a link cannot be used.
var (
	ErrUnknownLink = errors.New("no such join link")
	ErrUsedLink    = errors.New("the join link was used")
	ErrExpiredLink = errors.New("the join link has expired")
	ErrVoidLink    = errors.New("the join link was cancelled")
)

// Usable gives nil, ErrUsedLink, ErrVoidLink or ErrExpiredLink.
func (l Link) Usable(now when.Instant) error {
	switch {
	case l.Used != 0 && !l.Many:
		return ErrUsedLink
	case l.Void:
		return ErrVoidLink
	case now >= l.Until:
		return ErrExpiredLink
	}
	return nil
}

// Replaces tells whether making the link voids an older one: a link of a person
// that is not used yet; a code, only the codes of the same phone. Links for many
// stay, they are for everybody who comes.
func (l Link) Replaces(old Link) bool {
	return old.Shoot == l.Shoot && old.Person == l.Person && !old.Many && !old.Void && old.Used == 0 &&
		!l.Many && (!l.Code() || old.From == l.From)
}

// Book keeps sessions, links and keys of devices. Each call is one transaction: it happens as a
// whole, is durable when it returns, and is seen by every later call. All may be
// called at once. Package accesstest has the tests that every book passes.
type Book interface {
	// AddLink keeps a link and voids those that it replaces.
	AddLink(h Hash, l Link) error
	// Link finds a link, usable or not, or gives ErrUnknownLink.
	Link(h Hash) (Link, error)
	// Links gives every link of a shoot.
	Links(shoot string) (map[Hash]Link, error)
	// CancelLink voids a link that is not used yet; one that is not there is passed over.
	CancelLink(h Hash) error
	// Join uses a link and starts a session with it, in the link's epoch, on a phone
	// of that kind: of two who use a link at the same time, one gets ErrUsedLink. It
	// also gives ErrUnknownLink, ErrVoidLink and ErrExpiredLink.
	Join(link, session Hash, phone string, now, until when.Instant) (Session, error)
	// Session finds a session that has not ended; false when there is none.
	Session(h Hash, now when.Instant) (Session, bool, error)
	// Sessions gives every session of a shoot that has not ended.
	Sessions(shoot string, now when.Instant) (map[Hash]Session, error)
	// Extend moves the end of a session; one that is not there is passed over.
	Extend(h Hash, until when.Instant) error
	// Saw notes when sessions were in contact last; an earlier instant than is known,
	// or a session that is not there, is passed over.
	Saw(at map[Hash]when.Instant) error
	// EndSessions ends sessions and voids the codes that they made; those that are not
	// there are passed over.
	EndSessions(all ...Hash) error
	// AddDevice keeps the key of somebody's device on a shoot, or moves it to the
	// session that has just told it again; ErrOtherKey where it has another one. Where
	// there are MostDevices already, the one with the smallest Until makes room.
	AddDevice(shoot string, p shoot.PersonID, d shoot.DeviceID, is Device) error
	// Device finds what is known of a device; false for nothing.
	Device(shoot string, p shoot.PersonID, d shoot.DeviceID) (Device, bool, error)
	// AddPasskey keeps a passkey; ErrSamePasskey where there is one of that name, and
	// ErrManyPasskeys where its person has MostPasskeys on the shoot.
	AddPasskey(h Hash, k Passkey) error
	// Passkey finds one, or gives ErrNoPasskey.
	Passkey(h Hash) (Passkey, error)
	// Passkeys gives those of a person on a shoot.
	Passkeys(shoot string, p shoot.PersonID) (map[Hash]Passkey, error)
	// ChangePasskey hands the row to change and stores what it made of it; with an
	// error of change nothing is stored and that is the error. It also gives ErrNoPasskey.
	ChangePasskey(h Hash, change func(*Passkey) error) error
	// EndPasskey forgets one; one that is not there is passed over.
	EndPasskey(h Hash) error
	// Sweep forgets sessions and links that ended before an instant.
	Sweep(before when.Instant) error
}
