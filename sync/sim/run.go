package sim

import (
	"bytes"
	"errors"
	"fmt"

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

	Drop, Double   int // a message is lost, comes twice
	Cut            int // a connection breaks
	Kill           int // a phone stops, wherever it is with storing
	Restart        int // the server stops between two writes
	Fail           int // the store refuses a write
	Roles, Access  int // somebody gets another role; loses access or has it back
	Restore        int // the server is put back from a backup
	Edits          int // a person enters something
	Money          int // the server records something about money
	WithoutProduce bool
}

// Hostile is the usual run of a seed.
func Hostile(seed uint64) Config {
	return Config{Seed: seed, Steps: 160, Drop: 30, Double: 30, Cut: 25, Kill: 8, Restart: 5, Fail: 15, Roles: 8, Access: 6,
		Restore: int(seed%3) * 2, Edits: 120, Money: 20}
}

// Report is what came of a run.
type Report struct {
	Steps   int // until everything was quiet
	Made    int // edits that were kept on a phone
	Entries int // in the log at the end
	Faults  int // injected
	Wrong   []string
	Heard   map[shoot.PersonID][]string // all that each phone was sent, cursors blanked, where it was asked for
}

// flaky is a log that refuses a write now and then.
type flaky struct {
	*desk.Memory
	refuse bool
}

var errRefused = errors.New("no space left")

func (f *flaky) Append(id string, batch []desk.Entry, cp *desk.Checkpoint) error {
	if f.refuse {
		return errRefused
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
	serverN uint64 // of the server's own edits
	amount  int
	paying  []wire.Edit // about money, not written yet
	names   int

	phones []*phone
	links  map[desk.ConnID]*link
	order  []desk.ConnID
	nextID desk.ConnID
	made   map[shoot.IntentID]*phone
	thrown map[shoot.IntentID]bool // discarded by a person
}

// Run plays one seed.
func Run(cfg Config) Report {
	w := &world{cfg: cfg, chance: Seeded(cfg.Seed), money: Seeded(cfg.Seed ^ 0xabcdef), now: Start + 30*when.Minute, faulty: true,
		links: map[desk.ConnID]*link{}, made: map[shoot.IntentID]*phone{}, thrown: map[shoot.IntentID]bool{}, amount: 1}
	w.report.Heard = map[shoot.PersonID][]string{}
	w.log = &flaky{Memory: desk.NewMemory(func() string { w.names++; return fmt.Sprintf("generation %d", w.names) })}
	w.deskCfg = desk.Config{Log: w.log, Shoot: ShootID, Random: Seeded(cfg.Seed + 1), Every: 40, CatchUp: 25}
	w.openDesk()
	plan := Plan()
	w.must(w.d.Record(Server, plan, Start))
	w.serverN = uint64(len(plan))
	w.flush()
	w.backup = w.log.Copy()
	for i := range People {
		if i > 0 || !cfg.WithoutProduce {
			w.phones = append(w.phones, newPhone(w, i))
		}
	}
	for range cfg.Steps {
		w.step()
	}
	w.heal()
	w.check()
	return w.report
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

// fault tells whether one is injected now.
func (w *world) fault(s *Source, perMille int) bool {
	hit := s.Chance(perMille) && w.faulty
	if hit {
		w.report.Faults++
	}
	return hit
}

// step lets a little time pass.
func (w *world) step() {
	w.report.Steps++
	w.now += when.Instant(100 + w.chance.Below(900))
	for _, p := range w.phones {
		p.step()
	}
	w.carry()
	w.server()
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
	if len(w.paying) > 0 { // into the open batch, again and again until it is written
		w.must(w.d.Record(Server, w.paying, w.now))
	}
	if w.fault(w.chance, c.Roles) {
		w.newRole(1 + w.chance.Below(People-1))
	}
	if w.fault(w.chance, c.Access) {
		n := 1 + w.chance.Below(People-1)
		w.access(n, !w.d.State().Floor.People[Person(n)].Revoked)
	}
	if w.fault(w.chance, c.Restart) {
		w.openDesk() // what was not written is gone
	}
	if w.chance.Chance(5) {
		w.backup = w.log.Copy()
	}
	if w.fault(w.chance, c.Restore) {
		w.flush()
		w.log.Memory = w.backup.Copy()
		w.log.Restored()
		w.openDesk()
		w.serverN = w.lastOfServer()
		w.amount = max(1, w.d.State().Money.Terms[Person(2)].Version)
	}
	if w.chance.Chance(600) || !w.faulty {
		w.log.refuse = w.fault(w.chance, c.Fail)
		w.flush()
		w.log.refuse = false
	}
}

// openDesk starts the server, cutting every connection.
func (w *world) openDesk() {
	d, err := desk.Open(w.deskCfg)
	if err != nil {
		w.wrong("the desk does not open: %v", err)
		return
	}
	w.d = d
	for _, id := range w.order {
		w.links[id].served = false
	}
}

// record has the server make edits of its own, at once.
func (w *world) record(edits ...wire.Edit) {
	w.flush()
	for i := range edits {
		w.serverN++
		edits[i].Seq, edits[i].ID = w.serverN, w.intentID(w.chance)
	}
	w.must(w.d.Record(Server, edits, w.now))
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

func (w *world) flush() {
	if !w.d.Waiting() {
		return
	}
	outs, err := w.d.Flush()
	if err == nil {
		w.serverN, w.paying = w.serverN+uint64(len(w.paying)), nil
	}
	if err != nil && !errors.Is(err, errRefused) {
		w.wrong("the log: %v", err)
	}
	w.post(outs)
}

// heal ends all faults and waits until everything is quiet.
func (w *world) heal() {
	w.faulty = false
	for n := range People {
		if w.d.State().Floor.People[Person(n)].Revoked {
			w.access(n, false)
		}
	}
	const most, least = 400, 50 // a frame that was lost is noticed at the next ping
	for i := range most {
		w.step()
		if i >= least && w.quiet() {
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
