package web

import (
	"errors"
	"io"
	"io/fs"
	"log/slog"
	"net/http"
	"net/netip"
	"net/url"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/labstack/echo/v4/middleware"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/server/access"
	"fairday/server/house"
	"fairday/server/live"
)

// Store is what the server needs of a store. Each part has its own suite of tests,
// which every engine of it passes.
type Store interface {
	live.Store
	access.Book
	house.Book
	// Shoots lists the shoots that are there.
	Shoots() ([]string, error)
	// Last gives the number of a shoot's last entry, 0 for none.
	Last(id string) (uint64, error)
	// Drop deletes a shoot with its sessions, links, devices of those people and what the
	// house knows of it, so that nothing stays. Nobody appends to it any more.
	Drop(id string, people []shoot.PersonID) error
}

// App is the server without its listener. Its parts are open to whoever starts it.
type App struct {
	Store Store
	Now   func() time.Time
	Rand  io.Reader
	Log   *slog.Logger
	Base  *url.URL // where phones reach the server; nil: what they ask for
	Names []string // that it answers to besides addresses, localhost and that of Base, in lower case
	Demo  bool     // serve the page of join links

	Proxies []netip.Prefix // whose word counts on where a request comes from

	client    *client
	Shoots    *live.Shoots
	Sockets   *live.Sockets
	Metrics   *live.Metrics
	seen      *seen
	tries     *meter       // of join links that do not work
	codeTries *meter       // of codes that do not
	guests    []DemoPerson // of the demo
	known     summaries
	asked     asked  // passkeys
	Example   []byte // a plan file with comments
}

// New puts a server together over a store and the files of the client.
func New(s Store, files fs.FS, now func() time.Time, random io.Reader, log *slog.Logger) (*App, error) {
	a := &App{Store: s, Now: now, Rand: random, Log: log, Sockets: live.NewSockets(live.Usual(), log)}
	l := a.Sockets.Limits
	a.tries = newMeter(l.TriesPerSecond, l.Tries, l.Addresses)
	a.codeTries = newMeter(l.CodeTriesPerSecond, l.CodeTries, l.Addresses)
	a.seen = &seen{book: s, log: log}
	a.Sockets.Gone = func(h access.Hash) { a.seen.note(h, a.now()) }
	a.Metrics = live.NewMetrics(a.Sockets.Open)
	a.Shoots = live.NewShoots(s, a.now, random, log, a.Sockets, a.Metrics)
	var err error
	a.client, err = newClient(files)
	return a, err
}

// Stop ends the shoots, each after what it was told so far, and lets the
// farewells out.
func (a *App) Stop() {
	a.Shoots.Stop()
	a.Sockets.Stop(patience)
	a.seen.stop()
}

// patience is how long phones may take to hear that the server stops.
const patience = 3 * time.Second

// now is the server's clock in the domain's measure.
func (a *App) now() when.Instant { return when.Instant(a.Now().UnixMilli()) }

// largestBody is how much a request may carry; a sync request may carry one
// hello beside a message of the greatest size.
const largestBody = "320K"

// Handler puts the routes together.
func (a *App) Handler() http.Handler {
	e := echo.New()
	e.HideBanner, e.HidePort = true, true
	e.HTTPErrorHandler = a.answerError
	e.Use(a.report, a.recovered, a.headers, a.named, a.sameSite, middleware.BodyLimitWithConfig(middleware.BodyLimitConfig{Limit: largestBody,
		Skipper: func(c echo.Context) bool { return c.Path() == planPath }}))

	for _, r := range a.Routes() {
		e.Add(r.Method, r.Path, r.do, r.by...)
	}
	return e
}

// headers sets what every answer says to the browser.
func (a *App) headers(next echo.HandlerFunc) echo.HandlerFunc {
	const policy = "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; img-src 'self' data: blob:; " +
		"object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
	return func(c echo.Context) error {
		h := c.Response().Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		if a.Base != nil && a.Base.Scheme == "https" {
			h.Set("Strict-Transport-Security", "max-age=31536000") // a year; RFC 6797
		}
		h.Set("Permissions-Policy", "geolocation=(), microphone=()")
		if strings.HasPrefix(c.Path(), "/api/") || c.Path() == "/sync" {
			h.Set("Cache-Control", "no-store")
		}
		return next(c)
	}
}

// named refuses a request for a name that is not one of this server's: a page
// elsewhere whose name was made to lead here would pass for its own (DNS rebinding). An
// address cannot be made to lead elsewhere.
func (a *App) named(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if host := c.Request().Host; c.Path() != "/healthz" && !a.answersTo(host) {
			return fail(codeOtherName, errors.New("host "+host))
		}
		return next(c)
	}
}

