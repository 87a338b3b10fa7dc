package day

import (
	"fairday/domain/view"
)

// Catering is the meals of a day and this person's own diet.
type Catering struct {
	Day   view.DayHead `json:"day"`
	Meals []Meal       `json:"meals"`
	Diet  OwnDiet      `json:"diet"`
}

// Meal is one meal's card.
type Meal struct {
	ID      string        `json:"id"`
	Name    string        `json:"name"`
	At      string        `json:"at"`     // "13:00"
	Length  string        `json:"length"` // "45 min"
	Mark    view.Mark     `json:"mark"`
	Guests  string        `json:"guests"`            // "3 guests", "No guests"; "" for who has nothing to do with it
	Actions []view.Action `json:"actions"`           // what concerns guests
	Hold    *Hold         `json:"hold,omitempty"`    // of the food while it is out
	Kitchen *MealKitchen  `json:"kitchen,omitempty"` // only for caterer and producer
}

// Hold is how long food that is out may still stand.
type Hold struct {
	Mark    view.Mark `json:"mark"`
	Say     string    `json:"say"`     // "Since 13:00. Out for 40 min, 1 h 20 min left of 2 h."
	Source  string    `json:"source"`  // whose limit it is
	Caution string    `json:"caution"` // who decides
}

// MealKitchen is what the kitchen works from.
type MealKitchen struct {
	Covers    string            `json:"covers"`    // "22"
	CoversSay string            `json:"coversSay"` // "17 people, 3 guests, 2 spare plates"
	AsOf      string            `json:"asOf"`      // "as of 11:05"
	Diets     []CountLine       `json:"diets"`     // add up to the covers
	Allergens []CountLine       `json:"allergens"` // a person may be in several
	Plates    []CountLine       `json:"plates"`    // diets and allergens that belong on one plate
	LastCount string            `json:"lastCount"` // "Last count taken 10:30 by Cy Amble.", "The last count is not taken yet."
	LateSay   string            `json:"lateSay"`   // says that the count differs from the last count, or ""
	Late      []view.ChangeLine `json:"late"`
	Served    string            `json:"served"` // "12 of 22 served"
	Names     []ServeLine       `json:"names"`  // only while it is being served
	NamesSay  string            `json:"namesSay"`
	Actions   []view.Action     `json:"actions"`
}

// CountLine is a count of plates or people.
type CountLine struct {
	Label string `json:"label"`
	Count string `json:"count"`
}

// ServeLine is who eats what.
type ServeLine struct {
	Name      string   `json:"name"`
	Diet      string   `json:"diet"`
	Allergens []string `json:"allergens"`
	Note      string   `json:"note"`
}

// OwnDiet is this person's own diet.
type OwnDiet struct {
	Say       string      `json:"say"`
	Diet      string      `json:"diet"`
	Allergens []string    `json:"allergens"`
	Note      string      `json:"note"`
	Edit      view.Action `json:"edit"` // with a form
}
