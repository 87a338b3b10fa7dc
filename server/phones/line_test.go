package phones

import (
	"bytes"
	"compress/flate"
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"log"
	"net"
	"net/http"
	"net/http/httputil"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/gorilla/websocket"
)

// line is the way between one phone and the server: a proxy that can be cut and
// records both directions. It takes every packing out of the requests, so that
// what is recorded can be read.
type line struct {
	addr string
	srv  *http.Server

	mu    sync.Mutex
	cut   bool
	deaf  bool
	first string                   // a script that workers run before their own
	held  map[string]chan struct{} // requests of these endings wait until it is closed
	conns map[net.Conn]bool
	calls []*call
}

// call is one request with its answer; for a socket, up and down are its frames.
type call struct {
	method, path string
	head         http.Header // of the answer
	status       int
	up, down     tape
}

// tape is bytes that went one way, and when the first and the last of them did.
type tape struct {
	mu          sync.Mutex
	buf         bytes.Buffer
	first, last time.Time
}

func (t *tape) Write(b []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.last = time.Now()
	if t.buf.Len() == 0 {
		t.first = t.last
	}
	return t.buf.Write(b)
}

func (t *tape) bytes() []byte {
	t.mu.Lock()
	defer t.mu.Unlock()
	return bytes.Clone(t.buf.Bytes())
}

type callKey struct{}

// deafen loses all that the server says on sockets from now on; what the phone
// says still arrives.
func (l *line) deafen() {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.deaf = true
}

func (l *line) isDeaf() bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.deaf
}

func newLine(t testing.TB, to string) *line {
	t.Helper()
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	l := &line{addr: ln.Addr().String(), conns: map[net.Conn]bool{}}
	quiet := log.New(io.Discard, "", 0)
	proxy := &httputil.ReverseProxy{
		Rewrite: func(r *httputil.ProxyRequest) {
			r.SetURL(&url.URL{Scheme: "http", Host: to})
			r.Out.Host = r.In.Host
			r.Out.Header.Del("Accept-Encoding")
			r.Out.Header.Del("Sec-WebSocket-Extensions")
		},
		Transport:      &http.Transport{DisableCompression: true},
		FlushInterval:  -1,
		ModifyResponse: l.record,
		ErrorHandler:   func(http.ResponseWriter, *http.Request, error) { panic(http.ErrAbortHandler) }, // as if nobody was there
		ErrorLog:       quiet,
	}
	l.srv = &http.Server{Handler: l.recorded(proxy), ErrorLog: quiet}
	go func() { _ = l.srv.Serve(gate{ln, l}) }() // ends when it is closed
	t.Cleanup(func() {
		l.sever()
		_ = l.srv.Close()
	})
	return l
}

// gate hands out connections while the line is up.
type gate struct {
	net.Listener
	l *line
}

func (g gate) Accept() (net.Conn, error) {
	for {
		c, err := g.Listener.Accept()
		if err != nil {
			return nil, err
		}
		if k, ok := g.l.take(c); ok {
			return k, nil
		}
	}
}

// counted is a connection that the line forgets when it closes.
type counted struct {
	net.Conn
	l *line
}

func (c counted) Close() error {
	c.l.mu.Lock()
	delete(c.l.conns, c.Conn)
	c.l.mu.Unlock()
	return c.Conn.Close()
}

func (l *line) take(c net.Conn) (net.Conn, bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.cut {
		reset(c)
		return nil, false
	}
	l.conns[c] = true
	return counted{c, l}, true
}

// reset drops a connection without a goodbye.
func reset(c net.Conn) {
	if tcp, ok := c.(*net.TCPConn); ok {
		_ = tcp.SetLinger(0) // it may be closed already, as with the next
	}
	_ = c.Close()
}

// sever cuts every connection and refuses new ones.
func (l *line) sever() {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.cut = true
	for c := range l.conns {
		reset(c)
		delete(l.conns, c)
	}
}

// restore lets everything through again.
func (l *line) restore() {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.cut, l.deaf = false, false
}

func (l *line) base() string { return "http://" + l.addr }

func (l *line) recorded(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		c := &call{method: r.Method, path: r.URL.Path}
		l.mu.Lock()
		l.calls = append(l.calls, c)
		l.mu.Unlock()
		if !l.passes(r) {
			panic(http.ErrAbortHandler)
		}
		if r.Body != nil && r.Body != http.NoBody {
			r.Body = tee{io.TeeReader(r.Body, &c.up), r.Body}
		}
		next.ServeHTTP(w, r.WithContext(context.WithValue(r.Context(), callKey{}, c)))
	})
}

// hold keeps requests for paths of an ending from the server, until release.
func (l *line) hold(ending string) (release func()) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.held == nil {
		l.held = map[string]chan struct{}{}
	}
	gate := make(chan struct{})
	l.held[ending] = gate
	return sync.OnceFunc(func() {
		l.mu.Lock()
		defer l.mu.Unlock()
		delete(l.held, ending)
		close(gate)
	})
}

// passes waits as long as a request is held; false where the asker has gone.
func (l *line) passes(r *http.Request) bool {
	l.mu.Lock()
	gate := closed
	for ending, held := range l.held {
		if strings.HasSuffix(r.URL.Path, ending) {
			gate = held
		}
	}
	l.mu.Unlock()
	select {
	case <-gate:
		return true
	case <-r.Context().Done():
		return false
	}
}

var closed = func() chan struct{} { c := make(chan struct{}); close(c); return c }()

// asked counts the requests for paths of an ending so far.
func (l *line) asked(ending string) (n int) {
	l.mu.Lock()
	defer l.mu.Unlock()
	for _, c := range l.calls {
		if strings.HasSuffix(c.path, ending) {
			n++
		}
	}
	return n
}

