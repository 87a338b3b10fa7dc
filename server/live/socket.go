package live

import (
	"fmt"
	"io"
	"log/slog"
	"runtime/debug"
	"slices"
	"sync"
	"time"

	"github.com/gorilla/websocket"

	"fairday/sync/desk"
	"fairday/sync/wire"
)

// socket is one websocket: one goroutine reads, one writes, a bounded queue
// lies between the shoot's runner and the writer.
type socket struct {
	ws     *websocket.Conn
	id     desk.ConnID
	runner *Runner // nil when all there is to say is goodbye
	packer *packer // nil where the phone takes no packed messages
	quota  *quota
	limits Limits
	log    *slog.Logger

	mu       sync.Mutex
	queue    []message
	bytes    int
	full     bool      // it overflowed, so that what follows would have a gap before it
	ended    bool      // nothing more goes into the queue
	until    time.Time // by which all must be out, once it has ended
	farewell []byte    // goes out after the queue; nil when the other end is gone
	wake     chan struct{}
}

func newSocket(ws *websocket.Conn, id desk.ConnID, l Limits, log *slog.Logger) *socket {
	return &socket{ws: ws, id: id, limits: l, log: log, wake: make(chan struct{}, 1)}
}

// message is a text with what follows it.
type message struct {
	text []byte
	rest []*desk.Part
}

func (m message) size() int {
	n := len(m.text)
	for _, r := range m.rest {
		n += len(r.Text)
	}
	return n
}

// Enqueue is part of Subscriber.
func (s *socket) Enqueue(text []byte, last bool, rest ...*desk.Part) bool {
	m := message{text, rest}
	s.mu.Lock()
	defer s.mu.Unlock()
	switch {
	case s.ended:
		return last
	case last:
		s.ended, s.farewell, s.until = true, text, time.Now().Add(s.limits.Write)
	case s.full, len(s.queue) >= s.limits.QueueTexts, s.bytes > s.limits.queueBytes:
		s.full = true
		return false
	default:
		s.queue, s.bytes = append(s.queue, m), s.bytes+m.size()
	}
	s.nudge()
	return true
}

// EnqueueSpare is part of Subscriber: once the queue is half full, what may be left out is.
func (s *socket) EnqueueSpare(text []byte) {
	s.mu.Lock()
	busy := len(s.queue) > s.limits.QueueTexts/2 || s.bytes > s.limits.queueBytes/2
	s.mu.Unlock()
	if !busy {
		s.Enqueue(text, false)
	}
}

func (s *socket) nudge() {
	select {
	case s.wake <- struct{}{}:
	default:
	}
}

// next gives what is to be written; done says that nothing follows.
func (s *socket) next() (m message, done bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if len(s.queue) > 0 {
		m, s.queue = s.queue[0], s.queue[1:]
		s.bytes -= m.size()
		return m, false
	}
	s.queue = nil
	if s.ended {
		m.text, s.farewell = s.farewell, nil
		return m, true
	}
	return m, false
}

// write sends what is in the queue until the farewell is out or the other end
// does not take it.
func (s *socket) write() {
	defer s.guard()
	for {
		m, done := s.next()
		if m.text != nil {
			if err := s.send(m); err != nil {
				s.log.Debug("a phone went away", "conn", s.id, "cause", err)
				s.hangUp()
				return
			}
		}
		switch {
		case done:
			if m.text != nil {
				s.closeNicely()
			}
			return
		case m.text == nil:
			<-s.wake
		}
	}
}

func (s *socket) send(m message) error {
	if len(m.rest) == 0 && len(m.text) <= pieceSize {
		if err := s.hurry(); err != nil {
			return err
		}
		return s.ws.WriteMessage(websocket.TextMessage, m.text)
	}
	kind, parts := websocket.TextMessage, [][]byte{m.text}
	for _, r := range m.rest {
		parts = append(parts, r.Text)
	}
	if s.packer != nil && len(m.rest) > 0 {
		kind, parts = websocket.BinaryMessage, s.packer.message(m)
	}
	w, err := s.ws.NextWriter(kind)
	if err != nil {
		return err
	}
	for _, part := range parts {
		for piece := range slices.Chunk(part, pieceSize) {
			if err := s.hurry(); err != nil {
				return err
			}
			if _, err := w.Write(piece); err != nil {
				return err
			}
		}
	}
	return w.Close()
}

