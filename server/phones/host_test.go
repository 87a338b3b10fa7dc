package phones

import (
	"bufio"
	"bytes"
	"cmp"
	"crypto/rand"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/server/plan"
	"fairday/testdata/demo"
)

// host is the server as a program of its own, over a folder of its own, with a
// shoot dated today.
type host struct {
	t       testing.TB
	dir     string
	addr    string // stays the same over restarts
	base    string // how links start, "" for the address
	plan    plan.Plan
	links   map[string]string // join tokens by the plan's key of a person
	cmd     *exec.Cmd
	log     string // path of what it wrote to its log
	fresh   bool   // it starts over an empty folder, and prints an owner's link
	program string // the release that it runs, "" for the one that was built
}

// startEmpty runs a server over an empty folder.
func startEmpty(t testing.TB) *host {
	t.Helper()
	dir := t.TempDir()
	h := &host{t: t, dir: filepath.Join(dir, "data"), addr: "127.0.0.1:0", links: map[string]string{}, log: filepath.Join(dir, "server.log"), fresh: true}
	t.Cleanup(h.end)
	h.run()
	return h
}

// start runs a server with the demo's plan until the test ends.
func start(t testing.TB) *host {
	t.Helper()
	return startWith(t, "America/New_York", demo.File)
}

// startWith runs a server with a plan whose day 1 is today in a zone.
func startWith(t testing.TB, zone when.Zone, yaml []byte) *host {
	t.Helper()
	now := time.Now()
	date, _, err := zone.Local(when.FromTime(now))
	if err != nil {
		t.Fatal(err)
	}
	p, problems := plan.Load(bytes.NewReader(yaml), demo.Name, date, when.FromTime(now), rand.Reader)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	dir := t.TempDir()
	h := &host{t: t, dir: filepath.Join(dir, "data"), addr: "127.0.0.1:0", plan: p, links: map[string]string{}, log: filepath.Join(dir, "server.log")}
	file := filepath.Join(dir, "plan.yaml")
	if err := os.WriteFile(file, yaml, 0o600); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(h.end)
	h.run("--import", file, "--date", string(date))
	return h
}

// end ends the server with its test.
func (h *host) end() {
	h.kill()
	if h.t.Failed() {
		text, err := os.ReadFile(h.log)
		h.t.Logf("the server's log (%v):\n%s", err, text)
	}
}

var (
	ownerLine  = regexp.MustCompile(`^  Owner: http://\S+/join/(\S+)$`)
	servesLine = regexp.MustCompile(`^Fairday serves http://(\S+)$`)
	linkLine   = regexp.MustCompile(`^  .+, (.+): http://\S+/join/(\S+)$`)
)

// run starts the program and reads its address and, after an import, the links.
func (h *host) run(more ...string) {
	h.t.Helper()
	args := append([]string{"serve", "--addr", h.addr, "--data", h.dir, "--verbose"}, more...)
	if h.base != "" {
		args = append(args, "--base", h.base)
	}
	h.cmd = exec.Command(cmp.Or(h.program, program), args...)
	log, err := os.OpenFile(h.log, os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o600)
	if err != nil {
		h.t.Fatal(err)
	}
	defer log.Close()
	h.cmd.Stderr = log
	out, err := h.cmd.StdoutPipe()
	if err != nil {
		h.t.Fatal(err)
	}
	if err := h.cmd.Start(); err != nil {
		h.t.Fatal(err)
	}
	lines := bufio.NewScanner(out)
	known := false
	for wanted := len(h.plan.People) * min(len(more), 1); (!known || wanted > 0 || h.fresh) && lines.Scan(); {
		if m := ownerLine.FindStringSubmatch(lines.Text()); m != nil {
			h.links["owner"], h.fresh = m[1], false
		}
		if m := servesLine.FindStringSubmatch(lines.Text()); m != nil {
			h.addr, known = m[1], true
		}
		if m := linkLine.FindStringSubmatch(lines.Text()); m != nil {
			h.links[h.keyOf(m[1])] = m[2]
			wanted--
		}
	}
	if !known {
		text, _ := os.ReadFile(h.log)
		h.t.Fatalf("the server did not start:\n%s", text)
	}
	go func() { // the pipe must not fill up
		for lines.Scan() {
		}
	}()
	until(h.t, "the server answers", func() (bool, string) {
		answer, err := http.Get("http://" + h.addr + "/healthz")
		if err != nil {
			return false, err.Error()
		}
		answer.Body.Close()
		return answer.StatusCode == http.StatusOK, answer.Status
	})
	answer, err := http.Get("http://" + h.addr + "/")
	if err != nil {
		h.t.Fatal(err)
	}
	answer.Body.Close()
	if answer.StatusCode != http.StatusOK {
		h.t.Fatalf("the server has no client to serve (%s): %s", answer.Status, notBuilt)
	}
}

