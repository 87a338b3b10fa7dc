package store

import (
	"github.com/dgraph-io/badger/v4"

	"fairday/domain/shoot"
	"fairday/server/house"
)

var _ house.Book = (*Store)(nil)

// Prefixes of the rows of package house.
const (
	ownerPrefix  = "o/o/"
	shelfPrefix  = "o/s/"
	peoplePrefix = "o/p/"
)

// all gives every row under a prefix by the rest of its key.
func all[K ~string, T any](s *Store, prefix string) (map[K]T, error) {
	out := map[K]T{}
	err := s.db.View(func(tx *badger.Txn) error {
		it := tx.NewIterator(badger.IteratorOptions{Prefix: []byte(prefix)})
		defer it.Close()
		for it.Rewind(); it.Valid(); it.Next() {
			key := it.Item().KeyCopy(nil)
			var row T
			if _, err := get(tx, key, &row); err != nil {
				return err
			}
			out[K(key[len(prefix):])] = row
		}
		return nil
	})
	return out, err
}

// changeRow changes one row, which is empty where there is none.
func changeRow[T any](s *Store, key string, change func(*T) error) error {
	return s.change(func(tx *badger.Txn) error {
		var row T
		if _, err := get(tx, []byte(key), &row); err != nil {
			return err
		}
		if err := change(&row); err != nil {
			return err
		}
		return put(tx, []byte(key), row)
	})
}

// Owners is part of house.Book.
func (s *Store) Owners() (map[house.OwnerID]house.Owner, error) {
	return all[house.OwnerID, house.Owner](s, ownerPrefix)
}

// ChangeOwner is part of house.Book.
func (s *Store) ChangeOwner(id house.OwnerID, change func(*house.Owner) error) error {
	return changeRow(s, ownerPrefix+string(id), change)
}

// Shelf is part of house.Book.
func (s *Store) Shelf() (map[string]house.Shelved, error) {
	return all[string, house.Shelved](s, shelfPrefix)
}

// ChangeShelved is part of house.Book.
func (s *Store) ChangeShelved(id string, change func(*house.Shelved) error) error {
	if err := checkShoot(id); err != nil {
		return err
	}
	return changeRow(s, shelfPrefix+id, change)
}

// People is part of house.Book.
func (s *Store) People() (map[shoot.PersonID]house.Person, error) {
	return all[shoot.PersonID, house.Person](s, peoplePrefix)
}

// ChangePerson is part of house.Book.
func (s *Store) ChangePerson(id shoot.PersonID, change func(*house.Person) error) error {
	return changeRow(s, peoplePrefix+string(id), change)
}

// ForgetPerson is part of house.Book.
func (s *Store) ForgetPerson(id shoot.PersonID) error {
	return s.change(func(tx *badger.Txn) error { return tx.Delete([]byte(peoplePrefix + string(id))) })
}
