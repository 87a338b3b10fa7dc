package plan

import (
	"slices"

	"fairday/domain/overtime"
	"fairday/domain/shoot"
)

// names keeps what kinds of day some terms name.
func (r *reader) names(t overtime.Terms) {
	for _, o := range t.Other {
		r.kinds = append(r.kinds, o.Kind)
	}
}

// readKinds reads what kind of day it is, where it is no shoot day, for everybody and
// for some.
func (r *reader) readKinds(day *table, dayID string) {
	if day.fields["kind"] != nil {
		row := *day
		row.bad = false
		kind := r.kindOfDay(&row, "kind")
		r.add(&row, "", []string{dayID}, "day.kind", args{"day": dayID, "kind": kind})
	}
	if day.fields["kinds"] == nil {
		return
	}
	all := r.open(day.fields["kinds"], day.at("kinds"), "list of kinds of day")
	for _, key := range all.keys {
		row := *all
		row.line, row.bad = all.at(key), false
		id := row.find(&r.people, key, row.line)
		kind := r.kindOfDay(&row, key)
		r.add(&row, "", []string{dayID, id}, "day.kind", args{"day": dayID, "person": id, "kind": kind})
	}
}

// kindOfDay reads one that is usual, or that some terms name.
func (r *reader) kindOfDay(row *table, key string) string {
	kind := row.text(key, "travel")
	if kind != "" && !slices.Contains(shoot.DayKinds(), kind) && !slices.Contains(r.kinds, kind) {
		row.wrong(row.at(key), CodeValue, "“%s” is no kind of day that any terms name, nor one of %s. Write one of these, or name it under other-days in somebody’s terms.",
			clip(kind), list(shoot.DayKinds()))
	}
	return kind
}
