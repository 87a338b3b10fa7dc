package shoot

import (
	"slices"

	"fairday/domain/sun"
	"fairday/domain/when"
)

// Where a day is shot as the sun sees it, and what shots want of the light, of
// people and of each other. All of it is whole numbers; what the sun does is
// worked out by domain/sun.

var lightRows = rows{
	intents: []intentRow{
		{name: "light.set", who: lead, target: "day", say: "Place and windows for the light, {day}", args: lightSet{}, older: []upgrade{same}}, // the horizon and what stands outside were added
		{name: "shot.wishes", who: lead, target: "shot", say: "Light and order of {shot}", args: shotWishes{}},
		{name: "stay.until", who: lead, target: "day,person", say: "When {person} has to go, {day}", args: stayUntil{}},
		{name: "meal.range", far: true, who: office, target: "meal", say: "When {meal} may start"},
	},
	events: []eventRow{
		{body: LightSet{}, older: []upgrade{same}},
		{body: WishesSet{}},
		{body: StaySet{}, covers: true},
		{body: MealRangeSet{}},
	},
}

var lightFar = farRules{
	{"meal.range", mealRange{}},
}

// Light is where a day's sun is reckoned for, and the windows it may come in by.
type Light struct {
	Lat     int      `json:"lat"` // millionths of a degree, north positive
	Lon     int      `json:"lon"` // millionths of a degree, east positive
	Windows []Window `json:"windows"`
	Horizon []Arc    `json:"horizon,omitempty"` // what stands round the place, for every window
	Version int      `json:"version"`
}

// Arc is what stands before the sky, in whole degrees.
type Arc struct {
	From int `json:"from"` // bearing from true north
	To   int `json:"to"`   // bearing, clockwise from the first
	Up   int `json:"up"`   // above the horizon
}

// Window is an opening, the spot in the room that the sun is wanted on or to be kept
// off, and what stands outside. Lengths are centimetres; what is 0 is not there.
type Window struct {
	Name    string `json:"name"`
	Bearing int    `json:"bearing"` // degrees from true north that one faces who looks out
	Width   int    `json:"width"`
	Sill    int    `json:"sill"`   // lower edge above the floor
	Head    int    `json:"head"`   // upper edge above the floor
	Depth   int    `json:"depth"`  // of the spot, in from the window
	Height  int    `json:"height"` // of the spot above the floor

	Reveal   int   `json:"reveal,omitempty"`   // how thick the wall is
	Overhang int   `json:"overhang,omitempty"` // how far a balcony or canopy juts out
	Above    int   `json:"above,omitempty"`    // from the head up to its underside
	WallHigh int   `json:"wallHigh,omitempty"` // the top of the wall opposite, above the floor of the room
	WallFar  int   `json:"wallFar,omitempty"`  // how far away it is
	Arcs     []Arc `json:"arcs,omitempty"`     // what else is seen from the window
}

// Sky is where the light is reckoned for, in the measures of domain/sun.
func (l Light) Sky() sun.Sky {
	return sun.Sky{Place: sun.PlaceAt(l.Lat, l.Lon), Horizon: arcs(l.Horizon)}
}

// Opening is the window in the measures of domain/sun.
func (w Window) Opening() sun.Window {
	m := sun.Metres
	return sun.Window{Bearing: sun.Degrees(w.Bearing), Width: m(w.Width), Sill: m(w.Sill), Head: m(w.Head), Depth: m(w.Depth), Height: m(w.Height),
		Reveal: m(w.Reveal), Overhang: m(w.Overhang), Above: m(w.Above), WallHigh: m(w.WallHigh), WallFar: m(w.WallFar), Arcs: arcs(w.Arcs)}
}

func arcs(all []Arc) (out []sun.Arc) {
	for _, a := range all {
		out = append(out, sun.ArcOf(a.From, a.To, a.Up))
	}
	return out
}

// Window finds a window by its name.
func (l Light) Window(name string) (Window, bool) {
	i := slices.IndexFunc(l.Windows, func(w Window) bool { return w.Name == name })
	if i < 0 {
		return Window{}, false
	}
	return l.Windows[i], true
}

type lightSet struct {
	Day     DayID    `json:"day"`
	Lat     int      `json:"lat"`
	Lon     int      `json:"lon"`
	Windows []Window `json:"windows"`
	Horizon []Arc    `json:"horizon"`
	Base    int      `json:"base"`
}

