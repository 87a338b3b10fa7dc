package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// The rules of the house, held against what `go list` and the parser see: which
// way imports run, what the pure part may not reach for, and what lies at the
// top of the repository.

const module = "fairday"

var topLevel = []string{"DEVELOPERS.md", "README.md", "domain", "go.mod", "go.sum", "pwa", "server", "sync", "testdata"}

var calculators = []string{"domain/when", "domain/money", "domain/overtime", "domain/catering", "domain/pace", "domain/sun", "domain/sorting", "domain/fault", "domain/payrule"}

// generators are for tests and for the simulation, and weigh on nobody's phone.
const generators = "domain/shoot/shoottest"

// nearScreens are what the phone's engine makes; far is what it may not reach.
const nearScreens = "domain/view/day"

var far = []string{"domain/view/office", "server"}

// screenTests is the shoot that the tests of screens share.
const screenTests = "domain/view/viewtest"

// storeys says, for a package and all that lies under it, which packages of the
// house it may import. The first row that fits counts.
var storeys = []struct {
	at   string
	from []string
}{
	{"domain/when", nil},
	{"domain/fault", nil},
	{"domain/money", []string{"domain/when", "domain/fault", "domain/sorting"}},
	{generators, append([]string{"domain/shoot"}, calculators...)},
	{"domain/shoot", calculators},
	{"domain/view/day", append([]string{"domain/view", "domain/shoot"}, calculators...)},
	{"domain/view/office", append([]string{"domain/view", "domain/shoot"}, calculators...)},
	{screenTests, append([]string{"domain/view", "domain/shoot"}, calculators...)},
	{"domain/view", append([]string{"domain/shoot"}, calculators...)},
	{"domain", calculators}, // the calculators: they know nothing of shoot
	{"sync", append([]string{"sync", "domain/shoot"}, calculators...)},
	{"testdata", nil},
	{"pwa/build", nil},
	{"pwa/engine", []string{"sync", "domain", "pwa/engine"}},
	{"pwa", nil},
	{"server/store", []string{"server/access", "server/house", "sync", "domain"}},
	{"server/plan", []string{"domain"}},
	{"server/live", []string{"server/access", "sync", "domain"}},
	{"server/web", []string{"server/live", "server/access", "server/house", "server/plan", "sync", "domain", "pwa"}},
	{"server", []string{"server", "sync", "domain", "testdata", "pwa"}},
}

// unreachable are the packages that the pure part may not import: disk, network,
// the machine and chance.
var unreachable = []string{"os", "net", "syscall", "math/rand", "crypto/rand", "io/ioutil", "plugin"}

// clock are the parts of time that read the clock or wait for it.
var clock = []string{"Now", "Since", "Until", "Sleep", "After", "AfterFunc", "NewTimer", "NewTicker", "Tick"}

// exact are the packages in which every figure is an integer.
var exact = []string{"domain/when", "domain/money", "domain/overtime", "domain/catering", "domain/shoot", "sync"}

type listed struct {
	ImportPath, Dir, Doc string
	Imports, GoFiles     []string
}

func (p listed) path() string {
	return strings.TrimPrefix(strings.TrimPrefix(p.ImportPath, module), "/")
}

func (p listed) pure() bool { return within(p.path(), "domain") || within(p.path(), "sync") }

// within tells whether a package is at or under another.
func within(path, at string) bool { return path == at || strings.HasPrefix(path, at+"/") }

func withinAny(path string, ats []string) bool {
	return slices.ContainsFunc(ats, func(at string) bool { return within(path, at) })
}

func TestHouse(t *testing.T) {
	house := packages(t)
	if len(house) < 5 {
		t.Fatalf("go list names %d packages only", len(house))
	}
	t.Run("imports run one way", func(t *testing.T) { checkDirection(t, house) })
	t.Run("every package says what it is for", func(t *testing.T) {
		for _, p := range house {
			if len(p.GoFiles) > 0 && p.Doc == "" {
				t.Errorf("%s has no doc comment", p.path())
			}
		}
	})
	t.Run("the pure part stays pure", func(t *testing.T) {
		for _, p := range house {
			if p.pure() {
				checkPure(t, p)
			}
		}
	})
}

// What is done at a desk is in nobody's phone.
func TestHouseEngineHoldsNoFarScreen(t *testing.T) {
	reached := func(pkg string) []string {
		cmd := exec.Command("go", "list", "-deps", pkg)
		cmd.Dir, cmd.Stderr = "..", os.Stderr
		cmd.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
		out, err := cmd.Output()
		if err != nil {
			t.Fatal(err)
		}
		return strings.Fields(string(out))
	}
	engine := reached("./pwa/engine")
	if !slices.Contains(engine, module+"/"+nearScreens) {
		t.Fatalf("the engine does not even reach %s: %v", nearScreens, engine)
	}
	for _, p := range engine {
		if withinAny(strings.TrimPrefix(p, module+"/"), far) {
			t.Errorf("pwa/engine reaches %s, which only the server may hold", p)
		}
	}
}

