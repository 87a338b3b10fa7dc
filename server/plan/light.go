package plan

import (
	"fairday/domain/shoot"
	"fairday/domain/sun"
)

// readLight reads where a day's sun is reckoned for, and the windows.
func (r *reader) readLight(day *table, dayID string) string {
	if day.fields["light"] == nil {
		return ""
	}
	row := r.open(day.fields["light"], day.at("light"), "light", "latitude", "longitude", "horizon", "windows")
	made := "light " + dayID
	windows := []shoot.Window{}
	for _, w := range row.rows("windows", "window", 12, "name", "bearing", "width", "sill", "head", "depth", "height",
		"reveal", "overhang", "above", "wall-high", "wall-far", "outside") {
		n := func(key string) int {
			if !w.needs(key, "120") {
				return 0
			}
			return w.number(key, 0)
		}
		windows = append(windows, shoot.Window{Name: w.text("name", "North window"), Bearing: n("bearing"), Width: n("width"),
			Sill: n("sill"), Head: n("head"), Depth: n("depth"), Height: w.number("height", 0),
			Reveal: w.number("reveal", 0), Overhang: w.number("overhang", 0), Above: w.number("above", 0),
			WallHigh: w.number("wall-high", 0), WallFar: w.number("wall-far", 0), Arcs: w.arcs("outside")})
		row.bad = row.bad || w.bad
	}
	r.add(row, made, []string{dayID}, "light.set", args{"day": dayID, "lat": row.degrees("latitude", "41.25"), "lon": row.degrees("longitude", "-72.5"), "windows": windows,
		"horizon": row.arcs("horizon")})
	return made
}

// arcs reads what stands before the sky.
func (t *table) arcs(key string) []shoot.Arc {
	all := []shoot.Arc{}
	for _, a := range t.rows(key, "arc", 36, "from", "to", "up") {
		n := func(key, example string) int {
			if !a.needs(key, example) {
				return 0
			}
			return a.number(key, 0)
		}
		all = append(all, shoot.Arc{From: n("from", "110"), To: n("to", "160"), Up: n("up", "12")})
		t.bad = t.bad || a.bad
	}
	return all
}

// degrees reads a decimal number of degrees as millionths.
func (t *table) degrees(key, example string) int {
	s := t.text(key, example)
	if s == "" {
		return 0
	}
	n, ok := sun.Fixed(s, 6)
	if !ok {
		t.wrong(t.at(key), CodeValue, "“%s” is not a number of degrees. Write “%s” in the %s with a point and up to six digits after it, like %s.", clip(s), key, t.what, example)
	}
	return n
}

// wish is what a shot's row says of its light, the shots before it and the
// minutes of its fallback; the shots are known once all rows are read.
type wish struct {
	row *table
	id  string
}

var wishKeys = []string{"light", "window", "after", "fallback-minutes"}

func (w wish) any() bool {
	for _, key := range wishKeys {
		if w.row.fields[key] != nil {
			return true
		}
	}
	return false
}

// readWishes makes the wishes of a day's shots. ids are by number.
func (r *reader) readWishes(all []wish, ids map[string]string, light string) {
	for _, w := range all {
		if !w.any() {
			continue
		}
		row := *w.row
		row.bad = false
		needs := []string{w.id, light}
		after := []string{}
		for _, number := range row.words("after", 20) {
			id, ok := ids[number]
			if !ok {
				row.wrong(row.at("after"), CodeReference, "There is no shot %s on this day. Write the number of one that comes before, as in “after: [3]”.", clip(number))
			}
			after, needs = append(after, id), append(needs, id)
		}
		r.add(&row, "", needs, "shot.wishes", args{"shot": w.id, "after": after, "window": row.scalar("window"), "fallback": row.number("fallback-minutes", 0),
			"light": choice(&row, "light", []shoot.LightWish{shoot.AnyLight, shoot.WantSun, shoot.NoSun, shoot.Daylight})})
	}
}

// readStays reads who has to go when.
func (r *reader) readStays(day *table, dayID string) {
	n := day.fields["stays"]
	if n == nil {
		return
	}
	all := r.open(n, day.at("stays"), "list of stays")
	for _, key := range all.keys {
		row := *all
		row.line, row.bad = all.at(key), false
		id := row.find(&r.people, key, row.line)
		until := row.clock(key)
		r.add(&row, "", []string{dayID, id}, "stay.until", args{"day": dayID, "person": id, "until": until})
	}
}

// readRange reads when a meal may start, where the row says so.
func (r *reader) readRange(row *table, mealID string) {
	if row.fields["earliest"] == nil && row.fields["latest"] == nil {
		return
	}
	own := *row
	own.bad = false
	earliest, latest := own.clock("earliest"), own.clock("latest")
	r.add(&own, "", []string{mealID}, "meal.range", args{"meal": mealID, "earliest": earliest, "latest": latest})
}