// hurry sets the time by which the next piece must be out.
func (s *socket) hurry() error {
	s.mu.Lock()
	until := s.until
	s.mu.Unlock()
	if t := time.Now().Add(s.limits.Write); until.IsZero() || t.Before(until) {
		until = t
	}
	return s.ws.SetWriteDeadline(until)
}

// closeNicely says that we close and leaves it to the other end to do so: a
// connection that is dropped with unread input loses the farewell on its way.
func (s *socket) closeNicely() {
	bye := websocket.FormatCloseMessage(websocket.CloseNormalClosure, "")
	if err := s.ws.WriteControl(websocket.CloseMessage, bye, time.Now().Add(s.limits.Write)); err != nil {
		s.hangUp()
		return
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.ws.SetReadDeadline(time.Now().Add(s.limits.Drain)); err != nil {
		s.hangUp()
	}
}

// hangUp drops the connection, which ends the reader.
func (s *socket) hangUp() {
	_ = s.ws.Close() // it may be closed already
}

// stays moves the time by which the next message must have come, unless the
// farewell is on its way.
func (s *socket) stays(d time.Duration) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.ended || s.ws.SetReadDeadline(time.Now().Add(d)) == nil
}

// read takes messages until the connection ends.
func (s *socket) read() {
	defer s.guard()
	defer s.gone()
	if !s.stays(s.limits.Hello) {
		return
	}
	listening, greeted := s.runner != nil, false
	for spent := 0; ; {
		kind, r, err := s.ws.NextReader()
		if err != nil {
			s.log.Debug("a socket closed", "conn", s.id, "cause", err)
			return
		}
		text, err := io.ReadAll(io.LimitReader(r, wire.MaxUp+1))
		if err != nil {
			return
		}
		if !listening {
			left, err := io.Copy(io.Discard, io.LimitReader(r, drainAtMost))
			if spent += len(text) + int(left); err != nil || spent > drainAtMost {
				return
			}
			continue
		}
		code, hello := s.dispatch(kind, text)
		greeted = greeted || hello
		if code != "" {
			listening = false
			if err := s.runner.bye(s.id, code); err != nil {
				s.Enqueue(ByeText(wire.CodeShutdown), true)
			}
		} else if greeted && !s.stays(s.limits.Idle) {
			return
		}
	}
}

// dispatch passes a message on, or gives the code of what is wrong with it.
func (s *socket) dispatch(kind int, text []byte) (code wire.Code, hello bool) {
	if kind != websocket.TextMessage {
		return wire.CodeMalformed, false
	}
	m, err := wire.DecodeUp(text)
	if err != nil {
		s.log.Warn("a message could not be read", "conn", s.id, "cause", err)
		return wire.ByeFor(err).Code, false
	}
	edits := 0
	switch m := m.(type) {
	case wire.Edits:
		edits = len(m.Edits)
	case wire.Hello:
		hello = true
	}
	if code := s.quota.Allow(time.Now(), edits, len(text)); code != "" {
		s.log.Warn("too many messages", "conn", s.id, "code", code)
		return code, false
	}
	if err := s.runner.Receive(s.id, m, len(text)); err != nil {
		return wire.CodeShutdown, false
	}
	return "", hello
}

// gone is the end: the shoot forgets the connection and the writer stops.
func (s *socket) gone() {
	if s.runner != nil {
		if err := s.runner.leave(s.id); err != nil {
			s.log.Debug("left a shoot that has stopped", "conn", s.id)
		}
	}
	s.mu.Lock()
	s.ended, s.farewell, s.queue = true, nil, nil
	s.mu.Unlock()
	s.nudge()
	s.hangUp()
}

// guard keeps a panic of one socket from the others.
func (s *socket) guard() {
	if p := recover(); p != nil {
		s.log.Error("a socket failed", "conn", s.id, "panic", fmt.Sprint(p), "stack", string(debug.Stack()))
		s.hangUp()
	}
}
