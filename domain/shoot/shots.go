package shoot

import (
	"fmt"
	"slices"
	"strings"

	"fairday/domain/when"
)

// The shots on the day.

var shotRows = rows{
	intents: []intentRow{
		{name: "shot.open", who: lead, target: "shot", say: "Open {shot}", args: shotOpen{}},
		{name: "shot.start", fact: true, who: camera, say: "First frame of {shot}", args: shotStart{}},
		{name: "shot.capture", fact: true, who: camera, say: "Capture of {shot}", args: shotCapture{}},
		{name: "shot.frames", fact: true, who: camera, say: "Frames of {shot}", args: shotFrames{}},
		{name: "shot.cut", who: lead, target: "shot", say: "Cut {shot}", args: shotCut{}},
		{name: "shots.cut", who: lead, say: "Cut several shots", args: shotsCut{}},
		{name: "shots.back", who: lead, say: "Put several shots back", args: shotsBack{}},
		{name: "shot.reset", who: lead, target: "shot", say: "Put {shot} back to planned", args: shotReset{}},
		{name: "shot.fallback", who: lead, target: "shot", say: "Take the fallback of {shot}|Take the first idea of {shot}", args: shotFallback{}},
		{name: "shot.approve", who: []Role{Client, Producer}, target: "shot", say: "Approve {shot}", args: shotApprove{}},
	},
	events: []eventRow{
		{body: ShotOpened{}},
		{body: ShotStarted{}},
		{body: ShotCaptured{}},
		{body: ShotQueried{}, query: func(b Body) QueryID { return b.(ShotQueried).ID }},
		{body: FramesNoted{}},
		{body: ShotCut{}},
		{body: ShotReset{}},
		{body: FallbackChosen{}},
		{body: ShotApproved{}},
	},
}

// Progress is how far a shot has come, as far as it is recorded. Whether a
// planned shot is held is worked out by Gate, since it depends on the time.
type Progress string

// The recorded stages of a shot.
const (
	Planned  Progress = "planned"
	Open     Progress = "open"     // it is up
	Shooting Progress = "shooting" // the first frame has been taken
	Captured Progress = "captured"
	Queried  Progress = "queried" // captured while its hero was in doubt, not settled yet
	Cut      Progress = "cut"
)

// Shot is one picture that the brief asks for.
type Shot struct {
	ShotPlan
	Progress   Progress       `json:"progress"`
	Spans      []Span         `json:"spans"`    // each time it was up: opened to captured or stood down
	Started    when.Instant   `json:"started"`  // first frame of the present span
	Captured   when.Instant   `json:"captured"` // as claimed by who captured it
	CapturedBy PersonID       `json:"capturedBy"`
	Before     []when.Instant `json:"before,omitempty"` // captures that it was put back from
	Frames     string         `json:"frames"`           // file or frame numbers, as noted
	Approved   when.Instant   `json:"approved"`
	ApprovedBy PersonID       `json:"approvedBy"`
	OnFallback bool           `json:"onFallback"` // the fallback idea was taken
	Version    int            `json:"version"`    // of the plan part
}

// Span is a stretch of time; To is zero while it lasts.
type Span struct {
	From when.Instant `json:"from"`
	To   when.Instant `json:"to"`
}

type shotOpen struct {
	Shot ShotID `json:"shot"`
}

// ShotOpened says that a shot is up.
type ShotOpened struct {
	Shot ShotID `json:"shot"`
}

// Opening is asked for: it is judged at the moment it was asked, and a hero that
// has lapsed since keeps it held.
func (a shotOpen) decide(d *deciding) *Refusal {
	shot, ok := d.s.Floor.Shots[a.Shot]
	if !ok {
		return unknown("shot")
	}
	switch shot.Progress {
	case Open, Shooting:
		return nil
	case Captured, Queried, Cut:
		return refuse(CodeWrongProgress, "Shot %s is %s. Put it back to planned first.", shot.Number, shot.Progress)
	}
	holds := d.s.Gate(shot, d.at)
	for _, id := range shot.Heroes {
		h := d.s.Floor.Heroes[id]
		if n, later := h.lapseAfter(d.at); later && h.StandingAt(d.at).Confirmed {
			holds = append(holds, h.Doubt(h.StandingAt(n.At)))
		}
	}
	if len(holds) > 0 {
		return refuse(CodeHeld, "Shot %s is held: %s. Read the plate on the Heroes screen, then open it.", shot.Number, strings.Join(holds, "; "))
	}
	d.emit(ShotOpened(a))
	return nil
}