type tee struct {
	io.Reader
	io.Closer
}

// duplex is a socket's body, both ways on tape.
type duplex struct {
	io.ReadWriteCloser
	c *call
	l *line
}

func (d duplex) Read(b []byte) (int, error) {
	for {
		n, err := d.ReadWriteCloser.Read(b)
		if err == nil && d.l.isDeaf() {
			continue
		}
		_, _ = d.c.down.Write(b[:n]) // a buffer takes everything
		return n, err
	}
}

func (d duplex) Write(b []byte) (int, error) {
	_, _ = d.c.up.Write(b)
	return d.ReadWriteCloser.Write(b)
}

func (l *line) record(r *http.Response) error {
	c, ok := r.Request.Context().Value(callKey{}).(*call)
	if !ok {
		return errors.New("a request is not on record")
	}
	if err := l.alter(r); err != nil {
		return err
	}
	c.status, c.head = r.StatusCode, r.Header.Clone()
	if both, ok := r.Body.(io.ReadWriteCloser); ok && r.StatusCode == http.StatusSwitchingProtocols {
		r.Body = duplex{both, c, l}
		return nil
	}
	r.Body = tee{io.TeeReader(r.Body, &c.down), r.Body}
	return nil
}

// alter puts the first script before a worker's own.
func (l *line) alter(r *http.Response) error {
	l.mu.Lock()
	first := l.first
	l.mu.Unlock()
	if first == "" || !strings.HasPrefix(r.Request.URL.Path, "/assets/worker-") || r.StatusCode != http.StatusOK {
		return nil
	}
	own, err := io.ReadAll(r.Body)
	if err != nil {
		return err
	}
	all := first + ";\n" + string(own)
	r.Body = io.NopCloser(strings.NewReader(all))
	r.Header.Set("Content-Length", strconv.Itoa(len(all)))
	r.ContentLength = int64(len(all))
	return nil
}

// answered is how long the server took on the latest socket, from the first that
// was said on it to the last that was heard.
func (l *line) answered() time.Duration {
	l.mu.Lock()
	defer l.mu.Unlock()
	for _, c := range slices.Backward(l.calls) {
		if c.path == "/sync" {
			return c.down.last.Sub(c.up.first)
		}
	}
	return 0
}

// spoken is everything that went over the line in plain text, but for the files
// of the client that are the same for everybody; the page itself is not. It fails on what it cannot
// read.
func (l *line) spoken() (string, error) {
	l.mu.Lock()
	calls := append([]*call(nil), l.calls...)
	l.mu.Unlock()
	var b strings.Builder
	for _, c := range calls {
		if strings.HasPrefix(c.path, "/assets/") || strings.HasSuffix(c.path, ".js") || strings.HasSuffix(c.path, ".css") {
			continue
		}
		if c.head.Get("Content-Encoding") != "" || c.head.Get("Sec-Websocket-Extensions") != "" {
			return "", fmt.Errorf("%s is packed", c.path)
		}
		c.head.Del("Content-Length") // a number that means nothing else
		fmt.Fprintf(&b, "\n%s %s %d\n%v\n", c.method, c.path, c.status, c.head)
		for _, way := range []*tape{&c.up, &c.down} {
			text := way.bytes()
			if c.status == http.StatusSwitchingProtocols {
				var err error
				if text, err = frames(text); err != nil {
					return "", fmt.Errorf("%s: %w", c.path, err)
				}
			}
			b.Write(text)
			b.WriteByte('\n')
		}
	}
	return b.String(), nil
}

// frames reads the payloads of websocket frames (RFC 6455, section 5.2), one
// message a line, those that are packed as their text. A message that was cut off
// at the end gives what came of it.
func frames(b []byte) ([]byte, error) {
	var out, message []byte
	packed := false
	for len(b) >= 2 {
		if b[0]&0x70 != 0 {
			return nil, errors.New("a frame uses an extension")
		}
		masked, size, at := b[1]&0x80 != 0, uint64(b[1]&0x7f), 2
		switch wide := map[uint64]int{126: 2, 127: 8}[size]; {
		case len(b) < at+wide:
			return addLine(out, message, packed)
		case wide == 2:
			size, at = uint64(binary.BigEndian.Uint16(b[2:])), 4
		case wide == 8:
			size, at = binary.BigEndian.Uint64(b[2:]), 10
		}
		var mask [4]byte
		if masked {
			if len(b) < at+4 {
				return addLine(out, message, packed)
			}
			at += copy(mask[:], b[at:])
		}
		if code := b[0] & 0x0f; code != 0 { // else it goes on with the one before
			packed = code == websocket.BinaryMessage
		}
		end := min(uint64(at)+size, uint64(len(b)))
		for i, x := range b[at:end] {
			message = append(message, x^mask[i%4])
		}
		if b[0]&0x80 != 0 {
			var err error
			if out, err = addLine(out, message, packed); err != nil {
				return nil, err
			}
			message = nil
		}
		b = b[end:]
	}
	return addLine(out, message, packed)
}

// addLine adds a message as a line. Raw deflate that ends too early gives what
// came of it, as a message does that was cut off.
func addLine(out, message []byte, packed bool) ([]byte, error) {
	if packed {
		text, err := io.ReadAll(flate.NewReader(bytes.NewReader(message)))
		if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) {
			return nil, fmt.Errorf("a message cannot be unpacked: %w", err)
		}
		message = text
	}
	if len(message) == 0 {
		return out, nil
	}
	return append(append(out, message...), '\n'), nil
}
