package when

import (
	"archive/zip"
	"encoding/binary"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

var update = flag.Bool("update", false, "write zones.txt anew from the tz database that comes with Go")

// source is the tz database that comes with Go, and its version.
func source(t *testing.T) (version string, files map[string][]byte) {
	t.Helper()
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Skip("no Go here to read the tz database from")
	}
	dir := filepath.Join(strings.TrimSpace(string(root)), "lib", "time")
	script, err := os.ReadFile(filepath.Join(dir, "update.bash"))
	found := regexp.MustCompile(`(?m)^DATA=(\w+)$`).FindSubmatch(script)
	if err != nil || found == nil {
		t.Skip("this Go does not say which tz database it comes with")
	}
	archive, err := zip.OpenReader(filepath.Join(dir, "zoneinfo.zip"))
	if err != nil {
		t.Fatal(err)
	}
	defer archive.Close()
	files = map[string][]byte{}
	for _, f := range archive.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		b, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		if len(b) > 0 && f.Name != "Factory" {
			files[f.Name] = b
		}
	}
	return string(found[1]), files
}

// shorten writes a zone's data (RFC 8536) as the table has it.
func shorten(t *testing.T, name string, data []byte) string {
	t.Helper()
	counts := func(b []byte) (n [6]int) {
		for i := range n {
			n[i] = int(binary.BigEndian.Uint32(b[20+4*i:]))
		}
		return n
	}
	if string(data[:4]) != "TZif" || data[4] < '2' {
		t.Fatalf("%s is not of version 2", name)
	}
	n := counts(data)
	b := data[44+n[3]*5+n[4]*6+n[5]+n[2]*8+n[1]+n[0]:]
	n = counts(b)
	b = b[44:]
	at, index, kinds := b[:n[3]*8], b[n[3]*8:][:n[3]], b[n[3]*9:][:n[4]*6]
	minutes := func(kind int) int {
		s := int(int32(binary.BigEndian.Uint32(kinds[kind*6:])))
		if s%60 != 0 {
			t.Fatalf("%s is off by %d seconds", name, s)
		}
		return s / 60
	}
	before, changes := 0, []string{}
	for i, k := range index {
		switch s := int64(binary.BigEndian.Uint64(at[i*8:])); {
		case s <= year2000:
			before = int(k)
		case s%60 != 0:
			t.Fatalf("%s changes within a minute", name)
		default:
			changes = append(changes, fmt.Sprintf("%s:%d", strconv.FormatInt((s-year2000)/60, 36), minutes(int(k))))
		}
	}
	rule := strings.Trim(string(b[n[3]*9+n[4]*6+n[5]+n[2]*12+n[1]+n[0]:]), "\n")
	return fmt.Sprintf("%d;%s;%s", minutes(before), strings.Join(changes, ","), rule)
}

// table puts the zones of one kind on one line.
func table(t *testing.T, version string, files map[string][]byte) string {
	t.Helper()
	names := map[string][]string{}
	for name, data := range files {
		short := shorten(t, name, data)
		names[short] = append(names[short], name)
	}
	var lines []string
	for short, same := range names {
		slices.Sort(same)
		lines = append(lines, " "+strings.Join(same, " ")+" ;"+short)
	}
	slices.Sort(lines)
	return "tz database " + version + "\n" + strings.Join(lines, "\n") + "\n"
}

// The table is the tz database: made from it, and read from it as package time
// reads the database itself, a second before and at every change and every
// sixty days, to the year 2100.
func TestZonesAreTheDatabase(t *testing.T) {
	version, files := source(t)
	if *update {
		if err := os.WriteFile("zones.txt", []byte(table(t, version, files)), 0o644); err != nil {
			t.Fatal(err)
		}
		t.Skip("zones.txt is written")
	}
	if have, _, _ := strings.Cut(zones, "\n"); have != "tz database "+version {
		t.Skipf("zones.txt is from the %s and this Go has %s: `go test ./domain/when -run Zones -update` brings it up to date", have, version)
	}
	if zones != table(t, version, files) {
		t.Error("zones.txt is not what the tz database gives: `go test ./domain/when -run Zones -update`")
	}
	for name, data := range files {
		want, err := time.LoadLocationFromTZData(name, data)
		if err != nil {
			t.Fatal(name, err)
		}
		have, err := Zone(name).location()
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for s := int64(year2000); s < 4102444800; s += 60 * 24 * 3600 {
			sameOffset(t, time.Unix(s, 0), have, want)
			if _, end := time.Unix(s, 0).In(want).ZoneBounds(); !end.IsZero() {
				sameOffset(t, end.Add(-time.Second), have, want)
				sameOffset(t, end, have, want)
			}
		}
	}
}

func sameOffset(t *testing.T, at time.Time, have, want *time.Location) {
	t.Helper()
	_, h := at.In(have).Zone()
	if _, w := at.In(want).Zone(); h != w {
		t.Errorf("%s at %s: %d s from UTC, want %d", want, at.UTC(), h, w)
	}
}

// Every zone that is listed is one.
func TestZonesListed(t *testing.T) {
	all := Zones()
	if len(all) < 400 || !slices.Contains(all, "Europe/Lisbon") || !slices.IsSorted(all) {
		t.Fatalf("%d zones: %v", len(all), all)
	}
	for _, z := range all {
		if err := z.Check(); err != nil {
			t.Error(err)
		}
	}
}