func (ShotOpened) kind() string { return "shot.opened" }
func (ShotOpened) topic() Topic { return TopicFloor }
func (e ShotOpened) apply(s *State, ev Event) {
	s.shot(e.Shot, func(sh *Shot) {
		sh.Progress, sh.Started = Open, 0
		sh.Spans = append(slices.Clone(sh.Spans), Span{From: ev.At})
	})
}

// shot changes a copy of a shot's row and puts it back.
func (s *State) shot(id ShotID, change func(*Shot)) {
	if sh, ok := s.Floor.Shots[id]; ok {
		change(&sh)
		s.Floor.Shots = with(s.Floor.Shots, id, sh)
	}
}

// standDown ends the span that is running.
func (sh *Shot) standDown(at when.Instant) {
	if n := len(sh.Spans); n > 0 && sh.Spans[n-1].To == 0 {
		sh.Spans = slices.Clone(sh.Spans)
		sh.Spans[n-1].To = max(at, sh.Spans[n-1].From)
	}
}

type shotStart struct {
	Shot ShotID `json:"shot"`
}

// ShotStarted says that the first frame was taken.
type ShotStarted struct {
	Shot ShotID `json:"shot"`
}

func (a shotStart) decide(d *deciding) *Refusal {
	shot, ok := d.s.Floor.Shots[a.Shot]
	if !ok {
		return unknown("shot")
	}
	if shot.Started != 0 {
		return nil
	}
	if shot.Progress != Open {
		d.note(FlagQueried, fmt.Sprintf("Shot %s was not open when its first frame was noted.", shot.Number), "first frame", string(shot.Progress))
	}
	d.emit(ShotStarted(a))
	return nil
}

func (ShotStarted) kind() string { return "shot.started" }
func (ShotStarted) topic() Topic { return TopicFloor }
func (e ShotStarted) apply(s *State, ev Event) {
	s.shot(e.Shot, func(sh *Shot) {
		sh.Started = ev.At
		if sh.Progress == Open {
			sh.Progress = Shooting
		}
	})
}

type shotCapture struct {
	Shot   ShotID `json:"shot"`
	Frames string `json:"frames"`
}

// ShotCaptured says that a shot is done.
type ShotCaptured struct {
	Shot ShotID `json:"shot"`
}

// ShotQueried raises a query about a capture.
type ShotQueried struct{ Query }

// A capture is a fact. Where the shot was not up, or its hero was in doubt at
// that moment, it is kept and queried.
func (a shotCapture) decide(d *deciding) *Refusal {
	shot, ok := d.s.Floor.Shots[a.Shot]
	if !ok {
		return unknown("shot")
	}
	if r := text("frame numbers", a.Frames, 200); r != nil {
		return r
	}
	if shot.Progress != Captured && shot.Progress != Queried {
		d.emit(ShotCaptured{Shot: a.Shot})
		if against := d.s.doubtsAt(shot, d.at); against.Text != "" {
			d.queryCapture(shot, Side{By: d.in.Actor, At: d.at, Text: "Shot " + shot.Number + " was captured"}, against)
		}
	}
	if a.Frames != "" && a.Frames != shot.Frames {
		d.emit(FramesNoted(a))
	}
	return nil
}

// doubtsAt says what speaks against a capture of a shot at an instant.
func (s *State) doubtsAt(shot Shot, at when.Instant) Side {
	var out Side
	say := func(by PersonID, when when.Instant, text string) {
		if out.Text != "" {
			text = out.Text + "; " + text
		} else {
			out.By, out.At = by, when
		}
		out.Text = text
	}
	switch shot.Progress {
	case Planned:
		say("", at, "the shot was not open")
	case Cut:
		say("", at, "the shot had been cut")
	}
	for _, id := range shot.Heroes {
		h := s.Floor.Heroes[id]
		st := h.StandingAt(at)
		if doubt := h.Doubt(st); doubt != "" {
			say(st.LapsedBy, st.LapsedAt, doubt+because(st.Note))
		} else if n, ok := h.lapseAfter(at); ok && n.Lapse == LapseRefused {
			say(n.By, n.At, h.Name+" was refused by the client"+because(n.Note))
		}
	}
	return out
}

