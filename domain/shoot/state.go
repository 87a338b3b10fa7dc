package shoot

import (
	"maps"

	"fairday/domain/money"
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
	Food       map[FoodKey]Food     `json:"food,omitempty"`   // what is out

	Delivered map[DeliveryKey]PersonID `json:"delivered,omitempty"` // who brought facts of others
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

	Kinds map[HoursKey]string `json:"kinds,omitempty"` // of days that are no shoot days: of a person, or of everybody
	Off   map[HoursKey]Off    `json:"off,omitempty"`   // people and hires that were called off
}

// Kitchen is what the caterer and the producer see.
type Kitchen struct {
	Covers map[MealID]Count     `json:"covers"`           // as it stands
	Locked map[MealID]Count     `json:"locked"`           // as it was at last count
	Lists  map[MealID]ServeList `json:"lists"`            // only while a meal is being served
	Groups map[PersonID]int     `json:"groups,omitempty"` // who was in the same counts so far has the same number
}

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
	f.MealRanges, f.Pauses, f.Food, f.Delivered = maps.Clone(f.MealRanges), maps.Clone(f.Pauses), maps.Clone(f.Food), maps.Clone(f.Delivered)
	if s.Office != nil {
		out.Office = &Office{Drafts: maps.Clone(s.Office.Drafts), Reports: maps.Clone(s.Office.Reports)}
	}
	if s.Money != nil {
		out.Money = &Money{Currency: s.Money.Currency, Terms: maps.Clone(s.Money.Terms),
			Hires: maps.Clone(s.Money.Hires), Approvals: maps.Clone(s.Money.Approvals), Kinds: maps.Clone(s.Money.Kinds), Off: maps.Clone(s.Money.Off)}
	}
	if s.Kitchen != nil {
		out.Kitchen = &Kitchen{Covers: maps.Clone(s.Kitchen.Covers), Locked: maps.Clone(s.Kitchen.Locked),
			Lists: maps.Clone(s.Kitchen.Lists), Groups: maps.Clone(s.Kitchen.Groups)}
	}
	out.Diets, out.Pay, out.Asks = maps.Clone(s.Diets), maps.Clone(s.Pay), maps.Clone(s.Asks)
	return &out
}