func (a *App) answersTo(host string) bool {
	u := url.URL{Host: strings.ToLower(host)}
	name := strings.TrimSuffix(u.Hostname(), ".")
	if _, err := netip.ParseAddr(name); err == nil || name == "localhost" {
		return true
	}
	return a.Base != nil && strings.EqualFold(name, a.Base.Hostname()) || slices.Contains(a.Names, name)
}

// sameSite refuses what another site's page sends: anything but a read, and
// the opening of a socket.
func (a *App) sameSite(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		r := c.Request()
		reads := r.Method == http.MethodGet || r.Method == http.MethodHead
		if (!reads || c.Path() == "/sync") && !a.ownOrigin(r) {
			return fail(CodeBadOrigin, errors.New("origin "+r.Header.Get("Origin")))
		}
		return next(c)
	}
}

// ownOrigin tells whether a request comes from a page of this server. Browsers
// always send an Origin with what sameSite asks about; programs need not.
func (a *App) ownOrigin(r *http.Request) bool {
	origin := r.Header.Get("Origin")
	if origin == "" {
		return true
	}
	u, err := url.Parse(origin)
	if err != nil || u.Host == "" {
		return false
	}
	return strings.EqualFold(u.Host, r.Host) || a.Base != nil && strings.EqualFold(u.Host, a.Base.Host)
}

// schemeOf is how the asker reaches this server; what a proxy in front says
// counts.
func (a *App) schemeOf(r *http.Request) string {
	switch {
	case a.Base != nil:
		return a.Base.Scheme
	case r.TLS != nil, strings.EqualFold(r.Header.Get("X-Forwarded-Proto"), "https"):
		return "https"
	}
	return "http"
}

// unsafe tells whether the asker's browser does not trust the address, so that it
// lets nothing work there without signal.
func (a *App) unsafe(r *http.Request) bool {
	return a.schemeOf(r) != "https" && !Here(r.Host)
}

// Here tells whether an address, with its port or without, is of this machine alone.
func Here(host string) bool {
	u := url.URL{Host: host}
	at, err := netip.ParseAddr(u.Hostname())
	return u.Hostname() == "localhost" || err == nil && at.IsLoopback()
}

// baseOf is the start of links to this server, as the asker reaches it.
func (a *App) baseOf(r *http.Request) string {
	if a.Base != nil {
		return a.Base.String()
	}
	return a.schemeOf(r) + "://" + r.Host
}

// recovered turns a panic of one request into its error.
func (a *App) recovered(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) (err error) {
		defer func() {
			if p := recover(); p != nil {
				err = fail(codeFault, &panicked{p, debug.Stack()})
			}
		}()
		return next(c)
	}
}

// report writes the one log line of a request, and its error's answer. It names
// the route, never the path: a join link is a secret.
func (a *App) report(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		start := a.Now()
		err := next(c)
		if err != nil {
			c.Error(err)
		}
		level := slog.LevelDebug
		line := []any{"method", c.Request().Method, "route", c.Path(), "status", c.Response().Status, "ms", a.Now().Sub(start).Milliseconds()}
		if err != nil {
			p := problemOf(err)
			line = append(line, "code", p.Code)
			level = levelOf(p.Code)
			if p.cause != nil {
				line = append(line, "cause", p.cause)
			}
		}
		a.Log.Log(c.Request().Context(), level, "request", line...)
		return nil
	}
}

// levelOf tells how loud a problem is in the log.
func levelOf(c Code) slog.Level {
	switch c {
	case CodeNoSession, codeNotFound, codeNotBuilt, codeShuttingDown: // ordinary
		return slog.LevelDebug
	case codeFault, codeDamaged, codeDiskFull:
		return slog.LevelError
	}
	return slog.LevelWarn
}

// answerError tells the person, as a page or as JSON, as they asked.
func (a *App) answerError(err error, c echo.Context) {
	if c.Response().Committed {
		return
	}
	p := problemOf(err)
	k := problems[p.Code]
	if p.wait > 0 {
		c.Response().Header().Set(echo.HeaderRetryAfter, strconv.Itoa(int((p.wait+time.Second-1)/time.Second)))
	}
	if strings.HasPrefix(c.Path(), "/api/") || c.Path() == "/sync" {
		err = c.JSON(k.status, p)
	} else {
		home := p.Code == codeNotFound || p.Code == codeBadMethod || p.Code == codeLinkUsed
		err = page(c, k.status, "problem.html", problemPage{frame{Title: k.title}, p.Say, home})
	}
	if err != nil {
		a.Log.Debug("the answer did not get through", "cause", err)
	}
}

// panicked is a panic as an error, with where it happened.
type panicked struct {
	value any
	stack []byte
}

func (p *panicked) Error() string {
	if err, ok := p.value.(error); ok {
		return "panic: " + err.Error() + "\n" + string(p.stack)
	}
	if s, ok := p.value.(string); ok {
		return "panic: " + s + "\n" + string(p.stack)
	}
	return "panic\n" + string(p.stack)
}
