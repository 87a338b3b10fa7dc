package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strings"

	"fairday/server/store"
	"fairday/server/web"
)

// The commands that list, archive and delete whole shoots, while a server runs on the
// folder or not.

// shelfAsk is what such a command asks for.
type shelfAsk struct {
	What  string // shoots, archive, back, delete
	Shoot string // id
	Yes   bool   // delete without asking
}

// do answers an ask with lines for a person.
func (ask shelfAsk) do(ctx context.Context, to io.Writer, a *web.App) error {
	all, err := a.Every(ctx)
	if err != nil {
		return err
	}
	if ask.What == "shoots" {
		for _, s := range all {
			fmt.Fprintf(to, "%s  %-9s  %s, %s\n", s.ID, s.Stage(a.Now()), s.Title, s.Says())
		}
		if len(all) == 0 {
			fmt.Fprintln(to, "There are no shoots in it.")
		}
		return nil
	}
	title, found := "", false
	for _, s := range all {
		if s.ID == ask.Shoot {
			title, found = s.Title, true
		}
	}
	if !found {
		return fmt.Errorf("there is no shoot %s. \"fairday shoots\" lists them", ask.Shoot)
	}
	switch ask.What {
	case "archive", "back":
		if err := a.Archive(ask.Shoot, ask.What == "archive"); err != nil {
			return err
		}
		say := "is archived: it is kept whole, and lets nobody in until \"fairday archive --back\" or an owner brings it back"
		if ask.What == "back" {
			say = "is back. Whoever needs to get in again needs a new join link"
		}
		fmt.Fprintf(to, "%q %s.\n", title, say)
		return nil
	}
	if !ask.Yes {
		goes, err := a.WhatGoes(ctx, ask.Shoot)
		if err != nil {
			return err
		}
		fmt.Fprintf(to, "Deleting %q cannot be undone. It would delete:\n  - %s\nTake a backup first: fairday backup --to FILE. Then say the same again with --yes.\n", title, strings.Join(goes, "\n  - "))
		return errNotYet
	}
	if err := a.Delete(ctx, ask.Shoot); err != nil {
		return err
	}
	fmt.Fprintf(to, "%q is deleted. Backups that were made before still hold it.\n", title)
	return nil
}

// errNotYet says that a deletion was described and not done.
var errNotYet = errors.New("nothing was deleted")

// shelfAnswer is an answer through the socket.
type shelfAnswer struct{ Out, Err string }

// answerShelf answers an ask through the socket.
func answerShelf(w http.ResponseWriter, r *http.Request, a *web.App) error {
	var ask shelfAsk
	if err := json.Unmarshal([]byte(r.URL.Query().Get("ask")), &ask); err != nil {
		return err
	}
	var out strings.Builder
	t := shelfAnswer{}
	if err := ask.do(r.Context(), &out, a); err != nil {
		t.Err = err.Error()
	}
	t.Out = out.String()
	return json.NewEncoder(w).Encode(t)
}

// shelf runs such a command.
func shelf(ctx context.Context, o options, w world) error {
	dir, err := folder(o, w)
	if err != nil {
		return err
	}
	ask := shelfAsk{What: o.command, Shoot: o.shoot, Yes: o.yes}
	if o.command == "archive" && o.back {
		ask.What = "back"
	}
	raw, err := json.Marshal(ask)
	if err != nil {
		return err
	}
	resp, err := askKeeper(ctx, dir, http.MethodPost, "/shelf?ask="+url.QueryEscape(string(raw)))
	if errors.Is(err, errNobody) {
		return withApp(dir, o, w, func(_ *store.Store, a *web.App) error { defer a.Stop(); return ask.do(ctx, w.Stdout, a) })
	}
	if err != nil {
		return err
	}
	defer resp.Body.Close()
	var t shelfAnswer
	if err := json.NewDecoder(resp.Body).Decode(&t); err != nil {
		return err
	}
	fmt.Fprint(w.Stdout, t.Out)
	if t.Err != "" {
		return errors.New(t.Err)
	}
	return nil
}
