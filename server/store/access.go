package store

import (
	"github.com/dgraph-io/badger/v4"

	"fairday/domain/when"
	"fairday/server/access"
)

var _ access.Book = (*Store)(nil)

const (
	sessionPrefix = "a/s/"
	linkPrefix    = "a/j/"
)

func sessionKey(h access.Hash) []byte { return append([]byte(sessionPrefix), h[:]...) }
func linkKey(h access.Hash) []byte    { return append([]byte(linkPrefix), h[:]...) }

// change runs a transaction on what is not the log.
func (s *Store) change(do func(*badger.Txn) error) error {
	if err := s.room(); err != nil {
		return err
	}
	s.writing.Lock()
	defer s.writing.Unlock()
	return s.db.Update(do)
}

// rows gives every row under a prefix of access.
func rows[T any](tx *badger.Txn, prefix string) (map[access.Hash]T, error) {
	out := map[access.Hash]T{}
	it := tx.NewIterator(badger.IteratorOptions{Prefix: []byte(prefix)})
	defer it.Close()
	for it.Rewind(); it.Valid(); it.Next() {
		key := it.Item().KeyCopy(nil)
		var row T
		if _, err := get(tx, key, &row); err != nil {
			return nil, err
		}
		var h access.Hash
		copy(h[:], key[len(prefix):])
		out[h] = row
	}
	return out, nil
}

// voidWhere voids the links that which picks.
func voidWhere(tx *badger.Txn, which func(access.Link) bool) error {
	all, err := rows[access.Link](tx, linkPrefix)
	if err != nil {
		return err
	}
	for h, l := range all {
		if which(l) {
			l.Void = true
			if err := put(tx, linkKey(h), l); err != nil {
				return err
			}
		}
	}
	return nil
}

// AddLink is part of access.Book.
func (s *Store) AddLink(h access.Hash, l access.Link) error {
	return s.change(func(tx *badger.Txn) error {
		if err := voidWhere(tx, l.Replaces); err != nil {
			return err
		}
		return put(tx, linkKey(h), l)
	})
}

// Link is part of access.Book.
func (s *Store) Link(h access.Hash) (access.Link, error) {
	var l access.Link
	err := s.db.View(func(tx *badger.Txn) error {
		found, err := get(tx, linkKey(h), &l)
		if err == nil && !found {
			err = access.ErrUnknownLink
		}
		return err
	})
	return l, err
}

// Links is part of access.Book.
func (s *Store) Links(shoot string) (all map[access.Hash]access.Link, err error) {
	err = s.db.View(func(tx *badger.Txn) (err error) {
		all, err = rows[access.Link](tx, linkPrefix)
		return err
	})
	for h, l := range all {
		if l.Shoot != shoot {
			delete(all, h)
		}
	}
	return all, err
}

// CancelLink is part of access.Book.
func (s *Store) CancelLink(h access.Hash) error {
	return s.change(func(tx *badger.Txn) error {
		var l access.Link
		found, err := get(tx, linkKey(h), &l)
		if err != nil || !found || l.Used != 0 && !l.Many {
			return err
		}
		l.Void = true
		return put(tx, linkKey(h), l)
	})
}

// Join is part of access.Book.
func (s *Store) Join(link, session access.Hash, phone string, now, until when.Instant) (access.Session, error) {
	var out access.Session
	err := s.change(func(tx *badger.Txn) error {
		var l access.Link
		found, err := get(tx, linkKey(link), &l)
		if err == nil && !found {
			err = access.ErrUnknownLink
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
		out = access.Session{Shoot: l.Shoot, Person: l.Person, Epoch: l.Epoch, Phone: phone, Made: now, Until: until}
		return put(tx, sessionKey(session), out)
	})
	return out, err
}

// Session is part of access.Book.
func (s *Store) Session(h access.Hash, now when.Instant) (access.Session, bool, error) {
	var out access.Session
	found := false
	err := s.db.View(func(tx *badger.Txn) (err error) {
		found, err = get(tx, sessionKey(h), &out)
		return err
	})
	return out, found && now < out.Until, err
}

// Sessions is part of access.Book.
func (s *Store) Sessions(shoot string, now when.Instant) (all map[access.Hash]access.Session, err error) {
	err = s.db.View(func(tx *badger.Txn) (err error) {
		all, err = rows[access.Session](tx, sessionPrefix)
		return err
	})
	for h, one := range all {
		if one.Shoot != shoot || now >= one.Until {
			delete(all, h)
		}
	}
	return all, err
}

// Extend is part of access.Book.
func (s *Store) Extend(h access.Hash, until when.Instant) error {
	return s.change(func(tx *badger.Txn) error {
		var have access.Session
		found, err := get(tx, sessionKey(h), &have)
		if err != nil || !found {
			return err
		}
		have.Until = until
		return put(tx, sessionKey(h), have)
	})
}

// sawAtOnce bounds the rows of one transaction.
const sawAtOnce = 1000

// Saw is part of access.Book. Very many are noted in several transactions: each
// stands for itself.
func (s *Store) Saw(at map[access.Hash]when.Instant) error {
	all := make([]access.Hash, 0, len(at))
	for h := range at {
		all = append(all, h)
	}
	for len(all) > 0 {
		some := all[:min(len(all), sawAtOnce)]
		all = all[len(some):]
		if err := s.change(func(tx *badger.Txn) error {
			for _, h := range some {
				var have access.Session
				found, err := get(tx, sessionKey(h), &have)
				if err != nil {
					return err
				}
				if !found || have.Seen >= at[h] {
					continue
				}
				have.Seen = at[h]
				if err := put(tx, sessionKey(h), have); err != nil {
					return err
				}
			}
			return nil
		}); err != nil {
			return err
		}
	}
	return nil
}

// EndSessions is part of access.Book.
func (s *Store) EndSessions(all ...access.Hash) error {
	return s.change(func(tx *badger.Txn) error {
		ended := map[access.Hash]bool{}
		for _, h := range all {
			ended[h] = true
			if err := tx.Delete(sessionKey(h)); err != nil {
				return err
			}
		}
		return voidWhere(tx, func(l access.Link) bool { return l.Code() && !l.Void && l.Used == 0 && ended[l.From] })
	})
}

// Sweep is part of access.Book.
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
