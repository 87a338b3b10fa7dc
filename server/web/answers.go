package web

import (
	"fairday/domain/shoot"
	"fairday/domain/when"
)

// What pages ask over HTTP and what they are answered. The pages' types are
// generated from this file.

// Problem is why something was not done.
type Problem struct {
	Code Code   `json:"code"`
	Say  string `json:"say"`            // what is wrong and what to do next
	Demo bool   `json:"demo,omitempty"` // with no_session: join links are on the page /demo
}

// Me answers who this browser is: GET /api/me.
type Me struct {
	Shoot     string         `json:"shoot"`
	Title     string         `json:"title"`
	Person    shoot.PersonID `json:"person"`
	Name      string         `json:"name"`
	Role      shoot.Role     `json:"role"`
	RoleLabel string         `json:"roleLabel"`
	Epoch     int            `json:"epoch"` // of what this person may see
	Demo      bool           `json:"demo"`
	Session   string         `json:"session"` // names the session, and opens nothing
}

// FirstScreens goes inside the page itself to a browser that has a session: who it is,
// and the screens that it opens on, by the keys under which the page watches them.
type FirstScreens struct {
	Me    Me                     `json:"me"`
	Views map[string]FirstScreen `json:"views"`
}

// FirstScreen is a finished near screen, as the phone's engine gives them.
type FirstScreen struct {
	View any `json:"view"`
}

// AskLeave ends the session on this browser: POST /api/leave. Nothing ends where
// the browser has joined anew since; none named means whichever there is.
type AskLeave struct {
	Session string `json:"session,omitempty"`
}

// AskLink asks for a join link: POST /api/links.
type AskLink struct {
	Person shoot.PersonID `json:"person"`
}

// Link is a join link that was made.
type Link struct {
	URL   string       `json:"url"`
	QR    string       `json:"code"` // the same as a QR code, as SVG
	Name  string       `json:"name"` // whom it is for
	Until when.Instant `json:"until"`
}

// Links answers GET /api/links: those that work.
type Links struct {
	Links []OpenLink `json:"links"`
}

// OpenLink is a join link that nobody has used yet.
type OpenLink struct {
	ID        string         `json:"id"`
	Person    shoot.PersonID `json:"person"`
	Name      string         `json:"name"`
	RoleLabel string         `json:"roleLabel"`
	Made      when.Instant   `json:"made"`
	Until     when.Instant   `json:"until"`
	Say       string         `json:"say"`
}

// AskCancel cancels a join link: POST /api/links/cancel, answered by Links.
type AskCancel struct {
	ID string `json:"id"`
}

// Phones answers GET /api/phones: one's own, and for a producer everybody's.
type Phones struct {
	Phones []JoinedPhone `json:"phones"`
}

// JoinedPhone is a browser that has joined.
type JoinedPhone struct {
	ID     string         `json:"id"`
	Person shoot.PersonID `json:"person"`
	Name   string         `json:"name"`   // of the person
	Phone  string         `json:"phone"`  // what kind of phone it is
	Joined when.Instant   `json:"joined"` // when
	Seen   when.Instant   `json:"seen"`   // in contact last
	Here   bool           `json:"here"`   // connected now
	This   bool           `json:"this"`   // the one that asks
	Say    string         `json:"say"`    // when it was there last, in words
}

// AskEnd signs phones out: POST /api/phones/end, answered by Phones. One of the two
// is given: a phone, or a person whose phones all end but the one that asks.
type AskEnd struct {
	ID     string         `json:"id,omitempty"`
	Person shoot.PersonID `json:"person,omitempty"`
}

// PhoneCode answers POST /api/code: a way in for another phone of the same person,
// once and for some minutes.
type PhoneCode struct {
	Code  string       `json:"code"` // to be typed
	URL   string       `json:"url"`
	QR    string       `json:"qr"` // the address as a QR code, as SVG
	Until when.Instant `json:"until"`
}

// FarScreen answers GET /api/screens/:name, with the day and whose it is about in the
// query: a finished screen that the phone's engine cannot make.
type FarScreen struct {
	View   any            `json:"view"`
	Person shoot.PersonID `json:"person"` // for whom it was made
	Offers []string       `json:"offers"` // the names of the edits that it offers
	Made   when.Instant   `json:"made"`
}

// DeviceKey tells the public key of a device: POST /api/device. A device has one key.
type DeviceKey struct {
	Device shoot.DeviceID `json:"device"`
	Key    string         `json:"key"` // the uncompressed point on P-256, in base64url
}

// Handover brings waiting edits of another phone of the same shoot: POST /api/hand.
type Handover struct {
	Edits []SignedEdit `json:"edits"`
}

// SignedEdit is an edit with what it is bound to, and the signature of its device
// over exactly that text.
type SignedEdit struct {
	Text string `json:"text"` // a wire.Handed
	Sig  string `json:"sig"`  // r and s, 32 bytes each, in base64url
}

// Handed answers POST /api/hand: what came of the edits of another phone.
type Handed struct {
	Taken   int      `json:"taken"`   // that are in the log, by this visit or an earlier one
	OwnWord int      `json:"ownWord"` // that wait on their phone for its owner's word
	Refused []string `json:"refused"` // why, of each that was refused; its own phone shows it as well
}

// SignedIn says where somebody goes who came in by a passkey.
type SignedIn struct {
	To string `json:"to"`
}
