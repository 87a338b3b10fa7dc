package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"html/template"
	"net"
	"net/http"
	"net/url"
	"os"

	"github.com/labstack/echo/v4"

	plans "fairday/testdata/demo"
)

// demoPerson is one row of the demo's page.
type demoPerson struct {
	invited
	QR template.HTML
}

// demo runs the invented shoot, dated today, in a folder that it throws away.
func demo(ctx context.Context, o options, w world) (err error) {
	p, err := parsePlan(bytes.NewReader(plans.File), plans.Name, "", w)
	if err != nil {
		return err
	}
	date, err := today(p, w.Now())
	if err != nil {
		return err
	}
	if p, err = parsePlan(bytes.NewReader(plans.File), plans.Name, date, w); err != nil {
		return err
	}
	ln, err := listen(o.addr)
	if err != nil {
		return err
	}
	defer ln.Close()
	dir, err := os.MkdirTemp("", "fairday-demo-")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	return withApp(dir, o, w, func(a *app) error {
		id, err := a.load(p.Intents)
		if err != nil {
			return err
		}
		base := baseAt(o, ln.Addr())
		links, err := a.inviteAll(base, id, onePerRole(p.People), true)
		if err != nil {
			return err
		}
		if err := a.showLinks(w, base, p.Title, links); err != nil {
			return err
		}
		return a.run(ctx, ln)
	})
}

// showLinks prints the demo's links with their codes and prepares its page.
func (a *app) showLinks(w world, base, title string, links []invited) error {
	a.Demo = true
	fmt.Fprintf(w.Stdout, "Fairday serves %s\nThe demo %q starts afresh each time and is forgotten when you stop it.\n", base, title)
	for _, l := range links {
		image, err := qrImage(l.URL)
		if err != nil {
			return err
		}
		text, err := qrText(l.URL)
		if err != nil {
			return err
		}
		a.guests = append(a.guests, demoPerson{l, image})
		fmt.Fprintf(w.Stdout, "\n%s\n  %s, %s: %s\n", text, l.Role, l.Name, l.URL)
	}
	fmt.Fprintf(w.Stdout, "\nAll of them on one page: %s/demo\n", base)
	return nil
}

// showDemo draws the page of join links.
func (a *app) showDemo(c echo.Context) error {
	p := demoPage{frame: frame{Title: "The demo’s people", Wide: true}, People: a.guests}
	if len(a.guests) > 0 {
		if u, err := url.Parse(a.guests[0].URL); err == nil {
			p.Local = u.Hostname() == "localhost" || net.ParseIP(u.Hostname()).IsLoopback()
		}
	}
	return page(c, http.StatusOK, "demo.html", p)
}
