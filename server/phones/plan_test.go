package phones

import (
	"strings"
	"testing"

	"fairday/domain/shoot"
)

// The plan changes on the day: the art director adds a hero and a shot that
// needs it, the producer adds a person, whose phone joins by the link that the
// producer's phone shows.
func TestPlanChangesOnTheDay(t *testing.T) {
	h := start(t)
	art, crew := h.phone(t, "ilmar"), h.hand(t, "milo")
	art.tap(`[data-tab="plan"]`, "")
	art.tap(`[data-part="heroes"] summary`, "")
	art.tap(`[data-part="heroes"] [data-label="Add a hero"]`, "")
	art.enter("name", "Salt cellar")
	art.enter("plate.serial", "SC-12")
	art.submit()
	art.reads(`[data-plan="Salt cellar"]`, "SC-12")
	art.tap(`[data-part="shots"] summary`, "")
	art.tap(`[data-part="shots"] [data-label="Add a shot"]`, "")
	art.enter("title", "Salt on slate")
	art.tap(`form[data-form] [data-field="heroes"] label`, "Salt cellar")
	art.submit()
	art.waits(0)
	added := crew.sees("the new shot", func(s *shoot.State) bool { return titled(s, "Salt on slate") != nil })
	if shot := titled(added, "Salt on slate"); len(shot.Heroes) != 1 || shot.Number == "" {
		t.Errorf("the new shot is %+v", shot)
	}
	art.tap(`[data-tab="shots"]`, "")
	art.shows(titled(added, "Salt on slate").Number, "held")

	producer := h.phone(t, "wren")
	producer.tap(`[data-tab="callsheet"]`, "")
	producer.tap(`[data-tab="plan"]`, "")
	producer.tap(`[data-part="people"] summary`, "")
	producer.tap(`[data-part="people"] [data-label="Add a person"]`, "")
	producer.enter("name", "Juno Farrow")
	producer.enter("job", "Second assistant")
	producer.submit()
	producer.reads(`[data-plan="Juno Farrow"]`, "Second assistant")
	producer.waits(0)
	producer.tap(`[data-link="Juno Farrow"]`, "")
	producer.until("the QR code is drawn", `document.querySelector('img.qr')?.naturalWidth > 50`)
	url, err := evaluate[string](producer, `document.querySelector('[data-joins]').textContent.trim()`)
	if err != nil {
		t.Fatal(err)
	}
	h.links["juno"] = url[strings.LastIndex(url, "/")+1:]
	h.plan.People = append(h.plan.People, h.plan.People[0])
	last := &h.plan.People[len(h.plan.People)-1]
	last.Key, last.Name = "juno", "Juno Farrow"
	juno := h.phone(t, "juno")
	juno.reads(`[data-screen="callsheet"]`, "Saltglass Works")
}

func titled(s *shoot.State, title string) *shoot.Shot {
	for _, shot := range s.Floor.Shots {
		if shot.Title == title {
			return &shot
		}
	}
	return nil
}
