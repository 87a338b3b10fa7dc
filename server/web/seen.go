package web

import (
	"log/slog"
	"sync"
	"time"

	"fairday/domain/when"
	"fairday/server/access"
)

// seenEvery is how long it may take until a contact is written down: a server
// that is killed forgets so much of when phones were seen last.
const seenEvery = time.Minute

// seen collects when sessions were in contact, so that it costs one write for all
// of them and none for each request.
type seen struct {
	book access.Book
	log  *slog.Logger

	mu      sync.Mutex
	at      map[access.Hash]when.Instant
	next    *time.Timer // when there is something to write
	stopped bool
}

func (s *seen) note(h access.Hash, now when.Instant) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.at == nil {
		s.at = map[access.Hash]when.Instant{}
	}
	s.at[h] = max(s.at[h], now)
	if s.next == nil && !s.stopped {
		s.next = time.AfterFunc(seenEvery, s.write)
	}
}

// last is what is not written yet, 0 for nothing.
func (s *seen) last(h access.Hash) when.Instant {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.at[h]
}

// write writes down what was noted. What cannot be written is only a hint, and
// is noted again with the next contact.
func (s *seen) write() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.next = nil
	if s.stopped {
		return
	}
	s.flush()
}

func (s *seen) flush() {
	if len(s.at) == 0 {
		return
	}
	if err := s.book.Saw(s.at); err != nil {
		s.log.Warn("when phones were seen last was not written", "cause", err)
	}
	s.at = nil
}

// stop writes what is left; nothing is written afterwards.
func (s *seen) stop() {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.stopped {
		return
	}
	s.stopped = true
	if s.next != nil {
		s.next.Stop()
	}
	s.flush()
}
