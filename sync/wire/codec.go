package wire

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"unicode/utf8"

	"fairday/domain/shoot"
)

// Encode writes a message. It never fails for values that this package can
// hold, except a raw part that is not JSON.
func Encode(m Message) ([]byte, error) {
	body, err := plain(m)
	if err != nil {
		return nil, err
	}
	out := append(make([]byte, 0, len(body)+24), `{"type":"`...)
	out = append(append(out, m.name()...), `",`...)
	return append(out, body[1:]...), nil // every message has at least one field
}

// EncodeFrame writes a Frame around events that are encoded already, as a JSON
// array, so that one encoding serves every connection of an audience: the message is
// head, the events, and tail. Head has room for so many bytes more.
func EncodeFrame(n uint64, cursor string, verdicts []Verdict, hash string, room int) (head, tail []byte, err error) {
	head = make([]byte, 0, len(cursor)+64+room)
	head = strconv.AppendUint(append(head, `{"type":"frame","n":`...), n, 10)
	head = append(strconv.AppendQuote(append(head, `,"cursor":`...), cursor), `,"events":`...)
	if len(verdicts) > 0 {
		v, err := plain(verdicts)
		if err != nil {
			return nil, nil, err
		}
		tail = append([]byte(`,"verdicts":`), v...)
	}
	if hash != "" {
		tail = strconv.AppendQuote(append(tail, `,"hash":`...), hash)
	}
	return head, append(tail, '}'), nil
}

// EncodeSnapshot writes a Snapshot in front of a state whose parts are encoded
// already: the message is head, the parts of the state, and tail.
func EncodeSnapshot(n uint64, cursor, hash string) (head, tail []byte) {
	head = strconv.AppendUint([]byte(`{"type":"snapshot","n":`), n, 10)
	head = strconv.AppendQuote(append(head, `,"cursor":`...), cursor)
	head = strconv.AppendQuote(append(head, `,"hash":`...), hash)
	return append(head, `,"state":`...), []byte{'}'}
}

// plain encodes without the detours that JSON inside HTML would need, so that a
// text is never longer than it was when its size was checked.
func plain(v any) ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return nil, err
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), nil
}

// DecodeUp reads what a phone sent: a Hello, Edits or Ping. The error is an
// *Error.
func DecodeUp(b []byte) (Message, error) {
	kind, err := typeOf(b, MaxUp)
	if err != nil {
		return nil, err
	}
	switch kind {
	case "hello":
		return finish(kind, b, true, Hello.check)
	case "edits":
		return finish(kind, b, true, Edits.check)
	case "ping":
		return finish[Ping](kind, b, true, nil)
	}
	return nil, unknownType(kind)
}

// DecodeDown reads what a desk sent. Fields it does not know are passed over.
// The error is an *Error.
func DecodeDown(b []byte) (Message, error) {
	kind, err := typeOf(b, MaxDown)
	if err != nil {
		return nil, err
	}
	switch kind {
	case "welcome":
		return finish[Welcome](kind, b, false, nil)
	case "snapshot":
		return finish[Snapshot](kind, b, false, nil)
	case "frame":
		return finish[Frame](kind, b, false, nil)
	case "expect":
		return finish[Expect](kind, b, false, nil)
	case "pong":
		return finish[Pong](kind, b, false, nil)
	case "presence":
		return finish[Presence](kind, b, false, nil)
	case "bye":
		return finish[Bye](kind, b, false, nil)
	}
	return nil, unknownType(kind)
}

// DecodePost reads a visit in one request. The error is an *Error.
func DecodePost(b []byte) (Post, error) {
	if err := sized(b, MaxUp); err != nil {
		return Post{}, err
	}
	var p Post
	if err := read(b, true, &p); err != nil {
		return Post{}, malformed(err)
	}
	if t := p.Hello.Type; t != "" && t != "hello" {
		return Post{}, unknownType(t)
	}
	p.Hello.Type = ""
	if err := p.Hello.check(); err != nil {
		return Post{}, err
	}
	return p, Edits{After: p.After, Edits: p.Edits}.check()
}

func sized(b []byte, most int) error {
	if len(b) > most {
		return &Error{CodeTooLarge, fmt.Errorf("%d bytes, %d fit", len(b), most)}
	}
	if !utf8.Valid(b) {
		return malformed(errors.New("not UTF-8"))
	}
	return nil
}

