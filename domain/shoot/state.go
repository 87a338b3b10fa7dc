package shoot

import (
	"maps"

	"fairday/domain/catering"
	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/when"
)

// State is a shoot as one audience knows it. A nil plane is one it does not see.
// Slices and maps inside rows are never changed in place: Apply replaces rows,
// which is what makes Clone cheap.
type State struct {
	Floor    Floor             `json:"floor"`
	Office   *Office           `json:"office,omitempty"`
	Money    *Money            `json:"money,omitempty"`
	Kitchen  *Kitchen          `json:"kitchen,omitempty"`
	Diets    map[PersonID]Diet `json:"diets"`
	AllDiets bool              `json:"allDiets"` // the diets of everybody are known here
	Pay      map[HoursKey]Pay  `json:"pay,omitempty"`
	Asks     map[AskID]Ask     `json:"asks,omitempty"`
}

// Floor is what everybody on the shoot sees.
type Floor struct {
	Shoot   Shoot                   `json:"shoot"`
	Days    map[DayID]Day           `json:"days"`
	People  map[PersonID]Person     `json:"people"`
	Setups  map[SetupID]Setup       `json:"setups"`
	Shots   map[ShotID]Shot         `json:"shots"`
	Heroes  map[HeroID]Hero         `json:"heroes"`
	Meals   map[MealID]Meal         `json:"meals"`
	Hours   map[HoursKey]Hours      `json:"hours"`
	Queries map[QueryID]Query       `json:"queries"`
	Sheets  map[SheetKey]Sheet      `json:"sheets"` // every published version
	Acks    map[AckKey]when.Instant `json:"acks"`
	Signs   map[HoursKey]Signature  `json:"signs,omitempty"`

	Lights     map[DayID]Light      `json:"lights,omitempty"`
	Wishes     map[ShotID]Wishes    `json:"wishes,omitempty"`
	Stays      map[HoursKey]Stay    `json:"stays,omitempty"` // when people have to go
	MealRanges map[MealID]MealRange `json:"mealRanges,omitempty"`
	Pauses     map[DayID][]Pause    `json:"pauses,omitempty"` // in order of time
}

// Office is what the producer and the art director prepare or look at.
type Office struct {
	Reports map[ReportID]Report `json:"reports,omitempty"` // of people whose access was withdrawn
	Drafts  map[DayID]Draft     `json:"drafts"`
}

// Money is what only the producer sees.
type Money struct {
	Currency  money.Currency          `json:"currency"`
	Terms     map[PersonID]Terms      `json:"terms"`
	Hires     map[HireID]Hire         `json:"hires"`
	Approvals map[ApprovalID]Approval `json:"approvals"`
}

// Kitchen is what the caterer and the producer see.
type Kitchen struct {
	Covers map[MealID]Count     `json:"covers"` // as it stands
	Locked map[MealID]Count     `json:"locked"` // as it was at last count
	Lists  map[MealID]ServeList `json:"lists"`  // only while a meal is being served
}

// Shoot is the job itself.
type Shoot struct {
	Title   string `json:"title"`
	Client  string `json:"client"`
	Version int    `json:"version"`
}

// Day is one shoot day. Order is the run of its shots; a shot that is not in it
// comes last.
type Day struct {
	ID           DayID     `json:"id"`
	Name         string    `json:"name"`
	Date         when.Date `json:"date"`
	Zone         when.Zone `json:"zone"`
	Order        []ShotID  `json:"order"`
	OrderVersion int       `json:"orderVersion"`
	Published    int       `json:"published"` // number of the newest call sheet, 0 for none
	Version      int       `json:"version"`
}

