package store

import (
	"github.com/dgraph-io/badger/v4"

	"fairday/domain/shoot"
	"fairday/server/access"
)

const passkeyPrefix = "p/"

func passkeyKey(h access.Hash) []byte { return append([]byte(passkeyPrefix), h[:]...) }

// AddPasskey is part of access.Book.
func (s *Store) AddPasskey(h access.Hash, k access.Passkey) error {
	return s.change(func(tx *badger.Txn) error {
		all, err := passkeysIn(tx, k.Shoot, k.Person)
		if err != nil {
			return err
		}
		var have access.Passkey
		switch found, err := get(tx, passkeyKey(h), &have); {
		case err != nil:
			return err
		case found:
			return access.ErrSamePasskey
		case len(all) >= access.MostPasskeys:
			return access.ErrManyPasskeys
		}
		return put(tx, passkeyKey(h), k)
	})
}

// Passkey is part of access.Book.
func (s *Store) Passkey(h access.Hash) (k access.Passkey, err error) {
	err = s.db.View(func(tx *badger.Txn) error {
		found, err := get(tx, passkeyKey(h), &k)
		if err == nil && !found {
			err = access.ErrNoPasskey
		}
		return err
	})
	return k, err
}

// Passkeys is part of access.Book.
func (s *Store) Passkeys(shoot string, p shoot.PersonID) (all map[access.Hash]access.Passkey, err error) {
	err = s.db.View(func(tx *badger.Txn) (err error) {
		all, err = passkeysIn(tx, shoot, p)
		return err
	})
	return all, err
}

func passkeysIn(tx *badger.Txn, shoot string, p shoot.PersonID) (map[access.Hash]access.Passkey, error) {
	all, err := rows[access.Passkey](tx, passkeyPrefix)
	for h, k := range all {
		if k.Shoot != shoot || k.Person != p {
			delete(all, h)
		}
	}
	return all, err
}

// ChangePasskey is part of access.Book.
func (s *Store) ChangePasskey(h access.Hash, change func(*access.Passkey) error) error {
	return s.change(func(tx *badger.Txn) error {
		var k access.Passkey
		found, err := get(tx, passkeyKey(h), &k)
		if err == nil && !found {
			err = access.ErrNoPasskey
		}
		if err == nil {
			err = change(&k)
		}
		if err != nil {
			return err
		}
		return put(tx, passkeyKey(h), k)
	})
}

// EndPasskey is part of access.Book.
func (s *Store) EndPasskey(h access.Hash) error {
	return s.change(func(tx *badger.Txn) error { return tx.Delete(passkeyKey(h)) })
}