// LightSet says where a day's sun is reckoned for.
type LightSet struct {
	Day   DayID `json:"day"`
	Light Light `json:"light"`
}

func (a lightSet) decide(d *deciding) *Refusal {
	if _, ok := d.s.Floor.Days[a.Day]; !ok {
		return unknown("day")
	}
	was := d.s.Floor.Lights[a.Day]
	next := Light{a.Lat, a.Lon, a.Windows, a.Horizon, was.Version + 1}
	if r := first(between("number of windows", len(a.Windows), 0, 12), fresh("the light of this day", a.Base, was.Version, next, was)); r != nil {
		return r
	}
	if err := next.Sky().Check(); err != nil {
		return wrong(err)
	}
	for i, w := range a.Windows {
		if r := needed("name of the window", w.Name, 60); r != nil {
			return r
		}
		if err := w.Opening().Check(); err != nil {
			return wrong(err)
		}
		if slices.ContainsFunc(a.Windows[:i], func(o Window) bool { return o.Name == w.Name }) {
			return refuse(CodeBadArgs, "Two windows are called %q. Give each its own name.", clip(w.Name))
		}
	}
	d.emit(LightSet{a.Day, next})
	return nil
}

func (LightSet) kind() string { return "light.set" }
func (LightSet) topic() Topic { return TopicFloor }
func (e LightSet) apply(s *State, _ Event) {
	s.Floor.Lights = with(s.Floor.Lights, e.Day, e.Light)
}

// LightWish is what a shot wants of the light.
type LightWish string

// The wishes.
const (
	AnyLight LightWish = ""
	WantSun  LightWish = "sun"      // direct sun in its window
	NoSun    LightWish = "no-sun"   // no direct sun in its window
	Daylight LightWish = "daylight" // between sunrise and sunset
)

// Wishes are what binds a shot to a time of the day or to other shots.
type Wishes struct {
	Light    LightWish `json:"light"`
	Window   string    `json:"window"`   // of the day's light, for sun and no-sun
	After    []ShotID  `json:"after"`    // must be captured before it
	Fallback int       `json:"fallback"` // minutes that the fallback takes, 0 for as many as planned
	Version  int       `json:"version"`
}

type shotWishes struct {
	Shot     ShotID    `json:"shot"`
	Light    LightWish `json:"light"`
	Window   string    `json:"window"`
	After    []ShotID  `json:"after"`
	Fallback int       `json:"fallback"`
	Base     int       `json:"base"`
}

// WishesSet says what a shot is bound to.
type WishesSet struct {
	Shot   ShotID `json:"shot"`
	Wishes Wishes `json:"wishes"`
}

func (a shotWishes) decide(d *deciding) *Refusal {
	f := d.s.Floor
	shot, ok := f.Shots[a.Shot]
	if !ok {
		return unknown("shot")
	}
	was := f.Wishes[a.Shot]
	next := Wishes{a.Light, a.Window, a.After, a.Fallback, was.Version + 1}
	if r := first(between("minutes of the fallback", a.Fallback, 0, 24*60), fresh("this shot", a.Base, was.Version, next, was)); r != nil {
		return r
	}
	switch a.Light {
	case AnyLight, Daylight:
		if a.Window != "" {
			return refuse(CodeBadArgs, "A window is for a shot that wants sun in it or none. Leave it out.")
		}
	case WantSun, NoSun:
		if _, ok := f.Lights[shot.Day].Window(a.Window); !ok {
			return refuse(CodeUnknownThing, "There is no window %q on this day. Choose one of the day's windows, or add it first.", clip(a.Window))
		}
	default:
		return refuse(CodeBadArgs, "%q is no wish for the light. Choose sun, no-sun, daylight or nothing.", clip(string(a.Light)))
	}
	if !known(a.After, f.Shots) || slices.Contains(a.After, a.Shot) {
		return unknown("earlier shot")
	}
	if d.s.leadsTo(a.After, a.Shot) {
		return refuse(CodeBadArgs, "Shot %s would have to come before itself. Take one of the shots before it out.", shot.Number)
	}
	d.emit(WishesSet{a.Shot, next})
	return nil
}

