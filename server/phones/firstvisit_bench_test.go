package phones

import (
	"context"
	"errors"
	"fmt"
	"net"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// thin is a line that lets so many bytes a second through to the phone, over all of its
// connections, and takes half of a round trip each way.
type thin struct {
	rate int           // bytes a second
	trip time.Duration // there and back

	mu   sync.Mutex
	free time.Time // when the last byte so far is through
}

// serve carries connections to an address, and gives its own.
func (l *thin) serve(b *testing.B, to string) string {
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { _ = ln.Close() })
	go func() {
		for {
			phone, err := ln.Accept()
			if err != nil {
				return // it is over
			}
			go l.carry(phone, to)
		}
	}()
	return ln.Addr().String()
}

func (l *thin) carry(phone net.Conn, to string) {
	time.Sleep(l.trip) // to open a connection takes one
	server, err := net.Dial("tcp", to)
	if err != nil {
		_ = phone.Close()
		return
	}
	go l.pass(server, phone, false)
	l.pass(phone, server, true)
}

type piece struct {
	text []byte
	at   time.Time // when it comes out
}

// pass carries what one end says to the other, in pieces of a packet's size.
func (l *thin) pass(to, from net.Conn, narrow bool) {
	under := make(chan piece, 64)
	go func() {
		defer close(under)
		for {
			text := make([]byte, 1400)
			n, err := from.Read(text)
			if n > 0 {
				under <- piece{text[:n], l.through(n, narrow).Add(l.trip / 2)}
			}
			if err != nil {
				return
			}
		}
	}()
	var err error
	for p := range under {
		time.Sleep(time.Until(p.at))
		if err == nil {
			_, err = to.Write(p.text)
		}
	}
	_ = errors.Join(to.Close(), from.Close()) // the other way may have closed them
}

// through is when so many bytes are through.
func (l *thin) through(n int, narrow bool) time.Time {
	l.mu.Lock()
	defer l.mu.Unlock()
	now := time.Now()
	if !narrow {
		return now
	}
	if l.free.Before(now) {
		l.free = now
	}
	l.free = l.free.Add(time.Duration(n) * time.Second / time.Duration(l.rate))
	return l.free
}

// visiting notes when the first screen stands and when the engine is up, in ms from the
// start of the navigation that the button of the join page began.
const visiting = `(() => {
	const at = (window.visited = {});
	new MutationObserver(() => requestAnimationFrame(() => setTimeout(() => {
		const main = document.getElementById('main');
		if (!main || !main.textContent.includes('Your call')) return;
		at.read ??= performance.now();
		if (main.dataset.painted === 'false') at.up ??= performance.now();
	}))).observe(document, { subtree: true, childList: true, attributes: true });
})()`

// BenchmarkFirstVisit is a crew member of a shoot of sixty people and sixty shots who
// joins over 400 kbit/s with 400 ms: from the press on the join page's button until the
// first screen is read, and until the engine is up.
func BenchmarkFirstVisit(b *testing.B) {
	h := busy(b)
	var read, up []float64
	for i := range b.N {
		p := h.browser(b, fmt.Sprintf("p%d", 20+i)) // who are crew, as far as there are
		base := "http://" + (&thin{rate: 50_000, trip: 400 * time.Millisecond}).serve(b, h.addr)
		p.open(base + "/join/" + h.token(p.key))
		p.do("watch it open", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
			_, err := cdp.Call(ctx, t, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: visiting})
			return err
		}))
		p.tap(`form button`, "")
		p.until("the engine is up", `window.visited?.up`)
		at, err := evaluate[struct{ Read, Up float64 }](p, `window.visited`)
		if err != nil {
			b.Fatal(err)
		}
		read, up = append(read, at.Read), append(up, at.Up)
	}
	report(b, "read", read)
	report(b, "up", up)
	b.ReportMetric(0, "ns/op")
}
