package store

import (
	"crypto/sha256"
	"errors"

	"github.com/dgraph-io/badger/v4"

	"fairday/domain/shoot"
	"fairday/domain/when"
)

// Hash is the SHA-256 of a token.
type Hash [sha256.Size]byte

// HashOf hashes a token. Tokens are 256 random bits, so one round is enough.
func HashOf(token string) Hash { return sha256.Sum256([]byte(token)) }

// Session says that a browser has joined a shoot as a person. What that person
// may see is looked up live and never kept here.
type Session struct {
	Shoot  string         `json:"shoot"`
	Person shoot.PersonID `json:"person"`
	Made   when.Instant   `json:"made"`
	Until  when.Instant   `json:"until"`
}

// Link is an invitation to join a shoot as a person.
type Link struct {
	Shoot  string         `json:"shoot"`
	Person shoot.PersonID `json:"person"`
	By     shoot.PersonID `json:"by"`
	Made   when.Instant   `json:"made"`
	Until  when.Instant   `json:"until"`
	Many   bool           `json:"many"` // may be used more than once
	Used   when.Instant   `json:"used"` // first use, 0 for not yet
}

// Why a link cannot be used.
var (
	ErrUnknownLink = errors.New("no such join link")
	ErrUsedLink    = errors.New("the join link was used")
	ErrExpiredLink = errors.New("the join link has expired")
)

// Usable gives nil, ErrUsedLink or ErrExpiredLink.
func (l Link) Usable(now when.Instant) error {
	switch {
	case l.Used != 0 && !l.Many:
		return ErrUsedLink
	case now >= l.Until:
		return ErrExpiredLink
	}
	return nil
}

func sessionKey(h Hash) []byte { return append([]byte("a/s/"), h[:]...) }
func linkKey(h Hash) []byte    { return append([]byte("a/j/"), h[:]...) }

// AddLink stores a join link.
func (s *Store) AddLink(h Hash, l Link) error {
	return s.change(func(tx *badger.Txn) error { return put(tx, linkKey(h), l) })
}

// Link finds a join link, used or not, or gives ErrUnknownLink.
func (s *Store) Link(h Hash) (Link, error) {
	var l Link
	err := s.db.View(func(tx *badger.Txn) error {
		found, err := get(tx, linkKey(h), &l)
		if err == nil && !found {
			err = ErrUnknownLink
		}
		return err
	})
	return l, err
}

// Spend uses a join link and starts a session with it, in one transaction: of
// two who use a link at the same time, one gets ErrUsedLink. It also gives
// ErrUnknownLink and ErrExpiredLink.
func (s *Store) Spend(link, session Hash, now, until when.Instant) (Session, error) {
	var out Session
	spend := func(tx *badger.Txn) error {
		var l Link
		found, err := get(tx, linkKey(link), &l)
		if err == nil && !found {
			err = ErrUnknownLink
		}
		if err == nil {
			err = l.Usable(now)
		}
		if err != nil {
			return err
		}
		if l.Used == 0 {
			l.Used = now
			if err := put(tx, linkKey(link), l); err != nil {
				return err
			}
		}
		out = Session{Shoot: l.Shoot, Person: l.Person, Made: now, Until: until}
		return put(tx, sessionKey(session), out)
	}
	err := s.change(spend)
	return out, err
}

// change runs a transaction on what is not the log.
func (s *Store) change(do func(*badger.Txn) error) error {
	if err := s.room(); err != nil {
		return err
	}
	s.writing.Lock()
	defer s.writing.Unlock()
	return s.db.Update(do)
}

// Extend moves the end of a session; one that is not there is passed over.
func (s *Store) Extend(h Hash, until when.Instant) error {
	return s.change(func(tx *badger.Txn) error {
		var have Session
		found, err := get(tx, sessionKey(h), &have)
		if err != nil || !found {
			return err
		}
		have.Until = until
		return put(tx, sessionKey(h), have)
	})
}

// Sweep forgets sessions and join links that ended before an instant.
func (s *Store) Sweep(before when.Instant) error {
	return s.change(func(tx *badger.Txn) error {
		it := tx.NewIterator(badger.IteratorOptions{Prefix: []byte("a/")})
		defer it.Close()
		for it.Rewind(); it.Valid(); it.Next() {
			var row struct {
				Until when.Instant `json:"until"`
			}
			key := it.Item().KeyCopy(nil)
			if _, err := get(tx, key, &row); err != nil {
				return err
			}
			if row.Until < before {
				if err := tx.Delete(key); err != nil {
					return err
				}
			}
		}
		return nil
	})
}

// Session finds a session that has not ended; false when there is none.
func (s *Store) Session(h Hash, now when.Instant) (Session, bool, error) {
	var out Session
	found := false
	err := s.db.View(func(tx *badger.Txn) (err error) {
		found, err = get(tx, sessionKey(h), &out)
		return err
	})
	return out, found && now < out.Until, err
}

// DropSession ends a session; one that is not there is no error.
func (s *Store) DropSession(h Hash) error {
	return s.change(func(tx *badger.Txn) error { return tx.Delete(sessionKey(h)) })
}

// Count gives the number of sessions and of join links, ended ones included.
func (s *Store) Count() (sessions, links int, err error) {
	err = s.db.View(func(tx *badger.Txn) error {
		it := tx.NewIterator(badger.IteratorOptions{Prefix: []byte("a/")})
		defer it.Close()
		for it.Rewind(); it.Valid(); it.Next() {
			switch it.Item().Key()[2] {
			case 's':
				sessions++
			case 'j':
				links++
			}
		}
		return nil
	})
	return sessions, links, err
}
