package live

// Drop stops a shoot's goroutine after what it was told so far and forgets it. Whoever
// has its runner gets ErrStopped from then on, and whoever asks for it ErrDropped.
func (s *Shoots) Drop(id string) {
	s.mu.Lock()
	r := s.running[id]
	delete(s.running, id)
	s.dropped[id] = true
	stopped := s.stopped
	s.mu.Unlock()
	if r == nil || stopped { // Stop has done it
		return
	}
	close(r.quit)
	<-r.done
}
