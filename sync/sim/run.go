package sim

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/desk"
	"fairday/sync/wire"
)

// Config says what one run is like. The rates are per mille and per step, and
// for the network per message.
type Config struct {
	Seed  uint64
	Steps int // with faults; then everything heals

	// The network. Every message also takes a time of its own.
	Drop, Double, Swap int // a message is lost, comes twice, overtakes the one before it
	Cut                int // a connection breaks
	Half               int // a connection goes dead, and neither end is told

	// The phones.
	Kill int // a phone stops, wherever it is with storing
	Jump int // its clock is set
	Full int // its storage takes nothing for a while
	Lose int // its storage is gone: all of it, or the queue
	Tabs int // a second tab is opened, or closed
	Out  int // its session ends, and the person joins again later
	Old  int // its page is one that does not know an event, nor the newest protocol, until it is reloaded

	// The server.
	Restart       int // it stops between two writes
	Crash         int // it stops in the middle of a commit
	Fail          int // the store refuses a write
	Back          int // its program is put back to one that does not know an intent, nor the newest protocol, and forward again
	Roles, Access int // somebody gets another role; loses access or has it back
	Restore       int // it is put back from a backup

	Edits          int // a person enters something
	Money          int // the server records something about money
	Phones         int // how many there are, 0 for one each; whose they are is drawn, and past People they are second devices
	WithoutProduce bool

	sabotage string // what is broken on purpose, to see that the checks notice
}

// Hostile is the usual run of a seed. Most are small, since what goes wrong goes
// wrong between a few; every eighth has everybody.
func Hostile(seed uint64) Config {
	return Config{Seed: seed, Steps: 90, Phones: []int{3, 4, 5, 4, 6, 3, 5, People}[seed%8],
		Drop: 130, Double: 250, Swap: 400, Cut: 70, Half: 8, Kill: 8, Jump: 4, Full: 3, Lose: 1, Tabs: 8, Out: 3, Old: 3,
		Restart: 4, Crash: 12, Fail: 15, Back: 8, Roles: 8, Access: 6, Restore: int(seed%3) * 2, Edits: 140, Money: 20}
}

// Report is what came of a run.
type Report struct {
	Runs    int // summed up
	Steps   int // until everything was quiet
	Entered int // edits that were kept on a phone
	Entries int // in the log at the end
	Log     []desk.Entry
	Faults  int // injected, of every kind
	Network int // those of them that the network made: lost, doubled, overtaken, cut, dead
	Kinds   map[string]int
	Wrong   []string
	Heard   map[shoot.PersonID][]string // all that each phone was sent, cursors blanked, where it was asked for
}

// flaky is a log that refuses a write now and then.
type flaky struct {
	*desk.Memory
	refuse   bool
	sabotage string
	first    shoot.IntentID
}

var errRefused = errors.New("no space left")

func (f *flaky) Append(id string, batch []desk.Entry, cp *desk.Checkpoint) error {
	if f.refuse {
		return errRefused
	}
	if f.sabotage != "" {
		batch = f.ruined(batch)
	}
	return f.Memory.Append(id, batch, cp)
}

// world is everything there is in a run.
type world struct {
	cfg    Config
	chance *Source // of the server and the world; each phone has its own
	money  *Source
	now    when.Instant
	faulty bool
	report Report

	log     *flaky
	backup  *desk.Memory
	deskCfg desk.Config
	d       *desk.Desk
	ahead   when.Instant // of the server's clock
	beat    when.Instant // when it looks next at who is on line
	back    bool         // the server's program is an older one
	serverN uint64       // of the server's own edits
	amount  int
	paying  []wire.Edit // about money, not written yet
	names   int

	phones  []*phone
	links   map[desk.ConnID]*link
	order   []desk.ConnID
	nextID  desk.ConnID
	entered map[shoot.IntentID]*phone
	thrown  map[shoot.IntentID]bool            // discarded by a person, or lost with a phone's storage before it was sent
	looked  map[string]bool                    // what was found harmless for a person
	told    map[shoot.IntentID]receipt         // the last verdict that the desk gave on each edit
	asked   map[shoot.IntentID]json.RawMessage // the arguments of each edit that reached the desk
}

