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
	"fairday/server/web"
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
func keeper(dir, base string, s *store.Store, a *web.App) (stop func()) {
	log := a.Log
	ln, err := listenKeeper(dir)
	if err != nil {
		log.Warn("commands have to wait until the server is stopped: their socket cannot be opened", "cause", err)
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
	mux.HandleFunc("POST /owner", func(w http.ResponseWriter, r *http.Request) {
		if err := ownerLink(w, a, base, r.URL.Query().Get("name")); err != nil {
			log.Warn("no owner's link was made", "cause", err)
			http.Error(w, err.Error(), http.StatusInternalServerError)
		}
	})
	mux.HandleFunc("POST /shelf", func(w http.ResponseWriter, r *http.Request) {
		if err := answerShelf(w, r, a); err != nil {
			log.Debug("the answer did not get through", "cause", err)
		}
	})
	srv := &http.Server{Handler: mux, ReadHeaderTimeout: 10 * time.Second, ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelDebug)}
	done := make(chan struct{})
	go func() {
		defer close(done)
		if err := srv.Serve(ln); !errors.Is(err, http.ErrServerClosed) {
			log.Warn("commands have to wait until the server is stopped", "cause", err)
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
func askKeeper(ctx context.Context, dir, method, path string) (*http.Response, error) {
	c := &http.Client{Transport: &http.Transport{DisableKeepAlives: true,
		DialContext: func(ctx context.Context, _, _ string) (net.Conn, error) {
			var d net.Dialer
			return d.DialContext(ctx, "unix", keeperPath(dir))
		}}}
	req, err := http.NewRequestWithContext(ctx, method, "http://fairday"+path, nil)
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
