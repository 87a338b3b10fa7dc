package shoot

import (
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// Every row is complete and stands once, and every table is read.
func TestRows(t *testing.T) {
	var nIntents, nEvents int
	for _, of := range allRows {
		nIntents, nEvents = nIntents+len(of.intents), nEvents+len(of.events)
	}
	if nIntents != len(intents) || nEvents != len(events) {
		t.Errorf("%d intents have %d names, %d events have %d kinds: two share one", nIntents, len(intents), nEvents, len(events))
	}
	for name, row := range intents {
		switch {
		case row.say == "":
			t.Errorf("%s has no words: give its row a \"say\"", name)
		case argsOf(row) == nil:
			t.Fatalf("%s has no arguments: give its row \"args\", or add it to the far rules of its file", name)
		case row.far != (row.args == nil):
			t.Errorf("%s is far: %v, and its arguments stand in the wrong place", name, row.far)
		case Version(name) != len(row.older)+1 || !Knows(name, 1) || Knows(name, Version(name)+1):
			t.Errorf("%s does not know its versions", name)
		}
		if a, err := row.read(argsOf(row), Version(name), json.RawMessage(`{}`)); err != nil || reflect.TypeOf(a) != reflect.TypeOf(argsOf(row)) {
			t.Errorf("%s is read as %T, %v", name, a, err)
		}
		for key := range strings.SplitSeq(row.target, ",") {
			if key != "" && key != "-" && !strings.Contains(strings.Join(shape(reflect.TypeOf(argsOf(row))), "\n")+"\n", " "+key+"\n") {
				t.Errorf("%s has no argument %q to name the row that it edits", name, key)
			}
		}
	}
	for kind, row := range events {
		b, err := row.decode(len(row.older)+1, json.RawMessage(`{}`))
		if err != nil {
			t.Errorf("%s: %v", kind, err)
		} else if b.kind() != kind || b.topic() == "" || reflect.TypeOf(b).Kind() != reflect.Struct {
			t.Errorf("%s is not registered as itself", kind)
		}
	}
}

// argsOf gives the type of an intent's arguments, empty, near or far.
func argsOf(row *intentRow) args {
	for _, of := range allFarRules {
		for _, rule := range *of {
			if rule.name == row.name {
				return rule.args
			}
		}
	}
	return row.args
}

// What implements an intent or an event in the source has its row.
func TestEveryRuleHasARow(t *testing.T) {
	files, err := filepath.Glob("*.go")
	if err != nil || len(files) == 0 {
		t.Fatal(err)
	}
	var argTypes, bodyTypes []string
	for _, row := range intents {
		argTypes = append(argTypes, reflect.TypeOf(argsOf(row)).Name())
	}
	for _, row := range events {
		bodyTypes = append(bodyTypes, reflect.TypeOf(row.body).Name())
	}
	made, far := 0, 0
	for _, file := range files {
		src, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		for _, m := range regexp.MustCompile(`(?m)^func \((?:\w+ )?(\w+)\) (decide|kind)\(`).FindAllStringSubmatch(string(src), -1) {
			if has := map[string][]string{"decide": argTypes, "kind": bodyTypes}[m[2]]; !slices.Contains(has, m[1]) {
				t.Errorf("%s in %s has no row: add it to the table of the file", m[1], file)
			}
		}
		made += len(regexp.MustCompile(`(?m)^var \w+ = rows\{`).FindAll(src, -1))
		far += len(regexp.MustCompile(`(?m)^var \w+ = farRules\{`).FindAll(src, -1))
	}
	if far != len(allFarRules) {
		t.Errorf("%d files have far rules and %d are read: add the new ones to allFarRules", far, len(allFarRules))
	}
	if made != len(allRows) {
		t.Errorf("%d files have a table and %d are read: add the new one to allRows", made, len(allRows))
	}
}
