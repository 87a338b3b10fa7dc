package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"

	"fairday/server/store"
)

// folder is the data folder that a command means; it must be there.
func folder(o options, w world) (string, error) {
	dir := o.data
	if dir == "" {
		var err error
		if dir, err = store.DefaultDir(w.Getenv); err != nil {
			return "", err
		}
	}
	if !store.Exists(dir) {
		return "", fmt.Errorf("there are no shoots in %s. Name the folder with --data", dir)
	}
	return dir, nil
}

// withStore opens a folder that no server runs on.
func withStore(dir string, o options, w world, do func(*store.Store) error) (err error) {
	s, err := store.Open(dir, w.Rand, newLog(o, w))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	return do(s)
}

// backup writes all there is into a file.
func backup(ctx context.Context, o options, w world) (err error) {
	dir, err := folder(o, w)
	if err != nil {
		return err
	}
	if _, err := os.Lstat(o.file); err == nil {
		return fmt.Errorf("there is something at %s already, and nothing is overwritten. Name another file with --to", o.file)
	}
	part := o.file + ".part"
	f, err := os.OpenFile(part, os.O_RDWR|os.O_CREATE|os.O_TRUNC, 0o600)
	if err != nil {
		return fmt.Errorf("the backup cannot be written: %w. Name another file with --to", err)
	}
	defer func() {
		if e := f.Close(); err == nil {
			err = e
		}
		if err == nil {
			err = os.Rename(part, o.file)
		} else {
			err = errors.Join(err, os.Remove(part))
		}
		if err == nil {
			fmt.Fprintf(w.Stdout, "The backup is in %s. It holds everything, pay and phone numbers included: keep it where only you can read it.\n", o.file)
		}
	}()
	if err := copyOut(ctx, dir, f, o, w); err != nil {
		return fmt.Errorf("the backup was not made: %w", err)
	}
	if _, err := store.CheckBackup(f); err != nil {
		return err
	}
	return f.Sync()
}

// copyOut takes a backup from the server that runs, or from the folder when
// none does.
func copyOut(ctx context.Context, dir string, to io.Writer, o options, w world) error {
	resp, err := askKeeper(ctx, dir, http.MethodGet, "/backup")
	if errors.Is(err, errNobody) {
		return withStore(dir, o, w, func(s *store.Store) error { return s.Backup(to) })
	}
	if err != nil {
		return err
	}
	defer resp.Body.Close()
	_, err = io.Copy(to, resp.Body)
	return err
}

// restore makes a new data folder from a backup.
func restore(o options, w world) error {
	f, err := os.Open(o.file)
	if err != nil {
		return fmt.Errorf("the backup cannot be read: %w", err)
	}
	defer f.Close()
	found, err := store.Restore(f, o.data, w.Rand, newLog(o, w))
	if err != nil {
		return err
	}
	fmt.Fprintf(w.Stdout, "The backup is restored in %s. Start the server with --data %s; the phones bring what the backup has not seen.\n", o.data, o.data)
	return tell(found, w)
}

// verifyFolder looks at every shoot of a folder, or of a backup.
func verifyFolder(ctx context.Context, o options, w world) (err error) {
	if o.file != "" {
		return verifyBackup(o, w)
	}
	dir, err := folder(o, w)
	if err != nil {
		return err
	}
	var found []store.Finding
	resp, err := askKeeper(ctx, dir, http.MethodGet, "/verify")
	switch {
	case errors.Is(err, errNobody):
		err = withStore(dir, o, w, func(s *store.Store) (err error) {
			found, err = s.Verify()
			return err
		})
	case err == nil:
		defer resp.Body.Close()
		err = json.NewDecoder(resp.Body).Decode(&found)
	}
	if err != nil {
		return err
	}
	return tell(found, w)
}

// verifyBackup restores a backup into a folder that it throws away.
func verifyBackup(o options, w world) (err error) {
	f, err := os.Open(o.file)
	if err != nil {
		return fmt.Errorf("the backup cannot be read: %w", err)
	}
	defer f.Close()
	temp, err := os.MkdirTemp("", "fairday-verify-")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(temp)) }()
	found, err := store.Restore(f, filepath.Join(temp, "data"), w.Rand, newLog(o, w))
	if err != nil {
		return err
	}
	return tell(found, w)
}

// errDamaged is for the exit code: verify has said what there is to say.
var errDamaged = errors.New("keep the folder as it is. \"fairday restore\" makes a new one from the last backup; the phones bring what it has not seen")

// tell says what verify has found, and gives errDamaged when not all is well.
func tell(found []store.Finding, w world) error {
	var bad error
	for _, f := range found {
		name := f.Shoot
		if f.Title != "" {
			name = fmt.Sprintf("%q (%s)", f.Title, f.Shoot)
		}
		if f.Damage == "" {
			fmt.Fprintf(w.Stdout, "Sound: %s, %d edits\n", name, f.Entries)
			continue
		}
		bad = errDamaged
		fmt.Fprintf(w.Stdout, "Damaged: %s, sound up to edit %d: %s\n", name, f.Entries, f.Damage)
	}
	if len(found) == 0 {
		fmt.Fprintln(w.Stdout, "There are no shoots in it.")
	}
	return bad
}
