package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"

	"fairday/server/store"
	"fairday/server/web"
	plans "fairday/testdata/demo"
)

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
	dir, err := os.MkdirTemp("", "fairday-demo-")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	d, err := openDoor(ctx, o, dir, w)
	if err != nil {
		return err
	}
	defer d.close()
	return withApp(dir, o, w, func(_ *store.Store, a *web.App) error {
		id, err := a.Shoots.Create(p.Intents)
		if err != nil {
			return err
		}
		base := d.base.String()
		links, err := inviteAll(a, base, id, onePerRole(p.People), true)
		if err != nil {
			return err
		}
		if err := showLinks(a, o, w, base, p.Title, links); err != nil {
			return err
		}
		return listenAndServe(ctx, a, d)
	})
}

// showLinks prints the demo's links with their codes and prepares its page.
func showLinks(a *web.App, o options, w world, base, title string, links []invited) error {
	var people []web.DemoPerson
	fmt.Fprintf(w.Stdout, "Fairday serves %s\nThe demo %q starts afresh each time and is forgotten when you stop it.\n", base, title)
	for _, l := range links {
		image, err := web.QRImage(l.URL)
		if err != nil {
			return err
		}
		text, err := web.QRText(l.URL)
		if err != nil {
			return err
		}
		people = append(people, web.DemoPerson{Name: l.Name, Role: l.Role, URL: l.URL, QR: image})
		fmt.Fprintf(w.Stdout, "\n%s\n  %s, %s: %s\n", text, l.Role, l.Name, l.URL)
	}
	a.ShowPeople(people)
	fmt.Fprintf(w.Stdout, "\nAll of them on one page: %s/demo\n", base)
	if o.open && !web.Here(o.addr) {
		fmt.Fprintln(w.Stdout, "Everybody who reaches this machine can open that page and act as anybody in the demo.")
	}
	return nil
}