// receipt is a verdict and the history it belongs to.
type receipt struct {
	verdict    string
	generation string
	code       shoot.Code // of a refusal
	person     shoot.PersonID
}

// Run plays one seed.
func Run(cfg Config) Report {
	w := &world{cfg: cfg, chance: Seeded(cfg.Seed), money: Seeded(cfg.Seed ^ 0xabcdef), now: Start + 30*when.Minute, faulty: true,
		links: map[desk.ConnID]*link{}, entered: map[shoot.IntentID]*phone{}, asked: map[shoot.IntentID]json.RawMessage{}, thrown: map[shoot.IntentID]bool{},
		told: map[shoot.IntentID]receipt{}, looked: map[string]bool{}, amount: 1}
	w.report.Heard, w.report.Kinds = map[shoot.PersonID][]string{}, map[string]int{}
	w.log = &flaky{Memory: desk.NewMemory(func() string { w.names++; return fmt.Sprintf("generation %d", w.names) }), sabotage: cfg.sabotage}
	w.deskCfg = desk.Config{Log: w.log, Shoot: ShootID, Random: Seeded(cfg.Seed + 1), Every: 40, CatchUp: 25,
		Knows: func(name string, version int) bool {
			return shoot.Knows(name, version) && (!w.back || name != "shot.frames" && name != "meal.serve")
		}}
	w.openDesk()
	plan := Plan()
	w.must(w.d.Record(Server, plan, Start))
	w.serverN = uint64(len(plan))
	w.flush(whole)
	w.backup = w.log.Copy()
	for i, n := range w.crew() {
		if n > 0 || !cfg.WithoutProduce {
			w.phones = append(w.phones, newPhone(w, n+i/People*People))
		}
	}
	for range cfg.Steps {
		w.step()
	}
	w.heal()
	w.check()
	return w.report
}

// crew draws whose phones there are.
func (w *world) crew() []int {
	all := make([]int, People)
	for i := range all {
		all[i] = i
		j := w.chance.Below(i + 1)
		all[i], all[j] = all[j], all[i]
	}
	n := w.cfg.Phones
	if n == 0 {
		n = People
	}
	var out []int
	for i := range n {
		out = append(out, all[i%People])
	}
	return out
}

func (w *world) must(err error) {
	if err != nil {
		w.wrong("%v", err)
	}
}

func (w *world) wrong(format string, args ...any) {
	if len(w.report.Wrong) < 20 {
		w.report.Wrong = append(w.report.Wrong, fmt.Sprintf("step %d: ", w.report.Steps)+fmt.Sprintf(format, args...))
	}
}

// network are the kinds of fault that the network makes.
var network = map[string]bool{"drop": true, "double": true, "swap": true, "cut": true, "half-open": true}

// fault tells whether one is injected now.
func (w *world) fault(s *Source, perMille int, kind string) bool {
	hit := s.Chance(perMille) && w.faulty
	if hit {
		w.report.Faults++
		w.report.Kinds[kind]++
		if network[kind] {
			w.report.Network++
		}
	}
	return hit
}

// clock is the server's.
func (w *world) clock() when.Instant { return w.now + w.ahead }

// step lets a little time pass.
func (w *world) step() {
	w.report.Steps++
	w.now += when.Instant(100 + w.chance.Below(900))
	for _, p := range w.phones {
		p.step()
	}
	w.carry()
	w.server()
	if w.now >= w.beat {
		w.beat = w.now + wire.BeatEvery
		w.post(w.d.Beat())
		w.must(w.d.Gather(w.clock()))
	}
	for _, p := range w.phones {
		w.held(p, p.r.Confirmed(), p.r.Audience().Role)
	}
}

