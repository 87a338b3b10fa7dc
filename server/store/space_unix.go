//go:build linux || darwin || freebsd

package store

import (
	"errors"
	"os"
	"syscall"
)

// inUse tells whether another process has the folder open: the database holds
// this lock as long as it has.
func inUse(dir string) bool {
	f, err := os.Open(dir)
	if err != nil {
		return false
	}
	defer f.Close() // which lets go of the lock
	return errors.Is(syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB), syscall.EWOULDBLOCK)
}

// freeBytes is what the file system of a folder has left for this user.
func freeBytes(dir string) (uint64, bool) {
	var st syscall.Statfs_t
	if err := syscall.Statfs(dir, &st); err != nil {
		return 0, false
	}
	return uint64(max(0, int64(st.Bavail))) * uint64(st.Bsize), true
}
