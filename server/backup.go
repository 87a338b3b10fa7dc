package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"syscall"
	"time"

	"fairday/server/store"
)

// A server that runs has its data folder to itself. What must be done to the
// folder meanwhile goes through a socket in it, below a folder that only its
// owner may enter: whoever can reach it could read the data as well.
const keeperDir, keeperName = "admin", "socket"

func keeperPath(dir string) string { return filepath.Join(dir, keeperDir, keeperName) }

// listenKeeper opens the socket. The folder is locked, so one that is there is
// what a killed server left behind.
func listenKeeper(dir string) (net.Listener, error) {
	if err := os.MkdirAll(filepath.Join(dir, keeperDir), 0o700); err != nil {
		return nil, err
	}
	if err := os.Chmod(filepath.Join(dir, keeperDir), 0o700); err != nil {
		return nil, err
	}
	path := keeperPath(dir)
	if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	return net.Listen("unix", path)
}

// keeper answers on the socket until stop is called. Where there can be no
// socket, the server runs without.
func keeper(dir string, s *store.Store, log *slog.Logger) (stop func()) {
	ln, err := listenKeeper(dir)
	if err != nil {
		log.Warn("backup and verify have to wait until the server is stopped: their socket cannot be opened", "cause", err)
		return func() {}
	}
	mux := http.NewServeMux()
	mux.HandleFunc("GET /backup", func(w http.ResponseWriter, _ *http.Request) {
		if err := s.Backup(w); err != nil {
			log.Error("a backup failed", "cause", err)
			panic(http.ErrAbortHandler) // so that the other end does not take it for whole
		}
	})
	mux.HandleFunc("GET /verify", func(w http.ResponseWriter, _ *http.Request) {
		found, err := s.Verify()
		if err != nil {
			log.Error("verify failed", "cause", err)
			http.Error(w, err.Error(), http.StatusInternalServerError)
			return
		}
		if err := json.NewEncoder(w).Encode(found); err != nil {
			log.Debug("the answer did not get through", "cause", err)
		}
	})
	srv := &http.Server{Handler: mux, ReadHeaderTimeout: 10 * time.Second, ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelDebug)}
	done := make(chan struct{})
	go func() {
		defer close(done)
		if err := srv.Serve(ln); !errors.Is(err, http.ErrServerClosed) {
			log.Warn("backup and verify have to wait until the server is stopped", "cause", err)
		}
	}()
	return func() {
		ending, cancel := context.WithTimeout(context.Background(), 3*time.Second)
		defer cancel()
		if srv.Shutdown(ending) != nil {
			_ = srv.Close() // a backup that is not done is not a backup
		}
		<-done
	}
}

// errNobody says that no server has the folder open.
var errNobody = errors.New("no server runs on it")

// askKeeper sends a request to the server that has a folder open.
func askKeeper(ctx context.Context, dir, path string) (*http.Response, error) {
	c := &http.Client{Transport: &http.Transport{DisableKeepAlives: true,
		DialContext: func(ctx context.Context, _, _ string) (net.Conn, error) {
			var d net.Dialer
			return d.DialContext(ctx, "unix", keeperPath(dir))
		}}}
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://fairday"+path, nil)
	if err != nil {
		return nil, err
	}
	resp, err := c.Do(req)
	if errors.Is(err, fs.ErrNotExist) || errors.Is(err, syscall.ECONNREFUSED) || errors.Is(err, syscall.EINVAL) {
		return nil, errNobody
	}
	if err != nil {
		return nil, err
	}
	if resp.StatusCode != http.StatusOK {
		defer resp.Body.Close()
		b, err := io.ReadAll(io.LimitReader(resp.Body, 1<<10))
		return nil, errors.Join(fmt.Errorf("the server says: %s", b), err)
	}
	return resp, nil
}

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
	resp, err := askKeeper(ctx, dir, "/backup")
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
	resp, err := askKeeper(ctx, dir, "/verify")
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
