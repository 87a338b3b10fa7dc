//go:build !(linux || darwin || freebsd)

package store

// freeBytes is not known here.
func freeBytes(string) (uint64, bool) { return 0, false }