// queryCapture raises a query about a captured shot.
func (d *deciding) queryCapture(shot Shot, said, against Side) {
	d.emit(ShotQueried{d.query(Query{Kind: QueryCapture, Shot: shot.ID, Day: shot.Day, Said: said, Against: against})})
}

// query raises a query and flags the intent that raises it.
func (d *deciding) query(q Query) Query {
	d.note(FlagQueried, fmt.Sprintf("Kept, but queried: %s. The art director or the producer settles it.", q.Against.Text), q.Said.Text, q.Against.Text)
	return d.raise(q)
}

// raise gives a query its id and its time.
func (d *deciding) raise(q Query) Query {
	q.ID, q.Raised = QueryID(d.in.ID), d.at
	for n := 2; d.raised(q.ID); n++ {
		q.ID = QueryID(fmt.Sprintf("%s-%d", d.in.ID, n))
	}
	return q
}

func (d *deciding) raised(id QueryID) bool {
	return slices.ContainsFunc(d.events, func(e Event) bool {
		row := events[e.Kind()]
		return row.query != nil && row.query(e.Body) == id
	})
}

func (ShotCaptured) kind() string { return "shot.captured" }
func (ShotCaptured) topic() Topic { return TopicFloor }
func (e ShotCaptured) apply(s *State, ev Event) {
	s.shot(e.Shot, func(sh *Shot) {
		sh.standDown(ev.At)
		sh.Progress, sh.Captured, sh.CapturedBy = Captured, ev.At, ev.By
	})
}

func (ShotQueried) kind() string { return "shot.queried" }
func (ShotQueried) topic() Topic { return TopicFloor }
func (e ShotQueried) apply(s *State, _ Event) {
	s.Floor.Queries = with(s.Floor.Queries, e.ID, e.Query)
	s.shot(e.Shot, func(sh *Shot) { sh.Progress = Queried })
}

type shotFrames struct {
	Shot   ShotID `json:"shot"`
	Frames string `json:"frames"`
}

// FramesNoted keeps a shot's file or frame numbers.
type FramesNoted struct {
	Shot   ShotID `json:"shot"`
	Frames string `json:"frames"`
}

func (a shotFrames) decide(d *deciding) *Refusal {
	shot, ok := d.s.Floor.Shots[a.Shot]
	if !ok {
		return unknown("shot")
	}
	if r := text("frame numbers", a.Frames, 200); r != nil {
		return r
	}
	if a.Frames != shot.Frames {
		d.emit(FramesNoted(a))
	}
	return nil
}

func (FramesNoted) kind() string { return "shot.frames" }
func (FramesNoted) topic() Topic { return TopicFloor }
func (e FramesNoted) apply(s *State, _ Event) {
	s.shot(e.Shot, func(sh *Shot) { sh.Frames = e.Frames })
}

type shotCut struct {
	Shot ShotID `json:"shot"`
}

// ShotCut says that a shot will not be made.
type ShotCut struct {
	Shot ShotID `json:"shot"`
}

func (a shotCut) decide(d *deciding) *Refusal {
	shot, ok := d.s.Floor.Shots[a.Shot]
	if !ok {
		return unknown("shot")
	}
	switch shot.Progress {
	case Cut:
		return nil
	case Captured, Queried:
		return refuse(CodeWrongProgress, "Shot %s is captured already. Put it back to planned first.", shot.Number)
	}
	d.emit(ShotCut(a))
	return nil
}

func (ShotCut) kind() string { return "shot.cut" }
func (ShotCut) topic() Topic { return TopicFloor }
func (e ShotCut) apply(s *State, ev Event) {
	s.shot(e.Shot, func(sh *Shot) { sh.standDown(ev.At); sh.Progress = Cut })
}

type shotsCut struct {
	Shots []ShotID `json:"shots"`
}

// decide cuts all of them or none.
func (a shotsCut) decide(d *deciding) *Refusal {
	return severally(d, a.Shots, func(id ShotID) *Refusal { return shotCut{id}.decide(d) })
}

type shotsBack struct {
	Shots []ShotID `json:"shots"`
}

// decide puts all that were cut together back to planned.
func (a shotsBack) decide(d *deciding) *Refusal {
	return severally(d, a.Shots, func(id ShotID) *Refusal { return shotReset{id, Cut}.decide(d) })
}

