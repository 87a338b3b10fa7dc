package shoot

import (
	"encoding/json"
	"reflect"
	"slices"
	"strings"
)

// rows are what a file of rules adds to the shoot: one row for each intent and
// one for each event, beside the rule. All that goes by the name of an intent or
// by the kind of an event reads these rows; how to write one stands in
// DEVELOPERS.md.
type rows struct {
	intents []intentRow
	events  []eventRow
}

// allRows are those of every file, in the order in which a shoot comes about.
var allRows = []*rows{&planRows, &shotPlanRows, &lightRows, &sheetRows, &shotRows, &heroRows, &pauseRows, &hoursRows, &queryRows,
	&undoRows, &signoffRows, &mealRows, &kitchenRows, &foodRows, &reportRows, &deliverRows, &askRows, &termsRows, &payDayRows, &payShareRows, &paySignRows}

// farRules are the rules of the far kinds of a file, as the type of their arguments,
// empty. They stand apart from the rows so that a program which decides with
// DecideNear alone, as phones do, is built without them.
type farRules []struct {
	name string
	args args
}

// allFarRules are those of every file; nothing but Decide may read them.
var allFarRules = []*farRules{&lightFar, &mealFar, &payDayFar, &planFar, &shotPlanFar, &termsFar}

// intentRow is what is fixed about an intent of one name. A name, once used, keeps
// its meaning; a change of arguments is a new version, with its upgrade.
type intentRow struct {
	name   string
	fact   bool      // always kept once it is allowed and well-formed
	far    bool      // only far screens offer it: a phone keeps and sends it, and has no rule to judge it by
	plane  Topic     // the plane that it is about, "" for the floor; one about money or own pay writes nothing else
	who    []Role    // who may; nil is everybody, except as own says
	own    bool      // the others may too, for themselves: decide checks
	target string    // the arguments that name the row it edits; "-" for the only one, "" where no edit waits for another
	say    string    // it in a few words, see Words
	args   args      // their type, empty; of a far kind it stands among the file's far rules
	older  []upgrade // from version 1 to 2, from 2 to 3, and so on; only ever added
}

// version is the newest version of its arguments.
func (row *intentRow) version() int { return len(row.older) + 1 }

// money tells whether it writes the money plane or people's own pay, and nothing else.
func (row *intentRow) money() bool { return row.plane == TopicMoney || row.plane == topicPay }

// allows tells whether a role may do it to anybody.
func (row *intentRow) allows(r Role) bool { return row.who == nil || slices.Contains(row.who, r) }

// read decodes arguments of any version there was, into the type of its rule.
func (row *intentRow) read(rule args, version int, raw json.RawMessage) (args, error) {
	raw, err := newest(row.older, version, raw)
	if err != nil {
		return nil, err
	}
	v := reflect.New(reflect.TypeOf(rule))
	if err := strict(raw, v.Interface()); err != nil {
		return nil, err
	}
	return v.Elem().Interface().(args), nil
}

// eventRow is what is fixed about the events of one kind; the kind and the plane
// are the body's own. Kinds are only ever added.
type eventRow struct {
	body   Body                        // its type, empty
	older  []upgrade                   // as of an intent
	covers bool                        // it can change who eats what, so meals are counted again
	pay    func(*State, Body) PersonID // whose pay it can change, so that it is worked out again; everybody for all
	query  func(Body) QueryID          // the query that it raises
}

// everybody stands for all people where an event touches one person's pay.
const everybody PersonID = "*"

func paysAll(*State, Body) PersonID { return everybody }

// decode reads a body of any version there was.
func (row *eventRow) decode(version int, raw json.RawMessage) (Body, error) {
	raw, err := newest(row.older, version, raw)
	if err != nil {
		return nil, err
	}
	v := reflect.New(reflect.TypeOf(row.body))
	if err := json.Unmarshal(raw, v.Interface()); err != nil {
		return nil, err
	}
	return v.Elem().Interface().(Body), nil
}

// intents and events find the rows.
var intents, events = func() (map[string]*intentRow, map[string]*eventRow) {
	in, ev := map[string]*intentRow{}, map[string]*eventRow{}
	for _, t := range allRows {
		for i := range t.intents {
			in[t.intents[i].name] = &t.intents[i]
		}
		for i := range t.events {
			ev[t.events[i].body.kind()] = &t.events[i]
		}
	}
	return in, ev
}()

var (
	lead    = []Role{Producer, ArtDirector}
	camera  = []Role{Producer, ArtDirector, Photographer, Digitech}
	kitchen = []Role{Producer, Caterer}
	readers = []Role{Producer, ArtDirector, PropStylist, FoodStylist, Client}
	movers  = []Role{Producer, ArtDirector, PropStylist, FoodStylist}
	office  = []Role{Producer}
)

// Intents lists the names of all intents.
func Intents() []string {
	var out []string
	for _, t := range allRows {
		for _, row := range t.intents {
			out = append(out, row.name)
		}
	}
	return out
}

// IsFact tells whether intents of that name report what happened.
func IsFact(name string) bool { row := intents[name]; return row != nil && row.fact }

// IsFar tells whether intents of that name are made at a desk: a phone keeps and
// sends them like any other, and shows no effect before the desk has ruled.
func IsFar(name string) bool { row := intents[name]; return row != nil && row.far }

// IsMoney tells whether intents of that name belong to the money plane.
func IsMoney(name string) bool { row := intents[name]; return row != nil && row.money() }

// MaySend tells whether a role may send intents of that name at all; some are
// for everybody only about themselves.
func MaySend(r Role, name string) bool {
	row := intents[name]
	return row != nil && (row.own || row.allows(r))
}

// Allows tells whether a role may do what intents of that name do: to anybody, and to
// or for themselves.
func Allows(r Role, name string) (anybody, themselves bool) {
	row := intents[name]
	if row == nil {
		return false, false
	}
	return row.allows(r), row.allows(r) || row.own
}

// Version is the newest version of an intent's arguments, 0 for an unknown name.
func Version(name string) int {
	if row := intents[name]; row != nil {
		return row.version()
	}
	return 0
}

// Knows tells whether intents of that name and version can be decided here. Names
// and versions are only ever added, so one that is not known comes from a newer
// page.
func Knows(name string, version int) bool { n := Version(name); return n > 0 && version <= n }

// Words says what intents of that name do, "" for an unknown name. It is a sentence
// with names in braces for what the arguments name; where there are two, with a
// stroke between them, the second is for arguments that say no.
func Words(name string) string {
	if row := intents[name]; row != nil {
		return row.say
	}
	return ""
}

// Target names the row that an intent edits, so that a later edit of the same
// row can say that it depends on the earlier one; "" where nothing depends.
func Target(name string, raw json.RawMessage) string {
	row := intents[name]
	if row == nil || row.target == "" {
		return ""
	}
	thing, _, _ := strings.Cut(name, ".")
	if row.target == "-" {
		return thing
	}
	var fields map[string]json.RawMessage
	if json.Unmarshal(raw, &fields) != nil {
		return ""
	}
	for field := range strings.SplitSeq(row.target, ",") {
		var id string
		if json.Unmarshal(fields[field], &id) != nil {
			return ""
		}
		thing += ":" + id
	}
	return thing
}

// Planes lists the planes that events write, each once, in the order in which they are
// met. Those of which everybody has rows of their own end with a colon.
func Planes() (out []Topic) {
	for _, t := range allRows {
		for _, row := range t.events {
			if plane := row.body.topic().plane(); !slices.Contains(out, plane) {
				out = append(out, plane)
			}
		}
	}
	return out
}
