package office

import (
	"fairday/domain/view"
	"fairday/domain/view/day"
)

// Plan is what was written down beforehand and may have to be written anew on
// the day: for who runs the shoot.
type Plan struct {
	Day   view.DayHead `json:"day"`
	Say   string       `json:"say"`
	Ahead *day.Ahead   `json:"ahead,omitempty"` // nothing once the day has begun
	Parts []PlanPart   `json:"parts"`

	Lists map[string][]view.Option `json:"lists"` // what many forms have to choose from, by name
}

// PlanPart is the rows of one kind.
type PlanPart struct {
	Key   string        `json:"key"`
	Title string        `json:"title"`
	Say   string        `json:"say"` // where there is no row
	New   []view.Action `json:"new"` // ways to a further row
	Rows  []PlanRow     `json:"rows"`
}

// PlanRow is one thing that may be changed.
type PlanRow struct {
	Key     string        `json:"key"`
	Name    string        `json:"name"`
	Says    []string      `json:"says"`
	Person  string        `json:"person"` // who may be made a join link, "" for nobody
	Actions []view.Action `json:"actions"`
}
