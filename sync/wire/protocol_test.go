package wire

import (
	"fmt"
	"os"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"fairday/domain/when"
)

// SPEC W5: the history in the comment is dense, in order, dated, and ends with
// the present number.
func TestHistory(t *testing.T) {
	src, err := os.ReadFile("protocol.go")
	if err != nil {
		t.Fatal(err)
	}
	lines := regexp.MustCompile(`(?m)^//\t(\d+)  (\S+)  (\S.*)$`).FindAllStringSubmatch(string(src), -1)
	var last when.Date
	for i, l := range lines {
		if n, err := strconv.Atoi(l[1]); err != nil || n != i+1 {
			t.Errorf("%s follows number %d", l[1], i)
		}
		d, err := when.ParseDate(l[2])
		if err != nil || d < last {
			t.Errorf("number %s has the date %s after %s", l[1], l[2], last)
		}
		last = d
	}
	if len(lines) != Protocol {
		t.Errorf("the history has %d numbers, the protocol is %d", len(lines), Protocol)
	}
}

// SPEC W5: the shape of the messages belongs to the number.
func TestShape(t *testing.T) {
	var b strings.Builder
	seen := map[reflect.Type]bool{}
	for _, m := range append(messages(), nil) {
		if m == nil {
			shape(&b, reflect.TypeFor[Post](), seen)
			break
		}
		shape(&b, reflect.TypeOf(m), seen)
	}
	if golden(t, "shape.txt", b.String()) != b.String() {
		t.Errorf("the messages are not those of protocol %d any more. Raise the number, add a line to its history, and run the test with -update.\nnow:\n%s", Protocol, b.String())
	}
}

// shape writes a struct's fields as they are on the wire.
func shape(b *strings.Builder, t reflect.Type, seen map[reflect.Type]bool) {
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
		t = t.Elem()
	}
	if t.Kind() != reflect.Struct || seen[t] {
		return
	}
	seen[t] = true
	fmt.Fprintf(b, "%s\n", t)
	for f := range t.Fields() {
		fmt.Fprintf(b, "  %s %s\n", f.Tag.Get("json"), f.Type)
	}
	for f := range t.Fields() {
		shape(b, f.Type, seen)
	}
}