// Person is somebody who is called.
type Person struct {
	ID         PersonID     `json:"id"`
	Name       string       `json:"name"`
	Role       Role         `json:"role"`
	Department string       `json:"department"`
	Job        string       `json:"job"` // in words, where the role is not enough: "Hair and make-up"
	Phone      string       `json:"phone"`
	Revoked    bool         `json:"revoked"`
	Withdrawn  when.Instant `json:"withdrawn,omitzero"` // since when it is revoked
	Epoch      int          `json:"epoch"`              // grows when what they may see changes
	Version    int          `json:"version"`
}

// Setup is a camera, light and set position that shots share.
type Setup struct {
	ID      SetupID `json:"id"`
	Name    string  `json:"name"`
	Minutes int     `json:"minutes"` // to change over to it
	Version int     `json:"version"`
}

// Priority says how much a shot matters.
type Priority string

// The priorities, from what must be had to what is nice to have.
const (
	Must  Priority = "must"
	Want  Priority = "want"
	Spare Priority = "spare"
)

// Progress is how far a shot has come, as far as it is recorded. Whether a
// planned shot is held is worked out by Gate, since it depends on the time.
type Progress string

// The recorded stages of a shot.
const (
	Planned  Progress = "planned"
	Open     Progress = "open"     // it is up
	Shooting Progress = "shooting" // the first frame has been taken
	Captured Progress = "captured"
	Queried  Progress = "queried" // captured while its hero was in doubt, not settled yet
	Cut      Progress = "cut"
)

// Shot is one picture that the brief asks for.
type Shot struct {
	ShotPlan
	Progress   Progress     `json:"progress"`
	Spans      []Span       `json:"spans"`    // each time it was up: opened to captured or stood down
	Started    when.Instant `json:"started"`  // first frame of the present span
	Captured   when.Instant `json:"captured"` // as claimed by who captured it
	CapturedBy PersonID     `json:"capturedBy"`
	Frames     string       `json:"frames"` // file or frame numbers, as noted
	Approved   when.Instant `json:"approved"`
	ApprovedBy PersonID     `json:"approvedBy"`
	OnFallback bool         `json:"onFallback"` // the fallback idea was taken
	Version    int          `json:"version"`    // of the plan part
}

// ShotPlan is what is written about a shot beforehand.
type ShotPlan struct {
	ID       ShotID     `json:"id"`
	Day      DayID      `json:"day"`
	Number   string     `json:"number"` // how people call it: "7", "7A"
	Title    string     `json:"title"`
	Setup    SetupID    `json:"setup"`
	Minutes  int        `json:"minutes"` // planned, without the change of set-up
	Priority Priority   `json:"priority"`
	Crop     string     `json:"crop"`
	Heroes   []HeroID   `json:"heroes"`
	Talent   []PersonID `json:"talent"`
	Fallback string     `json:"fallback"`
	Notes    string     `json:"notes"`
}

// Span is a stretch of time; To is zero while it lasts.
type Span struct {
	From when.Instant `json:"from"`
	To   when.Instant `json:"to"`
}

// Plate is what identifies a hero. A field that the brief leaves empty is not
// compared.
type Plate struct {
	Designation string `json:"designation"`
	Finish      string `json:"finish"`
	Size        string `json:"size"`
	Serial      string `json:"serial"` // a serial or batch number
}

// HeroPlan is what the brief says of a hero.
type HeroPlan struct {
	ID          HeroID   `json:"id"`
	Name        string   `json:"name"`
	Plate       Plate    `json:"plate"`
	Checklist   []string `json:"checklist"`
	Needs       int      `json:"needs"` // confirmations by different people, 1 or 2
	Food        bool     `json:"food"`
	HoldMinutes int      `json:"holdMinutes"` // for food: how long a confirmation holds
}

// Lapse is why confirmations no longer hold.
type Lapse string

// The reasons for a lapse. A hold time that has run out is worked out from the
// clock and never recorded.
const (
	LapseSwapped Lapse = "swapped"
	LapseAway    Lapse = "away"
	LapseRefused Lapse = "refused"
	LapseBrief   Lapse = "brief" // the brief itself was changed
	LapseHold    Lapse = "hold"  // the hold time has run out
)

