package shoot

import (
	"testing"

	"fairday/domain/when"
)

func TestAWeekStartsOnMonday(t *testing.T) {
	for d, want := range map[when.Date]when.Date{"2026-11-25": "2026-11-23", "2026-11-23": "2026-11-23", "2026-11-29": "2026-11-23", "": ""} {
		if got := monday(d); got != want {
			t.Errorf("%s is in the week of %s, want %s", d, got, want)
		}
	}
}
