package desk

import (
	"encoding/json"
	"fmt"
	"sync"

	"fairday/domain/shoot"
)

// Memory is a Log that keeps everything in memory, encoded as a store would
// keep it. It serves tests and the simulation; it may be called from many
// goroutines.
type Memory struct {
	mu         sync.Mutex
	shoots     map[string]*memoryShoot
	generation func() string
}

type memoryShoot struct {
	generation string
	entries    [][]byte // entries[i] has Seq i+1
	money      []bool
	ids        map[shoot.IntentID]int // where an id first came
	checkpoint []byte
}

// NewMemory makes an empty log. Generation makes the name of each new history.
func NewMemory(generation func() string) *Memory {
	return &Memory{shoots: map[string]*memoryShoot{}, generation: generation}
}

// Copy gives a log with the same contents, as a backup holds them. Changes to
// one do not show in the other.
func (m *Memory) Copy() *Memory {
	m.mu.Lock()
	defer m.mu.Unlock()
	out := NewMemory(m.generation)
	for id, s := range m.shoots {
		c := *s
		c.entries, c.money = append([][]byte(nil), s.entries...), append([]bool(nil), s.money...)
		c.ids = map[shoot.IntentID]int{}
		for k, v := range s.ids {
			c.ids[k] = v
		}
		out.shoots[id] = &c
	}
	return out
}

// Restored marks every shoot as restored from a backup: each gets a new
// generation.
func (m *Memory) Restored() {
	m.mu.Lock()
	defer m.mu.Unlock()
	for _, s := range m.shoots {
		s.generation = m.generation()
	}
}

// Load is part of Log.
func (m *Memory) Load(id string) (Checkpoint, []Entry, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	s, ok := m.shoots[id]
	if !ok {
		return Checkpoint{}, nil, nil
	}
	var cp Checkpoint
	if s.checkpoint != nil {
		if err := json.Unmarshal(s.checkpoint, &cp); err != nil {
			return Checkpoint{}, nil, fmt.Errorf("%w: checkpoint: %w", ErrDamaged, err)
		}
	}
	rest, err := s.read(cp.Seq, len(s.entries), true)
	return cp, rest, err
}

// Append is part of Log.
func (m *Memory) Append(id string, batch []Entry, cp *Checkpoint) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	s := m.shoot(id)
	var rows [][]byte
	for i, e := range batch {
		if want := uint64(len(s.entries) + i + 1); e.Seq != want {
			return fmt.Errorf("%w: entry %d where %d comes next", ErrOrder, e.Seq, want)
		}
		b, err := e.Encode()
		if err != nil {
			return err
		}
		rows = append(rows, b)
	}
	var point []byte
	if cp != nil {
		if end := uint64(len(s.entries) + len(batch)); cp.Seq != end {
			return fmt.Errorf("%w: a checkpoint at %d where the log ends at %d", ErrOrder, cp.Seq, end)
		}
		b, err := json.Marshal(cp)
		if err != nil {
			return err
		}
		point = b
	}
	for i, e := range batch {
		if _, ok := s.ids[e.Intent.ID]; !ok {
			s.ids[e.Intent.ID] = len(s.entries)
		}
		s.entries, s.money = append(s.entries, rows[i]), append(s.money, e.Money())
	}
	if point != nil {
		s.checkpoint = point
	}
	return nil
}

// Range is part of Log.
func (m *Memory) Range(id string, after uint64, limit int, money bool) ([]Entry, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	s, ok := m.shoots[id]
	if !ok {
		return nil, nil
	}
	return s.read(after, limit, money)
}

// Find is part of Log.
func (m *Memory) Find(id string, intent shoot.IntentID) (Entry, bool, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	s, ok := m.shoots[id]
	if !ok {
		return Entry{}, false, nil
	}
	i, ok := s.ids[intent]
	if !ok {
		return Entry{}, false, nil
	}
	e, err := decodeEntry(s.entries[i])
	return e, err == nil, err
}

// Generation is part of Log.
func (m *Memory) Generation(id string) (string, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.shoot(id).generation, nil
}

func (m *Memory) shoot(id string) *memoryShoot {
	s, ok := m.shoots[id]
	if !ok {
		s = &memoryShoot{generation: m.generation(), ids: map[shoot.IntentID]int{}}
		m.shoots[id] = s
	}
	return s
}

func (s *memoryShoot) read(after uint64, limit int, money bool) ([]Entry, error) {
	var out []Entry
	for i := after; i < uint64(len(s.entries)) && len(out) < limit; i++ {
		if s.money[i] && !money {
			continue
		}
		e, err := decodeEntry(s.entries[i])
		if err != nil {
			return nil, err
		}
		out = append(out, e)
	}
	return out, nil
}

func decodeEntry(b []byte) (Entry, error) {
	var e Entry
	if err := json.Unmarshal(b, &e); err != nil {
		return Entry{}, fmt.Errorf("%w: %w", ErrDamaged, err)
	}
	return e, nil
}