// Hero is the object or plate that is photographed. History is in order of
// time, and how the hero stands at a moment is read from it (StandingAt), so
// that news which arrives late finds its place.
type Hero struct {
	HeroPlan
	History []HeroNote `json:"history"`
	Version int        `json:"version"`
}

// Confirmation is one person's word that the plate reads as the brief says.
type Confirmation struct {
	By    PersonID     `json:"by"`
	At    when.Instant `json:"at"`
	Until when.Instant `json:"until"` // for food; zero when it does not run out
}

// Misread is a reading that differs from the brief.
type Misread struct {
	By    PersonID     `json:"by"`
	At    when.Instant `json:"at"`
	Field string       `json:"field"`
	Read  string       `json:"read"`
	Brief string       `json:"brief"`
}

// HeroNote is one thing that happened to a hero.
type HeroNote struct {
	At      when.Instant `json:"at"`
	By      PersonID     `json:"by"`
	What    NoteKind     `json:"what"`
	Lapse   Lapse        `json:"lapse,omitempty"`
	Until   when.Instant `json:"until,omitempty"` // of a confirmation
	Misread *Misread     `json:"misread,omitempty"`
	Note    string       `json:"note,omitempty"`
}

// NoteKind is what a line of a hero's history says.
type NoteKind string

// The kinds of line in a hero's history.
const (
	NoteConfirmed NoteKind = "confirmed"
	NoteMisread   NoteKind = "misread"
	NoteLapsed    NoteKind = "lapsed"
	NoteBack      NoteKind = "back"
)

// Service is how far a meal has come.
type Service string

// The stages of a meal.
const (
	MealPlanned Service = "planned"
	MealServing Service = "serving"
	MealDone    Service = "done"
)

// MealPlan is what is written about a meal beforehand.
type MealPlan struct {
	ID      MealID     `json:"id"`
	Day     DayID      `json:"day"`
	Name    string     `json:"name"`
	At      when.Clock `json:"at"`
	Minutes int        `json:"minutes"`
	Margin  int        `json:"margin"` // plates made beyond the count
}

// Meal is one meal of a day.
type Meal struct {
	MealPlan
	From        when.Instant `json:"from"` // At, resolved
	Guests      int          `json:"guests"`
	Served      int          `json:"served"` // plates handed out so far
	Service     Service      `json:"service"`
	LastCount   when.Instant `json:"lastCount"` // when the number was locked, 0 for not yet
	LastCountBy PersonID     `json:"lastCountBy"`
	Version     int          `json:"version"`
}

// Count is a meal's covers and when they were worked out.
type Count struct {
	catering.Covers
	At   when.Instant `json:"at"`
	Late bool         `json:"late"` // differs from the locked count
}

// ServeList is who eats what, for the people who hand it out.
type ServeList struct {
	At   when.Instant `json:"at"`
	Rows []ServeRow   `json:"rows"`
}

// ServeRow is one person's plate.
type ServeRow struct {
	Person PersonID `json:"person"`
	Diet   Diet     `json:"diet"`
}

// Diet is what a person eats and must not eat.
type Diet struct {
	Kind      catering.Diet       `json:"kind"`
	Allergens []catering.Allergen `json:"allergens"`
	Note      string              `json:"note"`
}

// HoursKey is a day and a person, joined by a stroke.
type HoursKey string

// KeyOf makes the key of one person's hours on one day.
func KeyOf(d DayID, p PersonID) HoursKey { return HoursKey(string(d) + "/" + string(p)) }

// MarkKind is what a punch says.
type MarkKind string

// The punches.
const (
	MarkIn      MarkKind = "in"
	MarkOut     MarkKind = "out"
	MarkMealOut MarkKind = "meal-out"
	MarkMealIn  MarkKind = "meal-in"
)