// server is what happens at the server in a step.
func (w *world) server() {
	c := w.cfg
	if w.money.Chance(c.Money) && w.faulty && len(w.paying) == 0 {
		w.amount++
		w.paying = Money(int(w.serverN), w.amount)
		for i := range w.paying {
			w.paying[i].ID = w.intentID(w.money)
		}
	}
	w.pay()
	if w.fault(w.chance, c.Jump, "server's clock") {
		w.ahead = when.Instant(w.chance.Below(240)-120) * when.Second
	}
	if w.fault(w.chance, c.Back, "older program") {
		w.back = !w.back
		w.openDesk()
	}
	if w.fault(w.chance, c.Roles, "role") {
		w.newRole(1 + w.chance.Below(People-1))
	}
	if w.fault(w.chance, c.Access, "access") {
		n := 1 + w.chance.Below(People-1)
		w.access(n, !w.d.State().Floor.People[Person(n)].Revoked)
	}
	if w.fault(w.chance, c.Restart, "restart") {
		w.openDesk() // what was not written is gone
	}
	if w.chance.Chance(5) {
		w.backup = w.log.Copy()
	}
	if w.fault(w.chance, c.Restore, "restore") {
		w.flush(whole)
		w.log.Memory = w.backup.Copy()
		w.log.Restored()
		w.openDesk()
	}
	if w.chance.Chance(600) || !w.faulty {
		w.log.refuse = w.fault(w.chance, c.Fail, "no room on the server")
		until := whole
		if w.fault(w.chance, c.Crash, "crash in a commit") {
			until = stage(w.chance.Below(int(whole)))
		}
		w.flush(until)
		w.log.refuse = false
	}
}

// ask remembers what edits say that reach the desk.
func (w *world) ask(edits []wire.Edit) {
	for _, e := range edits {
		if _, ok := w.asked[e.ID]; !ok {
			w.asked[e.ID] = e.Args
		}
	}
}

// pay puts what is about money into the open batch, again and again until it is
// written.
func (w *world) pay() {
	if len(w.paying) > 0 {
		w.ask(w.paying)
		w.must(w.d.Record(Server, w.paying, w.clock()))
	}
}

// remember works out afresh how far the server's own edits have come.
func (w *world) remember() {
	w.serverN, w.paying = w.lastOfServer(), nil
	w.amount = max(1, w.d.State().Money.Terms[Person(2)].Version)
}

// openDesk starts the server, cutting every connection.
func (w *world) openDesk() {
	d, err := desk.Open(w.deskCfg)
	if err != nil {
		w.wrong("the desk does not open: %v", err)
		return
	}
	w.d = d
	w.remember()
	for _, id := range w.order {
		w.links[id].served = false
	}
}

// record has the server make edits of its own, at once, behind those about money
// that wait: both are numbered as one device's.
func (w *world) record(edits ...wire.Edit) {
	w.pay()
	w.flush(whole)
	for i := range edits {
		w.serverN++
		edits[i].Seq, edits[i].ID = w.serverN, w.intentID(w.chance)
	}
	w.must(w.d.Record(Server, edits, w.clock()))
	b := w.d.Take()
	for _, e := range b.Entries {
		if e.Intent.Actor == shoot.Desk && e.Verdict.Result == wire.Refused {
			w.wrong("the server's own %s was refused: %s", e.Intent.Name, e.Verdict.Refusal.Say)
		}
	}
	w.must(w.log.Append(ShootID, b.Entries, b.Checkpoint))
	w.post(w.d.Commit(b))
}

// lastOfServer is the last number that the server's own device used, as the log
// tells it.
func (w *world) lastOfServer() (last uint64) {
	all, err := w.log.Range(ShootID, 0, 1<<30, true)
	w.must(err)
	for _, e := range all {
		if e.Device == Server {
			last = e.DeviceSeq
		}
	}
	return last
}

func (w *world) newRole(n int) {
	p := w.d.State().Floor.People[Person(n)]
	role := allRole[1+w.chance.Below(len(allRole)-1)]
	w.record(serverEdit("person.set", Set{"id": p.ID, "name": p.Name, "role": role, "phone": p.Phone, "base": p.Version}))
}

func (w *world) access(n int, revoked bool) {
	w.record(serverEdit("person.access", Set{"person": Person(n), "revoked": revoked}))
}

func serverEdit(name string, args any) wire.Edit {
	return wire.Edit{Name: name, Version: shoot.Version(name), Args: Args(args), Happened: Start}
}

func (w *world) intentID(s *Source) shoot.IntentID {
	var random [10]byte
	_, _ = s.Read(random[:]) // a Source never fails
	return shoot.IntentID(shoot.NewID(w.now, random))
}

