package store

import (
	"crypto/rand"
	"fmt"
	"log/slog"
	mathrand "math/rand/v2"
	"testing"

	"fairday/domain/shoot"
	"fairday/sync/desk"
	"fairday/sync/desk/logtest"
)

// What is said without the database is what the database would have said: ids in
// any order, twice, from a clock far ahead, more than are held in memory, and
// after the folder was opened again.
func TestKnownAgreesWithTheDatabase(t *testing.T) {
	dir, chance := t.TempDir(), mathrand.New(mathrand.NewPCG(4, 2))
	const id = "0191d3f0-0000-7000-8000-00000000aaaa"
	name := func() shoot.IntentID {
		at := chance.IntN(3000)
		if chance.IntN(200) == 0 {
			at += 1 << 40 // years ahead
		}
		return shoot.IntentID(fmt.Sprintf("%012x-7000-8000-%012x", at, chance.IntN(3)))
	}
	first, seq := map[shoot.IntentID]uint64{}, uint64(0)
	for range 3 {
		s, err := Open(dir, rand.Reader, slog.New(slog.DiscardHandler))
		if err != nil {
			t.Fatal(err)
		}
		for range 800 {
			var batch []desk.Entry
			for range 1 + chance.IntN(4) {
				seq++
				e := logtest.Sample(seq)
				e.Intent.ID = name()
				if _, ok := first[e.Intent.ID]; !ok {
					first[e.Intent.ID] = seq
				}
				batch = append(batch, e)
			}
			if err := s.Append(id, batch, nil); err != nil {
				t.Fatal(err)
			}
			ask := name()
			e, ok, err := s.Find(id, ask)
			if want := first[ask]; err != nil || ok != (want > 0) || e.Seq != want {
				t.Fatalf("%s is entry %d (%v, %v), want %d", ask, e.Seq, ok, err, want)
			}
		}
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
	}
}
