//go:build !(linux || darwin || freebsd)

package store

// freeBytes is not known here.
func freeBytes(string) (uint64, bool) { return 0, false }

// inUse is left to the database, which has a lock of its own.
func inUse(string) bool { return false }
