package sim

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// Every rule of SPEC.md is quoted by a test, and every number that a test quotes is
// a rule.
func TestSpecIsQuoted(t *testing.T) {
	text, err := os.ReadFile("../SPEC.md")
	if err != nil {
		t.Fatal(err)
	}
	rules := map[string]bool{}
	for _, m := range regexp.MustCompile(`(?m)^- \*\*([A-Z]\d+)\*\* `).FindAllStringSubmatch(string(text), -1) {
		if rules[m[1]] {
			t.Errorf("rule %s is there twice", m[1])
		}
		rules[m[1]] = true
	}
	if len(rules) < 40 {
		t.Fatalf("%d rules found", len(rules))
	}
	quoted := map[string]string{}
	quote, number := regexp.MustCompile(`// SPEC ((?:[A-Z]\d+(?:, )?)+)`), regexp.MustCompile(`[A-Z]\d+`)
	scan := func(path string, _ fs.DirEntry, err error) error {
		if filepath.Base(path) == "node_modules" {
			return filepath.SkipDir
		}
		if err != nil || !strings.HasSuffix(path, "_test.go") {
			return err
		}
		src, err := os.ReadFile(path)
		for _, m := range quote.FindAllStringSubmatch(string(src), -1) {
			for _, n := range number.FindAllString(m[1], -1) {
				quoted[n] = path
			}
		}
		return err
	}
	for _, dir := range []string{"..", "../../server", "../../domain", "../../pwa"} { // some rules are tested there
		if err := filepath.WalkDir(dir, scan); err != nil {
			t.Fatal(err)
		}
	}
	for n := range rules {
		if quoted[n] == "" {
			t.Errorf("no test quotes rule %s", n)
		}
	}
	for n, path := range quoted {
		if !rules[n] {
			t.Errorf("%s quotes rule %s, which does not exist", path, n)
		}
	}
}
