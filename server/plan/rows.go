package plan

import (
	"go.yaml.in/yaml/v3"

	"fairday/domain/catering"
	"fairday/domain/money"
	"fairday/domain/shoot"
	"fairday/domain/when"
)

// How many rows a plan may have: far more than a shoot has, and few enough to
// read in a moment.
const (
	maxPeople = 300
	maxSetups = 100
	maxHeroes = 200
	maxDays   = 14
	maxShots  = 150 // of a day
	maxMeals  = 12  // of a day
	maxHires  = 40  // of a day
)

// args are an intent's arguments where no type of the domain has them.
type args = map[string]any

// readShoot goes through the file from the top, each part before those that
// name it.
func (r *reader) readShoot(root *yaml.Node) {
	t := r.open(root, max(root.Line, 1), "plan", "title", "client", "currency", "zone", "date", "terms", "people", "set-ups", "heroes", "days")
	if !t.shape {
		return
	}
	job := *t // a bad key elsewhere does not spoil the title
	job.bad = false
	r.plan.Title = job.text("title", "Winter table")
	client := job.scalar("client")
	r.add(&job, "shoot", nil, "shoot.set", args{"title": r.plan.Title, "client": client})
	r.readCurrency(t)
	r.readDate(t)
	if t.needs("zone", "Europe/Lisbon") {
		r.zone = when.Zone(t.scalar("zone"))
		t.check("zone", r.zone.Check())
	}
	r.readNamedTerms(t)
	r.readPeople(t)
	r.readSetups(t)
	r.readHeroes(t)
	r.readDays(t)
}

func (r *reader) readCurrency(t *table) {
	row := *t
	row.bad = false
	r.currency = money.Currency(row.text("currency", "EUR"))
	if r.currency != "" {
		row.check("currency", r.currency.Check())
	}
	if row.bad { // the amounts are read all the same, to find what else is wrong
		r.currency = "EUR"
	}
	r.add(&row, "currency", nil, "currency.set", args{"currency": r.currency})
}

// readDate settles on the date of day 1.
func (r *reader) readDate(t *table) {
	if s := t.scalar("date"); s != "" {
		own, err := when.ParseDate(s)
		t.check("date", err)
		if r.date == "" {
			r.date = own
		}
	}
	if r.date == "" && t.fields["date"] == nil {
		t.needs("date", "2027-03-15")
	}
	if r.date != "" && !r.date.Valid() {
		r.complain(0, CodeValue, "“%s” is not a date to put day 1 on. Write it as year-month-day, like 2027-03-15.", clip(string(r.date)))
		r.date = ""
	}
}

func (r *reader) readPeople(t *table) {
	r.people.what = "person"
	if !t.part("people") {
		r.people.lost = true
		return
	}
	keys, rows, ok := t.named("people", "person", maxPeople, "name", "role", "department", "job", "phone", "diet", "allergens", "food-note", "terms", "employee", "minimum-wage", "workweek", "waived-meals", "rest-not-given")
	r.people.lost = !ok
	producer := !ok
	for i, row := range rows {
		id := r.newID()
		r.people.put(keys[i], id)
		who := Person{ID: shoot.PersonID(id), Name: row.text("name", "Ada Example"), Key: keys[i]}
		if row.needs("role", "crew") {
			who.Role = choice(row, "role", shoot.Roles())
		}
		producer = producer || who.Role == shoot.Producer || row.bad
		department, job, phone := row.scalar("department"), row.scalar("job"), row.scalar("phone")
		diet, hasDiet := readDiet(row)
		r.add(row, id, nil, "person.set", args{"id": id, "name": who.Name, "role": who.Role,
			"department": department, "job": job, "phone": phone})
		if hasDiet {
			r.add(row, "", []string{id}, "diet.set", struct {
				Person string `json:"person"`
				shoot.Diet
			}{id, diet})
		}
		r.readTermsOf(row, id)
		r.plan.People = append(r.plan.People, who)
	}
	if !producer {
		r.complain(t.at("people"), CodeNoProducer, "Nobody is the producer, so nobody could run the shoot. Give one person “role: producer”.")
	}
}

func readDiet(row *table) (shoot.Diet, bool) {
	d := shoot.Diet{Kinds: dietsOf(row), Allergens: []catering.Allergen{}, Note: row.scalar("food-note")}
	for _, w := range row.words("allergens", 20) {
		a := catering.Allergen(w)
		if !a.Valid() {
			row.wrong(row.at("allergens"), CodeValue, "“%s” is not an allergen on the list (%s). Choose from it, and write the rest as food-note.", clip(w), list(catering.Allergens()))
		}
		d.Allergens = append(d.Allergens, a)
	}
	return d, row.fields["diet"] != nil || len(d.Allergens) > 0 || d.Note != ""
}

// dietsOf reads one diet, or a list of several that one person keeps to at once.
func dietsOf(row *table) []catering.Diet {
	kinds := []catering.Diet{}
	if n := row.fields["diet"]; n == nil || n.Kind != yaml.SequenceNode {
		if one := choice(row, "diet", catering.Diets()); one != catering.Omnivore {
			kinds = append(kinds, one)
		}
		return kinds
	}
	for _, w := range row.words("diet", 10) {
		if d := catering.Diet(w); d == "" || !d.Valid() {
			row.wrong(row.at("diet"), CodeValue, "“%s” is not one of: %s. Choose from them, and write the rest as food-note.", clip(w), list(catering.Diets()))
		}
		kinds = append(kinds, catering.Diet(w))
	}
	return kinds
}

func (r *reader) readSetups(t *table) {
	r.setups.what = "set-up"
	keys, rows, ok := t.named("set-ups", "set-up", maxSetups, "name", "minutes")
	r.setups.lost = !ok
	for i, row := range rows {
		id := r.newID()
		r.setups.put(keys[i], id)
		r.add(row, id, nil, "setup.set", args{"id": id, "name": row.text("name", "Table by the window"), "minutes": row.number("minutes", 0)})
	}
}

func (r *reader) readHeroes(t *table) {
	r.heroes.what = "hero"
	keys, rows, ok := t.named("heroes", "hero", maxHeroes, "name", "plate", "checklist", "confirmations", "food", "hold")
	r.heroes.lost = !ok
	for i, row := range rows {
		id := r.newID()
		r.heroes.put(keys[i], id)
		h := shoot.HeroPlan{ID: shoot.HeroID(id), Name: row.text("name", "Brass lamp"), Checklist: row.words("checklist", 100),
			Needs: row.number("confirmations", 1), Food: row.flag("food"), HoldMinutes: row.number("hold", 0)}
		if row.needs("plate", "{serial: A-17}") {
			plate := r.open(row.fields["plate"], row.at("plate"), "plate of hero "+clip(keys[i]), "designation", "finish", "size", "serial")
			h.Plate = shoot.Plate{Designation: plate.scalar("designation"), Finish: plate.scalar("finish"),
				Size: plate.scalar("size"), Serial: plate.scalar("serial")}
			row.bad = row.bad || plate.bad
		}
		r.add(row, id, nil, "hero.set", h)
	}
}
