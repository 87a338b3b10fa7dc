package when

import (
	_ "embed" // for the table
	"encoding/binary"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
)

// zones is the tz database from the year 2000 on: its version, then a line for
// each set of names that have kept the same time since,
//
//	Europe/Lisbon Portugal ;0;2h64:60,fkm3:0;WET0WEST,M3.5.0/1,M10.5.0
//
// with the offset from UTC in minutes at the start of 2000, each change since
// (minutes since then in base 36, and the new offset) and the rule for all later
// years as the TZ string of POSIX. It travels with the program, so that every
// machine resolves a wall-clock time alike; the tests say how it is made anew.
//
//go:embed zones.txt
var zones string

// year2000 is the start of that year in UTC, in seconds since 1970.
const year2000 = 946684800

// load reads a zone out of the table.
func load(name string) (*time.Location, error) {
	_, rest, ok := strings.Cut(zones, " "+name+" ")
	if !ok || strings.ContainsAny(name, " ;\n") {
		return nil, ErrZone
	}
	_, rest, _ = strings.Cut(rest, ";")
	line, _, _ := strings.Cut(rest, "\n")
	initial, line, _ := strings.Cut(line, ";")
	changes, rule, _ := strings.Cut(line, ";")
	var list []string
	if changes != "" {
		list = strings.Split(changes, ",")
	}
	data, err := tzif(initial, list, rule)
	if err != nil {
		return nil, err
	}
	return time.LoadLocationFromTZData(name, data)
}

// Zones lists every zone by name, older names for the same place included.
func Zones() []Zone {
	var out []Zone
	for line := range strings.SplitSeq(zones, "\n") {
		names, _, _ := strings.Cut(line, ";")
		for name := range strings.FieldsSeq(names) {
			if strings.HasPrefix(line, " ") {
				out = append(out, Zone(name))
			}
		}
	}
	slices.Sort(out)
	return out
}

// tzif writes a zone in the form that package time reads (RFC 8536, version 2):
// an empty block for readers of 32 bits, then header, times, kinds of time and
// the rule. There is a kind for each change and one for the time before them.
func tzif(initial string, changes []string, rule string) ([]byte, error) {
	const magic = "TZif2"
	n := len(changes)
	head := make([]byte, 15, 64+n*16) // reserved
	out := append(append([]byte(magic), head...), make([]byte, 6*4)...)
	out = append(append(out, magic...), head...)
	for _, count := range [...]int{0, 0, 0, n, n + 1, 1} { // UTC and standard markers, leap seconds, changes, kinds, letters
		out = binary.BigEndian.AppendUint32(out, uint32(count))
	}
	kinds := make([]byte, 0, (n+1)*6)
	kind := func(offset string) error {
		mins, err := strconv.ParseInt(offset, 10, 32)
		kinds = append(binary.BigEndian.AppendUint32(kinds, uint32(int32(mins*60))), 0, 0) // not marked as summer time, no name
		return err
	}
	if err := kind(initial); err != nil {
		return nil, err
	}
	for _, c := range changes {
		at, offset, _ := strings.Cut(c, ":")
		mins, err := strconv.ParseInt(at, 36, 64)
		if err == nil {
			err = kind(offset)
		}
		if err != nil {
			return nil, fmt.Errorf("table of zones: %w", err)
		}
		out = binary.BigEndian.AppendUint64(out, uint64(year2000+mins*60))
	}
	for i := range changes {
		out = append(out, byte(i+1))
	}
	out = append(append(out, kinds...), 0) // the one empty name
	return append(append(append(out, '\n'), rule...), '\n'), nil
}