// typeOf finds the type of a message.
func typeOf(b []byte, most int) (string, error) {
	if err := sized(b, most); err != nil {
		return "", err
	}
	if kind, ok := ahead(b); ok {
		return kind, nil
	}
	var h head
	if err := json.Unmarshal(b, &h); err != nil {
		return "", malformed(err)
	}
	if h.Type == "" {
		return "", malformed(errors.New("no type"))
	}
	return h.Type, nil
}

// ahead reads the type where Encode writes it, so that a message is decoded
// once. What says another type further on is refused by finish.
func ahead(b []byte) (kind string, ok bool) {
	rest, ok := bytes.CutPrefix(b, []byte(`{"type":"`))
	if !ok {
		return "", false
	}
	end := bytes.IndexByte(rest, '"')
	if end <= 0 || bytes.IndexByte(rest[:end], '\\') >= 0 {
		return "", false
	}
	return string(rest[:end]), true
}

// finish reads a whole message and checks it.
func finish[M Message](kind string, b []byte, strict bool, check func(M) error) (Message, error) {
	m := new(M)
	if err := read(b, strict, m); err != nil {
		return nil, malformed(err)
	}
	if h, ok := any(m).(interface{ untype() string }); ok && h.untype() != kind {
		return nil, malformed(errors.New("it says two types"))
	}
	if check != nil {
		if err := check(*m); err != nil {
			return nil, err
		}
	}
	return *m, nil
}

// untype takes the type out, which a message that was read says by what it is.
func (h *head) untype() string {
	kind := h.Type
	h.Type = ""
	return kind
}

// read decodes exactly one JSON value.
func read(b []byte, strict bool, into any) error {
	dec := json.NewDecoder(bytes.NewReader(b))
	if strict {
		dec.DisallowUnknownFields()
	}
	if err := dec.Decode(into); err != nil {
		return err
	}
	if _, err := dec.Token(); err != io.EOF {
		return errors.New("something follows the message")
	}
	return nil
}

func malformed(err error) error { return &Error{CodeMalformed, err} }

func unknownType(kind string) error {
	if len(kind) > 40 {
		kind = kind[:40]
	}
	return &Error{CodeUnknownType, fmt.Errorf("%q", kind)}
}

func (h Hello) check() error {
	switch {
	case h.Protocol < 1:
		return malformed(errors.New("no protocol"))
	case !shoot.ValidID(h.Device):
		return malformed(errors.New("the device is not an id"))
	case len(h.App) > maxText || len(h.Generation) > maxText || len(h.Cursor) > maxSeal:
		return &Error{CodeTooLarge, errors.New("a text in hello")}
	case h.Sent > MaxSeq:
		return malformed(errors.New("sent is too large"))
	}
	return nil
}

func (m Edits) check() error {
	if len(m.Edits) > MaxEdits {
		return &Error{CodeTooMany, fmt.Errorf("%d edits, %d fit", len(m.Edits), MaxEdits)}
	}
	if m.After > MaxSeq {
		return malformed(errors.New("after is too large"))
	}
	last := m.After
	for _, e := range m.Edits {
		if err := e.check(); err != nil {
			return err
		}
		if e.Seq <= last {
			return malformed(fmt.Errorf("edit %d follows %d", e.Seq, last))
		}
		last = e.Seq
	}
	return nil
}

// check looks at the envelope only: what is wrong inside an edit is for a
// verdict to say, so that it does not hold up the edits behind it.
func (e Edit) check() error {
	switch {
	case !shoot.ValidID(e.ID):
		return malformed(fmt.Errorf("edit %d has no id", e.Seq))
	case e.DependsOn != "" && !shoot.ValidID(e.DependsOn):
		return malformed(fmt.Errorf("edit %d depends on what is not an id", e.Seq))
	case e.Seq == 0 || e.Seq > MaxSeq:
		return malformed(errors.New("an edit without a number"))
	case len(e.Name) > maxText:
		return &Error{CodeTooLarge, fmt.Errorf("name of edit %d", e.Seq)}
	case len(e.Args) > shoot.MaxArgs:
		return &Error{CodeTooLarge, fmt.Errorf("edit %d: %d bytes of arguments, %d fit", e.Seq, len(e.Args), shoot.MaxArgs)}
	case len(e.Args) == 0:
		return malformed(fmt.Errorf("edit %d has no arguments", e.Seq))
	}
	return nil
}
