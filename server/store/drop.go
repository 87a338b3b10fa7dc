package store

import (
	"errors"
	"fmt"

	"github.com/dgraph-io/badger/v4"

	"fairday/domain/shoot"
	"fairday/server/access"
)

// dropPrefix marks shoots that are being deleted, so that a deletion that was cut is
// finished when the folder is opened next.
const dropPrefix = "o/d/"

// Drop deletes a shoot: its log, its sessions, links, passkeys and devices, and what is known
// beside it. The database's files are written anew without it, so that nothing of it
// stays on the disk; backups are not touched. Appends of other shoots wait meanwhile.
// Whoever calls it has seen to it that nobody appends to this one any more.
func (s *Store) Drop(id string, people []shoot.PersonID) error {
	if !shoot.ValidID(id) {
		return fmt.Errorf("%q is not the id of a shoot", id)
	}
	said := make(chan error, 1)
	job := func() { said <- s.drop(id, people) }
	select {
	case s.alone <- job:
		return <-said
	case <-s.closing:
		return ErrClosed
	}
}

func (s *Store) drop(id string, people []shoot.PersonID) error {
	err := s.change(func(tx *badger.Txn) error { return s.dropAround(tx, id, people) })
	if err != nil {
		return err
	}
	return s.dropLog(id)
}

// dropAround deletes what belongs to a shoot beside its log, and marks it.
func (s *Store) dropAround(tx *badger.Txn, id string, people []shoot.PersonID) error {
	if err := put(tx, []byte(dropPrefix+id), struct{}{}); err != nil {
		return err
	}
	keys := [][]byte{[]byte(shelfPrefix + id)}
	sessions, err := rows[access.Session](tx, sessionPrefix)
	if err != nil {
		return err
	}
	for h, one := range sessions {
		if one.Shoot == id {
			keys = append(keys, sessionKey(h))
		}
	}
	links, err := rows[access.Link](tx, linkPrefix)
	if err != nil {
		return err
	}
	for h, one := range links {
		if one.Shoot == id {
			keys = append(keys, linkKey(h))
		}
	}
	passkeys, err := rows[access.Passkey](tx, passkeyPrefix)
	if err != nil {
		return err
	}
	for h, one := range passkeys {
		if one.Shoot == id {
			keys = append(keys, passkeyKey(h))
		}
	}
	for _, p := range people {
		it := tx.NewIterator(badger.IteratorOptions{Prefix: devicesKey(id, p)})
		for it.Rewind(); it.Valid(); it.Next() {
			keys = append(keys, it.Item().KeyCopy(nil))
		}
		it.Close()
	}
	for _, k := range keys {
		if err := tx.Delete(k); err != nil {
			return err
		}
	}
	return nil
}

// dropLog deletes the log of a shoot that is marked. No write may be under way.
func (s *Store) dropLog(id string) error {
	s.writing.Lock()
	defer s.writing.Unlock()
	var prefixes [][]byte
	for _, plane := range []string{"h", "g", "c"} {
		prefixes = append(prefixes, shootKey(plane, id))
	}
	for _, plane := range []string{"e", "m", "i"} {
		prefixes = append(prefixes, []byte(plane+"/"+id+"/"))
	}
	if err := s.db.DropPrefix(prefixes...); err != nil {
		return err
	}
	s.known.Delete(id)
	err := s.db.Update(func(tx *badger.Txn) error { return tx.Delete([]byte(dropPrefix + id)) })
	for err == nil { // large checkpoints lie in files of their own
		err = s.db.RunValueLogGC(0.01)
	}
	if errors.Is(err, badger.ErrNoRewrite) {
		err = nil
	}
	return err
}

// finishDrops deletes the logs of shoots whose deletion was cut.
func (s *Store) finishDrops() error {
	marked, err := all[string, struct{}](s, dropPrefix)
	if err != nil {
		return err
	}
	for id := range marked {
		if err := s.dropLog(id); err != nil {
			return err
		}
	}
	return nil
}