// Mark is one punch, as claimed and as received.
type Mark struct {
	Kind     MarkKind     `json:"kind"`
	At       when.Instant `json:"at"`
	Received when.Instant `json:"received"`
	By       PersonID     `json:"by"`
}

// Hours is a person's punches on one day, in order of At.
type Hours struct {
	Marks  []Mark `json:"marks"`
	Undone []Undo `json:"undone,omitempty"` // in the order they were taken back
}

// Place is where a day is shot.
type Place struct {
	Name    string `json:"name"`
	Address string `json:"address"`
}

// SheetText is what a call sheet says besides the calls.
type SheetText struct {
	Place       Place      `json:"place"`
	GeneralCall when.Clock `json:"generalCall"`
	PlannedWrap when.Clock `json:"plannedWrap"`
	Emergency   string     `json:"emergency"` // the nearest emergency department
	Safety      string     `json:"safety"`
	Notes       string     `json:"notes"`
}

// Draft is the call sheet being prepared.
type Draft struct {
	SheetText
	Calls   map[PersonID]when.Clock `json:"calls"`
	Version int                     `json:"version"` // of the text; a call carries its former value instead
	Changed bool                    `json:"changed"` // since the last publishing
}

// SheetKey is a day and the number of a published sheet.
type SheetKey string

// SheetOf makes the key of a day's call sheet with that number.
func SheetOf(d DayID, number int) SheetKey { return SheetKey(string(d) + "/" + itoa(number)) }

// AckKey is a sheet and a person.
type AckKey string

// AckOf makes the key of one person's acknowledgement of one sheet.
func AckOf(s SheetKey, p PersonID) AckKey { return AckKey(string(s) + "/" + string(p)) }

// Sheet is one published version of a call sheet.
type Sheet struct {
	SheetText
	Day     DayID                 `json:"day"`
	Number  int                   `json:"number"`
	At      when.Instant          `json:"at"`
	By      PersonID              `json:"by"`
	General when.Instant          `json:"general"`
	Wrap    when.Instant          `json:"wrap"`
	Calls   map[PersonID]Call     `json:"calls"`
	Changes map[PersonID][]Change `json:"changes"` // against the version before, for each person it concerns
}

// Call is when a person is called, as the wall clock reads and resolved.
type Call struct {
	Clock when.Clock   `json:"clock"`
	At    when.Instant `json:"at"`
}

// Change is one thing that changed for a person; an empty From is new, an empty
// To is gone.
type Change struct {
	What string `json:"what"`
	From string `json:"from"`
	To   string `json:"to"`
}

// Terms are the terms a person works on.
type Terms struct {
	overtime.Terms
	Version  int      `json:"version"`
	Employee Employee `json:"employee,omitzero"`
}

// Hire is a place or a piece of equipment on terms of its own.
type Hire struct {
	ID      HireID         `json:"id"`
	Day     DayID          `json:"day"`
	Name    string         `json:"name"`
	From    when.Clock     `json:"from"` // when its hours start
	Terms   overtime.Terms `json:"terms"`
	Version int            `json:"version"`
}

// Approval allows overtime of a day up to an instant and an amount.
type Approval struct {
	ID     ApprovalID   `json:"id"`
	Day    DayID        `json:"day"`
	Until  when.Instant `json:"until"`
	Amount money.Amount `json:"amount"`
	By     PersonID     `json:"by"`
	At     when.Instant `json:"at"`
	Note   string       `json:"note"`
}

// QueryKind is what a query is about.
type QueryKind string

// The kinds of query.
const (
	QueryCapture QueryKind = "capture"
	QueryPunch   QueryKind = "punch"
	QueryUndo    QueryKind = "undo"  // a punch that was a slip, somebody says later
	QueryHours   QueryKind = "hours" // a person disputes their own
)

// Side is one of the two things that do not go together.
type Side struct {
	By   PersonID     `json:"by"` // "" where nobody said it
	At   when.Instant `json:"at"`
	Text string       `json:"text"`
}