func TestTopLevel(t *testing.T) {
	entries, err := os.ReadDir("..")
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range entries {
		if !strings.HasPrefix(e.Name(), ".") {
			names = append(names, e.Name())
		}
	}
	if slices.Sort(names); !slices.Equal(names, topLevel) {
		t.Errorf("the top level has %v, agreed is %v", names, topLevel)
	}
}

func checkDirection(t *testing.T, house []listed) {
	for _, p := range house {
		i := slices.IndexFunc(storeys, func(s struct {
			at   string
			from []string
		}) bool {
			return within(p.path(), s.at)
		})
		if i < 0 {
			t.Errorf("%s is on no storey of the house", p.path())
			continue
		}
		for _, im := range p.Imports {
			inner, ours := strings.CutPrefix(im, module+"/")
			if ours && !withinAny(inner, storeys[i].from) {
				t.Errorf("%s imports %s, which stands above or beside it", p.path(), inner)
			}
			if inner == screenTests {
				t.Errorf("%s imports %s, which is for tests", p.path(), inner)
			}
			if inner == generators && !within(p.path(), "sync/sim") {
				t.Errorf("%s imports %s, which is for tests and the simulation", p.path(), inner)
			}
		}
	}
}

func checkPure(t *testing.T, p listed) {
	for _, im := range p.Imports {
		if withinAny(im, unreachable) {
			t.Errorf("%s imports %s", p.path(), im)
		}
	}
	fset := token.NewFileSet()
	for _, name := range p.GoFiles {
		f, err := parser.ParseFile(fset, filepath.Join(p.Dir, name), nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		for _, fault := range impurities(f, withinAny(p.path(), exact)) {
			t.Errorf("%s: %s", fset.Position(fault.at), fault.what)
		}
	}
}

type fault struct {
	at   token.Pos
	what string
}

// impurities finds uses of the clock, package-wide start-up code and, where only
// integers belong, floats.
func impurities(f *ast.File, exact bool) (found []fault) {
	timeName := ""
	for _, im := range f.Imports {
		if path, _ := strconv.Unquote(im.Path.Value); path == "time" {
			timeName = "time"
			if im.Name != nil {
				timeName = im.Name.Name
			}
		}
	}
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.SelectorExpr:
			if x, ok := n.X.(*ast.Ident); ok && timeName != "" && x.Name == timeName && slices.Contains(clock, n.Sel.Name) {
				found = append(found, fault{n.Pos(), "reads the clock: time." + n.Sel.Name})
			}
		case *ast.FuncDecl:
			if n.Recv == nil && n.Name.Name == "init" {
				found = append(found, fault{n.Pos(), "has an init"})
			}
		case *ast.Ident:
			if exact && slices.Contains([]string{"float32", "float64", "complex64", "complex128"}, n.Name) {
				found = append(found, fault{n.Pos(), "uses " + n.Name})
			}
		case *ast.BasicLit:
			if exact && (n.Kind == token.FLOAT || n.Kind == token.IMAG) {
				found = append(found, fault{n.Pos(), "has the float " + n.Value})
			}
		}
		return true
	})
	return found
}

// TestHouseSees makes sure that the checks can fail.
func TestHouseSees(t *testing.T) {
	for name, src := range map[string]string{
		"clock":   "package p\nimport tm \"time\"\nvar x = tm.Now()",
		"init":    "package p\nfunc init() {}",
		"type":    "package p\nvar x float64",
		"literal": "package p\nvar x = 3 / 1.5",
	} {
		f, err := parser.ParseFile(token.NewFileSet(), name, src, 0)
		if err != nil {
			t.Fatal(err)
		}
		if got := impurities(f, true); len(got) != 1 {
			t.Errorf("%s: found %v", name, got)
		}
	}
	if !withinAny("net/http", unreachable) || withinAny("network", unreachable) {
		t.Error("the list of what cannot be reached is not read as folders")
	}
}

func packages(t *testing.T) (house []listed) {
	cmd := exec.Command("go", "list", "-e", "-json=ImportPath,Dir,Doc,Imports,GoFiles", "./...")
	cmd.Dir = ".."
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	for dec := json.NewDecoder(bytes.NewReader(out)); ; {
		var p listed
		if err := dec.Decode(&p); errors.Is(err, io.EOF) {
			return house
		} else if err != nil {
			t.Fatal(err)
		}
		house = append(house, p)
	}
}

// What README.md, DEVELOPERS.md and the page of figures point at is there.
func TestDocumentsPointAtWhatIsThere(t *testing.T) {
	link := regexp.MustCompile(`\]\(([^)#:]+)\)`)
	for _, doc := range []string{"README.md", "DEVELOPERS.md", "server/SPEED.md"} {
		text, err := os.ReadFile(filepath.Join("..", doc))
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range link.FindAllStringSubmatch(string(text), -1) {
			if _, err := os.Stat(filepath.Join("..", filepath.Dir(doc), m[1])); err != nil {
				t.Errorf("%s points at %s: %v", doc, m[1], err)
			}
		}
	}
}
