package phones

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"fairday/domain/shoot"
	"fairday/domain/when"
)

// The busy shoot that speed is measured with.
const (
	busyShots  = 60
	busyPeople = 60
)

// morning is a zone in which it is between eight and nine, so that the whole day
// is still ahead at whatever time this runs.
func morning(now time.Time) when.Zone {
	east := 8 - now.UTC().Hour()
	if east < -12 {
		east += 24
	}
	if east == 0 {
		return "Etc/GMT"
	}
	return when.Zone(fmt.Sprintf("Etc/GMT%+d", -east)) // which name what to add to get to UTC
}

// busy starts a server with sixty people on terms and a day of sixty shots.
func busy(t testing.TB) *host {
	t.Helper()
	zone := morning(time.Now())
	var b strings.Builder
	fmt.Fprintf(&b, "title: The long table\nclient: Quorrabel Lamps & Kettles\ncurrency: USD\nzone: %s\npeople:\n", zone)
	for i := range busyPeople {
		role := shoot.Crew
		if all := shoot.Roles(); i < len(all) {
			role = all[i]
		}
		fmt.Fprintf(&b, "  p%d: {name: Person Number %d, role: %s, department: Floor, phone: 555-0101, diet: vegan,\n", i, i, role)
		fmt.Fprintf(&b, "    terms: {basis: day, rate: %d.00, hours: 9, bands: [{after: 9, times: 1.5}, {after: 12, times: 2}], step: 15}}\n", 500+i)
	}
	b.WriteString("set-ups:\n")
	for i := range busyShots / 6 {
		fmt.Fprintf(&b, "  s%d: {name: Corner %d, minutes: 5}\n", i, i)
	}
	b.WriteString("days:\n  - day: 1\n    name: Indoors\n    sheet: {place: Saltglass Works, address: 1 Kiln Passage, general-call: 07:00, planned-wrap: 17:30, emergency: Call the local number, safety: Mind the cords, publish: true}\n    calls:\n")
	for i := range busyPeople {
		fmt.Fprintf(&b, "      p%d: 07:%02d\n", i, i)
	}
	b.WriteString("    meals:\n      - {name: Lunch, at: 13:00, minutes: 45, earliest: 12:30, latest: 13:45}\n    shots:\n")
	for i := range busyShots {
		fmt.Fprintf(&b, "      - {number: %d, title: Picture %d, set-up: s%d, minutes: 7, priority: want, crop: Square, fallback: A smaller one, fallback-minutes: 4}\n", i+1, i+1, i/6)
	}
	return startWith(t, zone, []byte(b.String()))
}
