package main

import (
	"bufio"
	"bytes"
	"context"
	"crypto/rand"
	"fmt"
	"image"
	"image/color"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	qr "github.com/piglig/go-qr"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/server/plan"
	"fairday/sync/wire"
	plans "fairday/testdata/demo"
)

// asCommand makes the test binary the program itself, so that it can be killed.
const asCommand = "FAIRDAY_TEST_COMMAND"

func TestMain(m *testing.M) {
	if os.Getenv(asCommand) != "" {
		main()
	}
	os.Exit(m.Run())
}

// run1 runs a command to its end in this process.
func run1(t *testing.T, ctx context.Context, args ...string) (code int, out, errs string) {
	t.Helper()
	var o, e bytes.Buffer
	code = run(ctx, args, world{Stdout: &o, Stderr: &e, Getenv: func(string) string { return "" }, Now: time.Now, Rand: rand.Reader})
	return code, o.String(), e.String()
}

// What commands refuse: the exit code and the words.
func TestCommandsRefused(t *testing.T) {
	dir := t.TempDir()
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()
	bad := filepath.Join(dir, "bad.yaml")
	if err := os.WriteFile(bad, []byte("title: Kettles\nclient: [\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	half := filepath.Join(dir, "half.yaml")
	if err := os.WriteFile(half, []byte("title: Kettles\ncolour: red\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	inUse := newSite(t)
	data := filepath.Join(dir, "data")
	for _, c := range []struct {
		args string
		code int
		say  string
	}{
		{"", exitUsage, "serve, demo, example, owner, shoots, archive, delete, backup"},
		{"dance", exitUsage, `no command "dance"`},
		{"serve --port 80", exitUsage, "port"},
		{"serve now", exitUsage, `"now" is one word too many`},
		{"serve --addr 8080", exitUsage, "is not HOST:PORT"},
		{"serve --base ftp://x", exitUsage, "is not a web address"},
		{"serve --date 2026-12-01", exitUsage, "goes with --import"},
		{"serve --import x --date tomorrow", exitUsage, "2026-12-01"},
		{"serve --watch 0.0.0.0:9090", exitUsage, "this machine alone"},
		{"serve --log loud", exitUsage, "text or json"},
		{"demo --data x", exitUsage, "data"},
		{"demo --addr 0.0.0.0:0", exitUsage, "Add --open"},
		{"demo --addr :0", exitUsage, "Add --open"},
		{"demo --domain shoot.example.com", exitUsage, "domain"},
		{"serve --domain shoot.example.com --cert a --key b", exitUsage, "one of the two"},
		{"serve --cert a", exitUsage, "go together"},
		{"serve --key b", exitUsage, "go together"},
		{"serve --email a@example.com", exitUsage, "go with --domain"},
		{"serve --plain :80", exitUsage, "plain http is all there is"},
		{"serve --domain 192.0.2.7", exitUsage, "not a name like"},
		{"serve --domain https://shoot.example.com", exitUsage, "not a name like"},
		{"serve --domain ,", exitUsage, "not a name like"},
		{"serve --domain shoot.example.com --base http://shoot.example.com", exitUsage, "Write https://"},
		{"serve --data " + data + " --addr 127.0.0.1:0 --cert " + filepath.Join(dir, "none.pem") + " --key " + bad, exitFault, "no such file"},
		{"serve --data " + data + " --addr 127.0.0.1:0 --cert " + bad + " --key " + bad, exitFault, "not a certificate and its key"},
		{"example mine.yaml", exitUsage, "one word too many"},
		{"delete --yes", exitUsage, "--shoot"},
		{"archive", exitUsage, "--shoot"},
		{"shoots --shoot x", exitUsage, "shoot"},
		{"version now", exitUsage, "one word too many"},
		{"serve --data " + data + " --addr " + taken.Addr().String(), exitFault, "another program listens"},
		{"serve --data " + data + " --addr 127.0.0.1:0 --import " + filepath.Join(dir, "none.yaml"), exitFault, "cannot be read"},
		{"serve --data " + data + " --addr 127.0.0.1:0 --import " + bad, exitFault, bad + ":"},
		{"serve --data " + data + " --addr 127.0.0.1:0 --import " + half, exitFault, half + ":2: "},
		{"serve --data " + inUse.dir + " --addr 127.0.0.1:0", exitFault, "Another Fairday"},
	} {
		code, out, errs := run1(t, t.Context(), strings.Fields(c.args)...)
		if code != c.code || !strings.Contains(errs, c.say) || out != "" {
			t.Errorf("%q: exit %d, %q, %q", c.args, code, out, errs)
		}
	}
	if _, err := os.Stat(data); err == nil {
		t.Error("a refused plan left a data folder behind")
	}
}

func TestCommandsThatTell(t *testing.T) {
	for _, c := range []struct{ args, say string }{{"version", "fairday "}, {"help", "--import"}, {"serve -h", "--addr"}, {"demo --help", "--addr"}} {
		if code, out, _ := run1(t, t.Context(), strings.Fields(c.args)...); code != exitOK || !strings.Contains(out, c.say) {
			t.Errorf("%q: exit %d, %q", c.args, code, out)
		}
	}
}

// What the example prints can be loaded as it stands, and explains itself: each of
// its parts has a comment.
func TestExample(t *testing.T) {
	code, out, errs := run1(t, t.Context(), "example")
	if code != exitOK || errs != "" {
		t.Fatalf("exit %d, %q", code, errs)
	}
	p, problems := plan.Load(strings.NewReader(out), "printed", "", when.FromTime(time.Now()), rand.Reader)
	if len(problems) > 0 || len(p.People) == 0 {
		t.Errorf("%v", problems)
	}
	for _, words := range []string{"# Copy it", "# Terms that several people share", "--import my-shoot.yaml"} {
		if !strings.Contains(out, words) {
			t.Errorf("there is no %q in it", words)
		}
	}
}

// program is a server in a process of its own.
type program struct {
	cmd   *exec.Cmd
	lines chan string // of its output; closed at the end
	base  string

	watched string // where its figures are, with --watch
}

func start(t testing.TB, args ...string) *program {
	t.Helper()
	cmd := exec.Command(os.Args[0], args...)
	cmd.Env = append(os.Environ(), asCommand+"=1")
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	p := &program{cmd: cmd, lines: make(chan string, 1000)}
	go func() {
		defer close(p.lines)
		for s := bufio.NewScanner(out); s.Scan(); {
			p.lines <- s.Text()
		}
	}()
	t.Cleanup(func() {
		if cmd.ProcessState == nil {
			p.end(t, syscall.SIGKILL)
		}
	})
	if slices.Contains(args, "--watch") {
		p.watched = p.line(t, `^Figures are at (http://\S+)/metrics$`)
	}
	p.base = p.line(t, `^Fairday serves (https?://\S+)$`)
	return p
}

// line waits for a line that matches and gives its first group.
func (p *program) line(t testing.TB, pattern string) string {
	t.Helper()
	re := regexp.MustCompile(pattern)
	late := time.After(time.Minute)
	for {
		select {
		case l, ok := <-p.lines:
			if !ok {
				t.Fatalf("it ended without a line like %s", pattern)
			}
			if m := re.FindStringSubmatch(l); m != nil {
				return m[1]
			}
		case <-late:
			t.Fatalf("no line like %s", pattern)
		}
	}
}

func (p *program) end(t testing.TB, sig os.Signal) error {
	t.Helper()
	if err := p.cmd.Process.Signal(sig); err != nil {
		t.Fatal(err)
	}
	for range p.lines { // until it is closed
	}
	return p.cmd.Wait()
}

// SPEC V8: killed in the middle of a burst, the server has every edit that it gave a
// receipt for, and takes the others once when they come again.
func TestKilled(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(t.TempDir(), "shoot.yaml")
	if err := os.WriteFile(file, plans.File, 0o600); err != nil {
		t.Fatal(err)
	}
	p := start(t, "serve", "--data", dir, "--addr", "127.0.0.1:0", "--import", file)
	link := strings.TrimPrefix(p.line(t, `^  Art director, .*: (http://\S+)$`), p.base)

	s := remote(t, p.base)
	c := s.browser()
	if r := s.ask(c, "POST", link, ""); r.status != http.StatusSeeOther {
		t.Fatal(r)
	}
	burst := s.phone(c)
	var edits []wire.Edit
	for range 400 {
		edits = append(edits, burst.setup())
	}
	for _, e := range edits {
		burst.say(wire.Edits{Edits: []wire.Edit{e}})
	}
	receipts := map[shoot.IntentID]wire.Verdict{}
	for len(receipts) < 20 {
		if f, ok := burst.next().(wire.Frame); ok {
			for _, v := range f.Verdicts {
				receipts[v.ID] = v
			}
		}
	}
	if err := p.end(t, syscall.SIGKILL); err == nil {
		t.Fatal("it was not killed")
	}
	for { // what was on its way counts as a receipt too
		_, text, err := burst.ws.ReadMessage()
		if err != nil {
			break
		}
		if m, err := wire.DecodeDown(text); err != nil {
			t.Fatal(err)
		} else if f, ok := m.(wire.Frame); ok {
			for _, v := range f.Verdicts {
				receipts[v.ID] = v
			}
		}
	}

	p = start(t, "serve", "--data", dir, "--addr", "127.0.0.1:0")
	again := remote(t, p.base)
	again.carry(c, s)
	fresh := again.silent(c)
	fresh.device = burst.device
	fresh.say(wire.Hello{Protocol: 1, Device: burst.device, Sent: burst.seq})
	welcome, ok := fresh.next().(wire.Welcome)
	if !ok || welcome.Expect <= uint64(len(receipts)) {
		t.Fatalf("%d receipts, and afterwards %+v", len(receipts), welcome)
	}
	state, ok := fresh.next().(wire.Snapshot)
	if !ok {
		t.Fatal("no snapshot")
	}
	had := strings.Count(string(state.State), `"Window"`)
	if had != int(welcome.Expect)-1 || had < len(receipts) {
		t.Errorf("%d receipts, %d edits there, number %d next", len(receipts), had, welcome.Expect)
	}
	fresh.say(wire.Edits{Edits: edits[:250]})
	fresh.say(wire.Edits{Edits: edits[250:]})
	for id, v := range fresh.verdicts(edits...) {
		if v.Result != wire.Accepted {
			t.Errorf("%s: %+v", id, v)
		}
	}
	last := again.phone(c)
	if got := strings.Count(last.down.String(), `"Window"`); got != len(edits) {
		t.Errorf("%d set-ups for %d edits", got, len(edits))
	}
	if err := p.end(t, syscall.SIGTERM); err != nil {
		t.Errorf("asked to stop, it ends with %v", err)
	}
}

// The demo as a stranger starts it: links and codes for each role, a page with
// all of them, links that work more than once, nothing left behind.
func TestDemo(t *testing.T) {
	temp := t.TempDir()
	t.Setenv("TMPDIR", temp)
	p := start(t, "demo", "--addr", "127.0.0.1:0")
	s := remote(t, p.base)
	var roles []string
	var links []string
	var code strings.Builder
	for done := false; !done; {
		l, ok := <-p.lines
		if !ok {
			t.Fatal("it ended")
		}
		if m := regexp.MustCompile(`^  ([^,]+), (.+): (http://\S+)$`).FindStringSubmatch(l); m != nil {
			roles, links = append(roles, m[1]), append(links, m[3])
			if got := scan(t, code.String()); got != m[3] {
				t.Errorf("the code of %s says %q", m[1], got)
			}
			code.Reset()
		} else if strings.HasPrefix(l, "\x1b[") {
			code.WriteString(l + "\n")
		}
		done = strings.HasSuffix(l, "/demo")
	}
	if len(roles) < 8 || roles[0] != "Producer" {
		t.Errorf("the roles are %v", roles)
	}
	page := s.ask(s.browser(), "GET", "/demo", "")
	if n := strings.Count(page.body, "<svg"); page.status != 200 || n != len(roles) {
		t.Errorf("the page gives %d with %d codes", page.status, n)
	}
	if r := s.ask(s.browser(), "GET", "/api/me", ""); r.status != http.StatusUnauthorized || !strings.Contains(r.body, `"demo":true`) {
		t.Errorf("a stranger is not shown the way to the demo's links: %d %s", r.status, r.body)
	}
	for i, link := range links {
		if !strings.Contains(page.body, link) {
			t.Errorf("%s is not on the page", link)
		}
		for range 2 {
			c := s.browser()
			if r := s.ask(c, "POST", strings.TrimPrefix(link, p.base), ""); r.status != http.StatusSeeOther {
				t.Errorf("%s gives %d", link, r.status)
			}
			if r := s.ask(c, "GET", "/api/me", ""); !strings.Contains(r.body, fmt.Sprintf(`"roleLabel":%q`, roles[i])) || !strings.Contains(r.body, `"demo":true`) {
				t.Errorf("as %s: %s", roles[i], r.body)
			}
		}
	}
	if err := p.end(t, os.Interrupt); err != nil {
		t.Errorf("asked to stop, it ends with %v", err)
	}
	left, err := os.ReadDir(temp)
	if err != nil || len(left) > 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

// remote is a site whose server runs in another process.
func remote(t testing.TB, base string) *site {
	t.Helper()
	return &site{t: t, clock: newClock(time.Now()), base: base}
}

// scan reads a QR code that was drawn for a terminal.
func scan(t *testing.T, drawn string) string {
	t.Helper()
	rows := strings.Split(regexp.MustCompile("\x1b\\[[0-9;]*m").ReplaceAllString(strings.TrimRight(drawn, "\n"), ""), "\n")
	const scale = 4
	wide := len([]rune(rows[0])) * scale
	img := image.NewGray(image.Rect(0, 0, wide, wide))
	for y := range wide {
		for x := range wide {
			c := color.Gray{Y: 255}
			if module := y / scale; module/2 < len(rows) {
				switch r := []rune(rows[module/2])[x/scale]; {
				case r == '█', r == '▀' && module%2 == 0, r == '▄' && module%2 == 1:
					c.Y = 0
				}
			}
			img.SetGray(x, y, c)
		}
	}
	text, err := qr.Decode(img)
	if err != nil {
		t.Fatalf("the code cannot be read: %v", err)
	}
	return text
}
