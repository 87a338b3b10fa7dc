//go:build linux || darwin || freebsd

package store

import "syscall"

// freeBytes is what the file system of a folder has left for this user.
func freeBytes(dir string) (uint64, bool) {
	var st syscall.Statfs_t
	if err := syscall.Statfs(dir, &st); err != nil {
		return 0, false
	}
	return uint64(max(0, int64(st.Bavail))) * uint64(st.Bsize), true
}