// severally decides about some shots, each named once.
func severally(d *deciding, shots []ShotID, one func(ShotID) *Refusal) *Refusal {
	if len(shots) == 0 || !known(shots, d.s.Floor.Shots) {
		return refuse(CodeBadArgs, "That names no shot, one twice, or one that is not in the plan. Reload and choose again.")
	}
	for _, id := range shots {
		if r := one(id); r != nil {
			return r
		}
	}
	return nil
}

type shotReset struct {
	Shot ShotID   `json:"shot"`
	Was  Progress `json:"was"` // what it was when the person decided
}

// ShotReset puts a shot back to planned.
type ShotReset struct {
	Shot ShotID `json:"shot"`
}

func (a shotReset) decide(d *deciding) *Refusal {
	shot, ok := d.s.Floor.Shots[a.Shot]
	if !ok {
		return unknown("shot")
	}
	switch {
	case shot.Progress == Planned:
		return nil
	case shot.Progress == Queried:
		return refuse(CodeWrongProgress, "Shot %s is queried. Settle the query; that puts it back.", shot.Number)
	case shot.Progress != a.Was:
		r := refuse(CodeStale, "Shot %s has moved on meanwhile. Look at it again.", shot.Number)
		r.Yours, r.Theirs = string(a.Was), string(shot.Progress)
		return r
	}
	d.emit(ShotReset{a.Shot})
	return nil
}

func (ShotReset) kind() string { return "shot.reset" }
func (ShotReset) topic() Topic { return TopicFloor }
func (e ShotReset) apply(s *State, ev Event) {
	s.shot(e.Shot, func(sh *Shot) { sh.reset(ev.At) })
}

func (sh *Shot) reset(at when.Instant) {
	sh.standDown(at)
	if sh.Captured != 0 {
		sh.Before = append(slices.Clone(sh.Before), sh.Captured)
	}
	sh.Progress, sh.Started = Planned, 0
	sh.Captured, sh.CapturedBy, sh.Approved, sh.ApprovedBy = 0, "", 0, ""
}

type shotFallback struct {
	Shot ShotID `json:"shot"`
	On   bool   `json:"on"`
}

// FallbackChosen says whether a shot is made after its fallback idea.
type FallbackChosen struct {
	Shot ShotID `json:"shot"`
	On   bool   `json:"on"`
}

func (a shotFallback) decide(d *deciding) *Refusal {
	shot, ok := d.s.Floor.Shots[a.Shot]
	switch {
	case !ok:
		return unknown("shot")
	case shot.OnFallback == a.On:
		return nil
	case a.On && strings.TrimSpace(shot.Fallback) == "":
		return refuse(CodeNothingToDo, "Shot %s has no fallback. Write one in the plan first.", shot.Number)
	case shot.Progress == Captured || shot.Progress == Queried:
		return refuse(CodeWrongProgress, "Shot %s is captured already. Put it back to planned first.", shot.Number)
	}
	d.emit(FallbackChosen(a))
	return nil
}

func (FallbackChosen) kind() string { return "shot.fallback" }
func (FallbackChosen) topic() Topic { return TopicFloor }
func (e FallbackChosen) apply(s *State, _ Event) {
	s.shot(e.Shot, func(sh *Shot) { sh.OnFallback = e.On })
}

type shotApprove struct {
	Shot ShotID `json:"shot"`
}

// ShotApproved says that the client is content with a capture.
type ShotApproved struct {
	Shot ShotID `json:"shot"`
}

func (a shotApprove) decide(d *deciding) *Refusal {
	shot, ok := d.s.Floor.Shots[a.Shot]
	switch {
	case !ok:
		return unknown("shot")
	case shot.Approved != 0:
		return nil
	case shot.Progress != Captured:
		return refuse(CodeWrongProgress, "Shot %s is %s; only a captured shot can be approved.", shot.Number, shot.Progress)
	}
	d.emit(ShotApproved(a))
	return nil
}

func (ShotApproved) kind() string { return "shot.approved" }
func (ShotApproved) topic() Topic { return TopicFloor }
func (e ShotApproved) apply(s *State, ev Event) {
	s.shot(e.Shot, func(sh *Shot) { sh.Approved, sh.ApprovedBy = ev.At, ev.By })
}
