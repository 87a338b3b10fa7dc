package store

import (
	"sync"

	"github.com/dgraph-io/badger/v4"

	"fairday/domain/shoot"
)

// known tells of most new intents that a shoot's log does not have them, without
// the database. Their ids begin with the time they were made at (RFC 9562,
// UUIDv7), so most are above every older one; of those below, the database is
// asked. That some clock is wrong costs that look-up and nothing else.
type known struct {
	mu     sync.Mutex
	read   bool
	newest shoot.IntentID              // no id above it was there when since began
	since  map[shoot.IntentID]struct{} // what may have been added since
}

// mostSince is how many ids a shoot holds in memory, some 100 KB of them.
const mostSince = 1024

func (s *Store) knownOf(id string) (*known, error) {
	entry, ok := s.known.Load(id)
	if !ok {
		entry, _ = s.known.LoadOrStore(id, &known{since: map[shoot.IntentID]struct{}{}})
	}
	k := entry.(*known)
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.read {
		return k, nil
	}
	err := s.db.View(func(tx *badger.Txn) error {
		k.newest, k.read = highest(tx, id), true
		return nil
	})
	return k, err
}

// lacks tells that the log of the shoot surely has no entry of that intent.
func (k *known) lacks(intent shoot.IntentID) bool {
	k.mu.Lock()
	defer k.mu.Unlock()
	_, added := k.since[intent]
	return intent > k.newest && !added
}

// add says that an intent is on its way into the log, whether or not it arrives.
func (k *known) add(intent shoot.IntentID) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.since[intent] = struct{}{}
	if len(k.since) < mostSince {
		return
	}
	for i := range k.since {
		k.newest = max(k.newest, i)
	}
	clear(k.since)
}

// highest is the greatest id that the log of a shoot has, "" where it has none.
func highest(tx *badger.Txn, id string) shoot.IntentID {
	prefix := intentKey(id, "")
	it := tx.NewIterator(badger.IteratorOptions{Reverse: true, Prefix: prefix})
	defer it.Close()
	if it.Seek(append(prefix[:len(prefix):len(prefix)], 0xff)); !it.Valid() {
		return ""
	}
	return shoot.IntentID(it.Item().Key()[len(prefix):])
}
