package store

import (
	"bytes"
	"crypto/sha256"

	"github.com/dgraph-io/badger/v4"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/server/access"
)

func devicesKey(shootID string, p shoot.PersonID) []byte {
	of := sha256.Sum256([]byte(shootID + "/" + string(p)))
	return append([]byte("a/k/"), of[:]...)
}

func deviceKey(shootID string, p shoot.PersonID, d shoot.DeviceID) []byte {
	return append(devicesKey(shootID, p), d...)
}

// AddDevice is part of access.Book.
func (s *Store) AddDevice(shootID string, p shoot.PersonID, d shoot.DeviceID, is access.Device) error {
	if was, ok, err := s.Device(shootID, p, d); err != nil || ok && bytes.Equal(was.Key, is.Key) && was.Session == is.Session && is.Until-was.Until < 24*when.Hour {
		return err
	}
	return s.change(func(tx *badger.Txn) error {
		var was access.Device
		found, err := get(tx, deviceKey(shootID, p, d), &was)
		switch {
		case err != nil:
			return err
		case found && !bytes.Equal(was.Key, is.Key):
			return access.ErrOtherKey
		case !found:
			if err := forgetDevice(tx, devicesKey(shootID, p)); err != nil {
				return err
			}
		}
		return put(tx, deviceKey(shootID, p, d), is)
	})
}

// forgetDevice makes room for one more of a person's devices.
func forgetDevice(tx *badger.Txn, prefix []byte) error {
	it := tx.NewIterator(badger.IteratorOptions{Prefix: prefix})
	defer it.Close()
	var oldest []byte
	var until when.Instant
	n := 0
	for it.Rewind(); it.Valid(); it.Next() {
		var row access.Device
		key := it.Item().KeyCopy(nil)
		if _, err := get(tx, key, &row); err != nil {
			return err
		}
		if n++; oldest == nil || row.Until < until {
			oldest, until = key, row.Until
		}
	}
	if n < access.MostDevices {
		return nil
	}
	return tx.Delete(oldest)
}

// Device is part of access.Book.
func (s *Store) Device(shootID string, p shoot.PersonID, d shoot.DeviceID) (access.Device, bool, error) {
	var out access.Device
	found := false
	err := s.db.View(func(tx *badger.Txn) (err error) {
		found, err = get(tx, deviceKey(shootID, p, d), &out)
		return err
	})
	return out, found, err
}