// leadsTo tells whether a shot is among what must come before some others.
func (s *State) leadsTo(from []ShotID, to ShotID) bool {
	seen := map[ShotID]bool{}
	for next := slices.Clone(from); len(next) > 0; next = next[1:] {
		if next[0] == to {
			return true
		}
		if !seen[next[0]] {
			seen[next[0]] = true
			next = append(next, s.Floor.Wishes[next[0]].After...)
		}
	}
	return false
}

func (WishesSet) kind() string { return "shot.wishes" }
func (WishesSet) topic() Topic { return TopicFloor }
func (e WishesSet) apply(s *State, _ Event) {
	s.Floor.Wishes = with(s.Floor.Wishes, e.Shot, e.Wishes)
}

type stayUntil struct {
	Day    DayID       `json:"day"`
	Person PersonID    `json:"person"`
	Until  *when.Clock `json:"until"` // null: as long as it takes
	Was    *when.Clock `json:"was"`
}

// Stay is how long a person can be had on a day.
type Stay struct {
	Clock when.Clock   `json:"clock"`
	At    when.Instant `json:"at"`
}

// StaySet says when a person has to go; a zero time, that they need not.
type StaySet struct {
	Day    DayID    `json:"day"`
	Person PersonID `json:"person"`
	Until  Stay     `json:"until"`
}

func (a stayUntil) decide(d *deciding) *Refusal {
	day, ok := d.s.Floor.Days[a.Day]
	if !ok {
		return unknown("day")
	}
	if _, ok := d.s.Floor.People[a.Person]; !ok {
		return unknown("person")
	}
	was := d.s.Floor.Stays[KeyOf(a.Day, a.Person)]
	if (a.Was == nil) != (was.At == 0) || a.Was != nil && *a.Was != was.Clock {
		return refuse(CodeStale, "Somebody changed meanwhile when they have to go. Look again and enter what should stand.")
	}
	next := Stay{}
	if a.Until != nil {
		at, err := day.Zone.At(day.Date, *a.Until)
		if err != nil {
			return wrong(err)
		}
		next = Stay{*a.Until, at}
	}
	if next != was {
		d.emit(StaySet{a.Day, a.Person, next})
	}
	return nil
}

func (StaySet) kind() string { return "stay.set" }
func (StaySet) topic() Topic { return TopicFloor }
func (e StaySet) apply(s *State, _ Event) {
	s.Floor.Stays = with(s.Floor.Stays, KeyOf(e.Day, e.Person), e.Until)
}

type mealRange struct {
	Meal     MealID     `json:"meal"`
	Earliest when.Clock `json:"earliest"`
	Latest   when.Clock `json:"latest"`
	Base     int        `json:"base"`
}

// MealRange is when a meal may start.
type MealRange struct {
	Earliest when.Instant `json:"earliest"`
	Latest   when.Instant `json:"latest"`
	Version  int          `json:"version"`
}

// MealRangeSet says when a meal may start.
type MealRangeSet struct {
	Meal  MealID    `json:"meal"`
	Range MealRange `json:"range"`
}

func (a mealRange) decide(d *deciding) *Refusal {
	m, ok := d.s.Floor.Meals[a.Meal]
	if !ok {
		return unknown("meal")
	}
	day := d.s.Floor.Days[m.Day]
	was := d.s.Floor.MealRanges[a.Meal]
	if r := fresh("this meal", a.Base, was.Version, a, was); r != nil {
		return r
	}
	earliest, err := day.Zone.At(day.Date, a.Earliest)
	if err != nil {
		return wrong(err)
	}
	latest, err := day.Zone.At(day.Date, a.Latest)
	if err != nil {
		return wrong(err)
	}
	if latest < earliest {
		return refuse(CodeBadArgs, "%s cannot start at %s at the latest and not before %s. Put them the other way round.", m.Name, a.Latest, a.Earliest)
	}
	d.emit(MealRangeSet{a.Meal, MealRange{earliest, latest, was.Version + 1}})
	return nil
}

func (MealRangeSet) kind() string { return "meal.range" }
func (MealRangeSet) topic() Topic { return TopicFloor }
func (e MealRangeSet) apply(s *State, _ Event) {
	s.Floor.MealRanges = with(s.Floor.MealRanges, e.Meal, e.Range)
}