func (h *host) keyOf(name string) string {
	for _, p := range h.plan.People {
		if p.Name == name {
			return p.Key
		}
	}
	h.t.Fatalf("the server printed a link for %q, who is not in the plan", name)
	return ""
}

// named is a person's name by the plan's key.
func (h *host) named(key string) string {
	for _, p := range h.plan.People {
		if p.Key == key {
			return p.Name
		}
	}
	h.t.Fatalf("nobody is called %q in the plan", key)
	return ""
}

// token takes a person's join token; each works once.
func (h *host) token(key string) string {
	h.t.Helper()
	token, ok := h.links[key]
	if !ok {
		h.t.Fatalf("there is no join link for %q, or it was used", key)
	}
	delete(h.links, key)
	return token
}

// kill ends the server with SIGKILL: it gets no chance to finish anything.
func (h *host) kill() {
	if h.cmd == nil {
		return
	}
	_ = h.cmd.Process.Kill() // it may be gone already
	_ = h.cmd.Wait()         // "killed" is what we want
	h.cmd = nil
}

// restart runs it again over the same folder, at the same address.
func (h *host) restart() {
	h.t.Helper()
	h.run()
}

// Finding things of the shoot in a state.

func shotOf(t testing.TB, s *shoot.State, number string) shoot.Shot {
	t.Helper()
	return find(t, s.Floor.Shots, "shot "+number, func(v shoot.Shot) bool { return v.Number == number })
}

func heroOf(t testing.TB, s *shoot.State, name string) shoot.Hero {
	t.Helper()
	return find(t, s.Floor.Heroes, "hero "+name, func(v shoot.Hero) bool { return v.Name == name })
}

func personOf(t testing.TB, s *shoot.State, name string) shoot.Person {
	t.Helper()
	return find(t, s.Floor.People, "person "+name, func(v shoot.Person) bool { return v.Name == name })
}

func find[K comparable, V any](t testing.TB, rows map[K]V, what string, is func(V) bool) V {
	t.Helper()
	for _, v := range rows {
		if is(v) {
			return v
		}
	}
	t.Fatalf("there is no %s", what)
	panic("unreachable")
}

// firstDay is the shoot's day 1, which is today.
func firstDay(t testing.TB, s *shoot.State) shoot.Day {
	t.Helper()
	for _, d := range s.Floor.Days {
		if d.Name == "Indoors" {
			return d
		}
	}
	t.Fatal("the first day is missing")
	return shoot.Day{}
}

// marksOf are somebody's punches on the first day.
func marksOf(t testing.TB, s *shoot.State, name string) []shoot.Mark {
	t.Helper()
	return s.Floor.Hours[shoot.KeyOf(firstDay(t, s).ID, personOf(t, s, name).ID)].Marks
}

// countOf counts the lines of a hero's history of one kind.
func countOf(h shoot.Hero, kind shoot.NoteKind) int {
	n := 0
	for _, note := range h.History {
		if note.What == kind {
			n++
		}
	}
	return n
}

func trimmed(s string, most int) string {
	s = strings.TrimSpace(s)
	if len(s) > most {
		return s[:most] + " …"
	}
	return s
}