// Query is a contradiction waiting to be settled, or settled.
type Query struct {
	ID       QueryID      `json:"id"`
	Kind     QueryKind    `json:"kind"`
	Shot     ShotID       `json:"shot,omitempty"`
	Day      DayID        `json:"day,omitempty"`
	Person   PersonID     `json:"person,omitempty"`
	Claim    *Mark        `json:"claim,omitempty"`    // a queried punch
	Standing *Mark        `json:"standing,omitempty"` // the punch it contradicts, where there is one
	Said     Side         `json:"said"`
	Against  Side         `json:"against"`
	Raised   when.Instant `json:"raised"`
	Ruling   Ruling       `json:"ruling"` // "" while it is open
	Settled  when.Instant `json:"settled"`
	By       PersonID     `json:"by"`
	Note     string       `json:"note"`
}

// Ruling is how a query was settled.
type Ruling string

// The rulings.
const (
	Keep Ruling = "keep" // what was reported stands
	Drop Ruling = "drop" // it does not
)

// New gives the empty shoot, with every plane.
func New() *State {
	return &State{
		Floor: Floor{
			Days: map[DayID]Day{}, People: map[PersonID]Person{}, Setups: map[SetupID]Setup{},
			Shots: map[ShotID]Shot{}, Heroes: map[HeroID]Hero{}, Meals: map[MealID]Meal{},
			Hours: map[HoursKey]Hours{}, Queries: map[QueryID]Query{},
			Sheets: map[SheetKey]Sheet{}, Acks: map[AckKey]when.Instant{},
		},
		Office:   &Office{Drafts: map[DayID]Draft{}},
		Money:    &Money{Terms: map[PersonID]Terms{}, Hires: map[HireID]Hire{}, Approvals: map[ApprovalID]Approval{}},
		Kitchen:  &Kitchen{Covers: map[MealID]Count{}, Locked: map[MealID]Count{}, Lists: map[MealID]ServeList{}},
		Diets:    map[PersonID]Diet{},
		AllDiets: true,
	}
}

// Clone copies the state so that applying events to one does not show in the
// other.
func (s *State) Clone() *State {
	out := *s
	f := &out.Floor
	f.Days, f.People, f.Setups = maps.Clone(f.Days), maps.Clone(f.People), maps.Clone(f.Setups)
	f.Shots, f.Heroes, f.Meals = maps.Clone(f.Shots), maps.Clone(f.Heroes), maps.Clone(f.Meals)
	f.Hours, f.Queries = maps.Clone(f.Hours), maps.Clone(f.Queries)
	f.Sheets, f.Acks, f.Signs = maps.Clone(f.Sheets), maps.Clone(f.Acks), maps.Clone(f.Signs)
	f.Lights, f.Wishes, f.Stays = maps.Clone(f.Lights), maps.Clone(f.Wishes), maps.Clone(f.Stays)
	f.MealRanges, f.Pauses = maps.Clone(f.MealRanges), maps.Clone(f.Pauses)
	if s.Office != nil {
		out.Office = &Office{Drafts: maps.Clone(s.Office.Drafts), Reports: maps.Clone(s.Office.Reports)}
	}
	if s.Money != nil {
		out.Money = &Money{Currency: s.Money.Currency, Terms: maps.Clone(s.Money.Terms),
			Hires: maps.Clone(s.Money.Hires), Approvals: maps.Clone(s.Money.Approvals)}
	}
	if s.Kitchen != nil {
		out.Kitchen = &Kitchen{Covers: maps.Clone(s.Kitchen.Covers), Locked: maps.Clone(s.Kitchen.Locked),
			Lists: maps.Clone(s.Kitchen.Lists)}
	}
	out.Diets, out.Pay, out.Asks = maps.Clone(s.Diets), maps.Clone(s.Pay), maps.Clone(s.Asks)
	return &out
}
