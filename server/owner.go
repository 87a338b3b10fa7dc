package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strings"

	"fairday/server/house"
	"fairday/server/store"
	"fairday/server/web"
)

// printOwner prints a link for the first owner, until somebody has come in as one.
func printOwner(a *web.App, w world, base string) error {
	o, wanted, err := a.FirstOwner()
	if err != nil || !wanted {
		return err
	}
	fmt.Fprint(w.Stdout, "\nNobody owns this Fairday yet. Whoever opens this link does, starts shoots and lets others in.\nIt works once, within 14 days:\n\n")
	return showOwner(w.Stdout, a, base, o)
}

// showOwner prints a new link for an owner and its code.
func showOwner(to io.Writer, a *web.App, base string, o house.Owner) error {
	address, err := a.InviteOwner(base, o)
	if err != nil {
		return err
	}
	text, err := web.QRText(address)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(to, "%s\n  Owner: %s\n", text, address)
	return err
}

// ownerLink prints a new link for the owner of a name, or for a new one.
func ownerLink(to io.Writer, a *web.App, base, name string) error {
	name = strings.TrimSpace(name)
	if say := house.Wrong("name", name, 80); say != "" {
		return errors.New(say)
	}
	all, err := a.Store.Owners()
	if err != nil {
		return err
	}
	for _, o := range house.InOrder(all) {
		if !o.Ended && name != "" && strings.EqualFold(o.Name, name) {
			return showOwner(to, a, base, o)
		}
	}
	o, err := a.NewOwner(name)
	if err != nil {
		return err
	}
	return showOwner(to, a, base, o)
}

// owner prints a new owner's link, while the server runs or not.
func owner(ctx context.Context, o options, w world) error {
	dir, err := folder(o, w)
	if err != nil {
		return err
	}
	resp, err := askKeeper(ctx, dir, http.MethodPost, "/owner?name="+url.QueryEscape(o.name))
	if errors.Is(err, errNobody) {
		base := "http://" + o.addr
		if o.base != nil {
			base = o.base.String()
		}
		return withApp(dir, o, w, func(_ *store.Store, a *web.App) error { defer a.Stop(); return ownerLink(w.Stdout, a, base, o.name) })
	}
	if err != nil {
		return err
	}
	defer resp.Body.Close()
	_, err = io.Copy(w.Stdout, resp.Body)
	return err
}