// stage is how far a commit comes before the server stops.
type stage int

// The stages.
const (
	taken    stage = iota // nothing was written
	written               // it is durable, and nobody has heard
	visible               // nothing of it has been sent
	halfSent              // some have heard
	whole                 // it does not stop
)

// flush commits the open batch, as far as the server comes with it.
func (w *world) flush(until stage) {
	if until != whole {
		defer w.openDesk()
	}
	if until == taken || !w.d.Waiting() {
		return
	}
	b := w.d.Take()
	var err error
	if len(b.Entries) > 0 {
		err = w.log.Append(ShootID, b.Entries, b.Checkpoint)
	}
	if err != nil && !errors.Is(err, errRefused) {
		w.wrong("the log: %v", err)
	}
	if err != nil {
		w.post(w.d.Abandon(b))
		return
	}
	if until == written {
		return
	}
	w.serverN, w.paying = w.serverN+uint64(len(w.paying)), nil
	outs := w.d.Commit(b)
	switch until {
	case visible:
		return
	case halfSent:
		outs = outs[:len(outs)/2]
	}
	w.post(outs)
}

// heal ends all faults and waits until everything is quiet. Two phones come back
// at the same moment, each with an edit.
func (w *world) heal() {
	w.faulty = false
	if w.back {
		w.back = false
		w.openDesk()
	}
	for _, p := range w.phones {
		p.full = 0
		if p.close(); p.failed {
			p.start() // what is stored is behind what was shown
		}
	}
	for _, p := range w.phones[1:3] {
		p.hangUp()
		if p.dead {
			p.start()
		}
		p.enter("punch", Set{"day": day, "people": []shoot.PersonID{p.person}, "kind": shoot.MarkIn})
		p.retry = w.now
	}
	const most, least = 400, 50 // a frame that was lost is noticed at the next ping
	for i := range most {
		for n := range People { // what still waits on a phone may take somebody's access away
			if w.d.State().Floor.People[Person(n)].Revoked {
				w.access(n, false)
			}
		}
		w.step()
		if i >= least && w.quiet() {
			for end := w.now + 2*wire.BeatEvery + when.Second; w.now < end; {
				w.step() // by then everybody knows who is on line
			}
			for n := 0; n < most && !w.quiet(); n++ {
				w.step() // the desk may have counted for the kitchen at the last beat
			}
			return
		}
	}
	for _, p := range w.phones {
		if !p.quiet() {
			w.wrong("%s is not quiet %d steps after everything healed: %+v", p.person, most, p.r.Status())
		}
	}
}

func (w *world) quiet() bool {
	for _, p := range w.phones {
		if !p.quiet() {
			return false
		}
	}
	for _, id := range w.order {
		if l := w.links[id]; len(l.up)+len(l.down) > 0 {
			return false
		}
	}
	return !w.d.Waiting()
}

// blank takes the cursors out of a message, which differ in every run.
func blank(text []byte) string {
	i := bytes.Index(text, []byte(`"cursor":"`))
	if i < 0 {
		return string(text)
	}
	j := i + 10 + bytes.IndexByte(text[i+10:], '"')
	return string(text[:i]) + string(text[j:])
}

// add sums reports up.
func (r *Report) add(o Report) {
	r.Runs++
	r.Steps, r.Entered, r.Entries = r.Steps+o.Steps, r.Entered+o.Entered, r.Entries+o.Entries
	r.Faults, r.Network = r.Faults+o.Faults, r.Network+o.Network
	if r.Kinds == nil {
		r.Kinds = map[string]int{}
	}
	for kind, n := range o.Kinds {
		r.Kinds[kind] += n
	}
}

// String tells what there was.
func (r Report) String() string {
	var kinds []string
	for _, kind := range slices.Sorted(maps.Keys(r.Kinds)) {
		kinds = append(kinds, fmt.Sprint(kind, " ", r.Kinds[kind]))
	}
	return fmt.Sprintf("%d shoots, %d steps, %d edits, %d entries, %d network faults, %d faults in all: %s",
		r.Runs, r.Steps, r.Entered, r.Entries, r.Network, r.Faults, strings.Join(kinds, ", "))
}
