package web

import (
	"net"
	"net/http"
	"net/netip"
	"slices"
	"strings"
	"sync"
	"time"

	"fairday/server/access"

	"github.com/labstack/echo/v4"
	"golang.org/x/time/rate"
)

// meter counts what addresses get wrong. It remembers so many of them; when
// there are more, the new ones share one count.
type meter struct {
	perSecond rate.Limit
	burst     int
	most      int

	mu     sync.Mutex
	each   map[string]*rate.Limiter
	others *rate.Limiter
}

func newMeter(perSecond rate.Limit, burst, most int) *meter {
	return &meter{perSecond: perSecond, burst: burst, most: most,
		each: map[string]*rate.Limiter{}, others: rate.NewLimiter(perSecond, burst)}
}

// wait gives how long an address has to stay away, 0 for not at all.
func (m *meter) wait(now time.Time, address string) time.Duration {
	m.mu.Lock()
	defer m.mu.Unlock()
	l, ok := m.each[address]
	if !ok && len(m.each) >= m.most {
		l, ok = m.others, true
	}
	if !ok {
		return 0
	}
	missing := 1 - l.TokensAt(now)
	if missing <= 0 {
		return 0
	}
	return time.Duration(missing / float64(m.perSecond) * float64(time.Second))
}

// count notes that an address got something wrong.
func (m *meter) count(now time.Time, address string) {
	m.mu.Lock()
	defer m.mu.Unlock()
	l, ok := m.each[address]
	if !ok {
		if len(m.each) >= m.most {
			m.forget(now)
		}
		l = m.others
		if len(m.each) < m.most {
			l = rate.NewLimiter(m.perSecond, m.burst)
			m.each[address] = l
		}
	}
	l.AllowN(now, 1)
}

// forget drops who has nothing left on their count.
func (m *meter) forget(now time.Time) {
	for a, l := range m.each {
		if l.TokensAt(now) >= float64(m.burst) {
			delete(m.each, a)
		}
	}
}

// sparing turns an address away for a while that came with many join links that
// do not work. A link that is known is let in all the same: it cannot be guessed, and
// whoever holds it need not answer for others in the same network. A short code can be
// guessed, and waits.
func (a *App) sparing(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		from := a.addressOf(c.Request())
		token := tokenOf(c.Param("token"))
		tries := a.tries
		if isCode(token) {
			tries = a.codeTries
		}
		if wait := tries.wait(a.Now(), from); wait > 0 {
			if _, err := a.Store.Link(access.HashOf(token)); err == nil && !isCode(token) {
				return next(c)
			}
			p := fail(codeTooManyTries, nil)
			p.wait = wait
			return p
		}
		err := next(c)
		if err != nil && problemOf(err).Code == codeLinkUnknown {
			tries.count(a.Now(), from)
		}
		return err
	}
}

// addressOf is where a request comes from. What a proxy that was named says counts,
// the last one's word alone, and nobody else's. Of an address of version 6,
// the half that a household or a phone company's customer gets counts.
func (a *App) addressOf(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		host = r.RemoteAddr
	}
	at, err := netip.ParseAddr(host)
	if err != nil {
		return host
	}
	if all := r.Header.Values("X-Forwarded-For"); len(all) > 0 && slices.ContainsFunc(a.Proxies, func(p netip.Prefix) bool { return p.Contains(at.Unmap().WithZone("")) }) {
		said := all[len(all)-1]
		if told, err := netip.ParseAddr(strings.TrimSpace(said[strings.LastIndex(said, ",")+1:])); err == nil {
			at = told
		}
	}
	at = at.Unmap()
	if at.Is6() {
		if p, err := at.WithZone("").Prefix(64); err == nil {
			return p.String()
		}
	}
	return at.String()
}
