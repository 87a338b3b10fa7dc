package replica_test

import (
	"fmt"
	"strings"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/sim"
	"fairday/sync/wire"
)

// SPEC I9: a page that is newer than the desk keeps what the desk does not know and
// says so; everything else goes on, and it drains once the desk is newer.
func TestNewerPageKeepsItsQueue(t *testing.T) {
	s := newSet(t)
	s.cfg.Knows = func(name string, version int) bool { return name != "shot.frames" && shoot.Knows(name, version) }
	s.open()
	ad, cam := s.phone(director).connect(), s.phone(photographer).connect()
	cam.enter("shot.capture", capture(0))
	cam.enter("shot.frames", capture(0))
	cam.enter("shot.capture", capture(1))
	s.flush()
	ad.enter("shot.cut", shotArg(5))
	s.flush()
	if st := cam.r.Status(); st.Waiting != 2 || !st.Outdated || !st.Online {
		t.Errorf("%+v", st)
	}
	if cam.progress(5) != shoot.Cut {
		t.Error("it hears nothing any more")
	}
	before := len(cam.sent)
	for range 15 {
		s.now += when.Second
		cam.do(cam.r.Tick(s.now))
	}
	if n := len(cam.sent) - before; n > 2 {
		t.Errorf("%d messages in 15 seconds, for nothing", n)
	}
	cam.start()
	cam.connect()
	if st := cam.r.Status(); st.Waiting != 2 || !st.Outdated {
		t.Errorf("after a restart: %+v", st)
	}
	s.cfg.Knows = nil
	s.open()
	cam.connect()
	s.flush()
	if st := cam.r.Status(); st.Waiting != 0 || st.Outdated {
		t.Errorf("the desk is newer now: %+v", st)
	}
	s.same(cam)
}

// SPEC I9: a page of a newer protocol than the desk's is sent away, keeps its queue,
// comes again with an older one, and says so when there is none left.
func TestNewerProtocolKeepsItsQueue(t *testing.T) {
	s := newSet(t)
	cam := s.phone(photographer).connect()
	cam.cut()
	cam.enter("shot.capture", capture(0))
	text, err := wire.Encode(wire.ByeOf(wire.CodeProtocol)) // as every desk since protocol 1 answers
	s.check(err)
	for n := wire.Protocol; n > 0; n-- {
		if hello := string(cam.r.Connected(s.now).Send[0]); !strings.Contains(hello, fmt.Sprintf(`"protocol":%d,`, n)) {
			t.Errorf("after %d says %s", n+1, hello)
		}
		step := cam.r.Receive(text, s.now)
		cam.r.Disconnected(s.now)
		if st := cam.r.Status(); st.Waiting != 1 || st.Outdated != (n == 1) || !step.Close || step.RetryAfter == 0 || len(step.Drop) > 0 {
			t.Errorf("%+v, %+v", st, step)
		}
	}
	s.now += 10 * when.Minute // by then the desk may be newer
	if hello := string(cam.r.Connected(s.now).Send[0]); !strings.Contains(hello, fmt.Sprintf(`"protocol":%d,`, wire.Protocol)) {
		t.Errorf("later says %s", hello)
	}
}

// SPEC I9: a page of an older protocol drains its queue.
func TestOlderProtocolDrains(t *testing.T) {
	for n := 1; n < wire.Protocol; n++ {
		s := newSet(t)
		cam := s.phone(photographer).connect()
		cam.cut()
		cam.enter("shot.capture", capture(0))
		s.next++
		cam.conn = s.next
		s.at[cam.conn] = cam
		s.d.Attach(cam.conn, sim.Person(photographer))
		for _, text := range cam.r.Connected(s.now).Send {
			old := strings.Replace(string(text), fmt.Sprintf(`"protocol":%d`, wire.Protocol), fmt.Sprintf(`"protocol":%d`, n), 1)
			m, err := wire.DecodeUp([]byte(old))
			s.check(err)
			if h := m.(wire.Hello); h.Protocol != n {
				t.Fatalf("hello says %d", h.Protocol)
			}
			s.deliver(s.d.Receive(cam.conn, m, s.now))
		}
		s.flush()
		if st := cam.r.Status(); st.Waiting != 0 || st.Outdated {
			t.Errorf("protocol %d: %+v", n, st)
		}
		s.same(cam)
	}
}
