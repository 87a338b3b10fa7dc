package live

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"runtime"
	"runtime/debug"
	"time"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/desk"
	"fairday/sync/wire"
)

// What shares one disk write at most. The last message may go beyond it.
const (
	mostEdits = 256
	mostBytes = 1 << 20
	mostJobs  = 1024
)

// Subscriber takes what a desk has to say to one connection. It does not wait for the
// other end. False means that it is full and takes nothing but a last message.
type Subscriber interface {
	Enqueue(text []byte, last bool, rest ...*desk.Part) bool
	EnqueueSpare(text []byte) // a message that may be left out
}

// Runner is the one goroutine that owns a shoot. While a batch is being written
// to disk, messages collect; together they are the next batch.
type Runner struct {
	Shoot       string
	open        func() (*desk.Desk, error)
	Append      func([]desk.Entry, *desk.Checkpoint) error
	now         func() when.Instant
	log         *slog.Logger
	metrics     *Metrics
	unloadAfter time.Duration // how long the desk stays when nobody asks for anything; 0 for ever
	beat        time.Duration // between two looks at who is on line

	in   chan func()
	quit chan struct{} // closed to stop
	done chan struct{} // closed when it has stopped

	// What follows belongs to the goroutine.
	desk        *desk.Desk // nil until it is asked for, when it was idle, and after the store failed
	subscribers map[desk.ConnID]Subscriber
	edits       int      // in the open batch
	bytes       int      // of them
	after       []func() // to run once the open batch is committed or abandoned
}

// start runs the goroutine. It opens the desk when there is something for it.
func (r *Runner) start() {
	r.in, r.quit, r.done = make(chan func(), mostEdits), make(chan struct{}), make(chan struct{})
	r.subscribers = map[desk.ConnID]Subscriber{}
	go r.run()
}

func (r *Runner) run() {
	defer close(r.done)
	idle := time.NewTimer(max(r.unloadAfter, time.Millisecond))
	defer idle.Stop()
	beat := time.NewTicker(r.beat)
	defer beat.Stop()
	for {
		select {
		case <-idle.C:
			r.unload()
		case job := <-r.in:
			idle.Reset(max(r.unloadAfter, time.Millisecond))
			r.guard(job)
			runtime.Gosched() // who is about to send is in time for this batch
			r.gather()
			r.guard(r.flush)
		case <-beat.C:
			r.guard(r.Present)
			r.guard(r.Gather)
		case <-r.quit:
			for len(r.in) > 0 {
				r.gather()
				r.guard(r.flush)
			}
			r.farewell(wire.CodeShutdown)
			return
		}
	}
}

// Present tells who is on line.
func (r *Runner) Present() {
	if r.desk != nil && len(r.subscribers) > 0 {
		r.deliver(r.desk.Beat())
	}
}

// Gather tells the kitchen what has become known, where it is time to.
func (r *Runner) Gather() {
	if r.desk == nil {
		return
	}
	if err := r.desk.Gather(r.now()); err != nil {
		r.log.Error("the covers were not counted", "cause", err)
	}
	r.flush()
}

// unload lets go of a desk that nobody listens to. It opens again when somebody
// asks.
func (r *Runner) unload() {
	if r.unloadAfter > 0 && r.desk != nil && len(r.subscribers) == 0 && !r.desk.Waiting() {
		r.log.Debug("the shoot leaves memory")
		r.drop()
	}
}

func (r *Runner) drop() {
	if r.desk != nil {
		r.desk = nil
		r.metrics.loaded.Dec()
	}
}

// gather runs what waits already, up to a full batch.
func (r *Runner) gather() {
	for range mostJobs {
		if r.edits >= mostEdits || r.bytes >= mostBytes {
			return
		}
		select {
		case job := <-r.in:
			r.guard(job)
		default:
			return
		}
	}
}

// guard runs a job. After a panic the desk is opened afresh from the store,
// which has everything that anybody was told.
func (r *Runner) guard(job func()) {
	defer func() {
		if p := recover(); p != nil {
			r.lose(fmt.Errorf("panic: %v\n%s", p, debug.Stack()))
		}
	}()
	job()
}

// flush makes the open batch durable, then tells everybody.
func (r *Runner) flush() {
	after := r.after
	r.edits, r.bytes, r.after = 0, 0, nil
	defer func() {
		for _, f := range after {
			f()
		}
	}()
	if r.desk == nil || !r.desk.Waiting() {
		return
	}
	batch := r.desk.Take()
	for _, f := range batch.Faults {
		r.log.Error("a rule failed", "intent", f.Intent, "panic", f.Panic, "stack", string(f.Stack))
	}
	if len(batch.Entries) > 0 {
		start := time.Now()
		err := r.Append(batch.Entries, batch.Checkpoint)
		r.metrics.committed(batch.Entries, time.Since(start), err)
		if err != nil {
			r.deliver(r.desk.Abandon(batch))
			r.lose(err)
			return
		}
	}
	r.deliver(r.desk.Commit(batch))
}

// lose gives up the desk: what the store holds after a failed write is not
// known until it is read again.
func (r *Runner) lose(err error) {
	r.log.Error("the shoot is opened afresh", "cause", err)
	r.farewell(wire.CodeUnavailable)
	r.drop()
}

// ready tells whether there is a desk, opening it when there is none.
func (r *Runner) ready() bool {
	if err := r.opened(); err != nil {
		r.log.Error("the shoot cannot be opened", "cause", err)
		return false
	}
	return true
}

func (r *Runner) opened() (err error) {
	if r.desk == nil {
		if r.desk, err = r.open(); err == nil {
			r.metrics.loaded.Inc()
		}
	}
	return err
}

// farewell says goodbye to every connection.
func (r *Runner) farewell(code wire.Code) {
	for id, e := range r.subscribers {
		if r.desk != nil {
			r.desk.Leave(id)
		}
		e.Enqueue(ByeText(code), true)
		delete(r.subscribers, id)
	}
}

// ByeText is an encoded farewell.
func ByeText(code wire.Code) []byte {
	text, err := wire.Encode(wire.ByeOf(code))
	if err != nil { // it holds nothing that could fail
		panic(err)
	}
	return text
}

// deliver hands messages to their subscribers, in order. Who cannot take any more is
// told so and comes again with a cursor.
func (r *Runner) deliver(outs []desk.Out) {
	for i := 0; i < len(outs); i++ {
		out := outs[i]
		e, ok := r.subscribers[out.To]
		if !ok {
			continue
		}
		r.metrics.said(out)
		if out.Spare {
			e.EnqueueSpare(out.Text)
			continue
		}
		switch took := e.Enqueue(out.Text, out.Close, out.Rest...); {
		case out.Close:
			delete(r.subscribers, out.To)
		case !took:
			outs = append(outs, r.desk.Bye(out.To, wire.CodeSlow)...)
		}
	}
}

// Enqueue hands a job to the goroutine; it waits while too many are in front.
func (r *Runner) Enqueue(job func()) error {
	select {
	case <-r.done:
		return ErrStopped
	default:
	}
	select {
	case r.in <- job:
		return nil
	case <-r.done:
		return ErrStopped
	}
}

// Ask runs a question on the goroutine of a shoot and gives the answer's error.
func (r *Runner) Ask(ctx context.Context, question func(*shoot.State) error) error {
	said := make(chan error, 1)
	err := r.Enqueue(func() {
		if err := r.opened(); err != nil {
			said <- fmt.Errorf("open shoot %s: %w", r.Shoot, err)
			return
		}
		said <- question(r.desk.State())
	})
	if err != nil {
		return err
	}
	answer, err := wait(ctx, r, said)
	if err != nil {
		return err
	}
	return answer
}

// Attach registers a connection whose session was checked.
func (r *Runner) Attach(id desk.ConnID, p Pass, e Subscriber) error {
	return r.Enqueue(func() {
		if code := r.turnedAway(p); code != "" {
			e.Enqueue(ByeText(code), true)
			return
		}
		r.subscribers[id] = e
		r.desk.Attach(id, p.Person)
	})
}

// turnedAway is the farewell for who cannot be attached, "" where they can. Who
// was just withdrawn may still hand over what they did before: the desk sees to it.
func (r *Runner) turnedAway(p Pass) wire.Code {
	if !r.ready() {
		return wire.CodeUnavailable
	}
	if _, err := admit(r.desk.State(), p); errors.Is(err, ErrChanged) {
		return wire.CodeSignedOut
	}
	return ""
}

// Receive takes a message of a connection; size is what it was long. One with
// edits is taken once those before it are on disk, so that a connection that sends more
// than that waits for itself, and nobody else behind it.
func (r *Runner) Receive(id desk.ConnID, m wire.Message, size int) error {
	if _, ok := m.(wire.Edits); !ok {
		return r.Enqueue(func() { r.take(id, m, size) })
	}
	written := make(chan struct{})
	err := r.Enqueue(func() {
		r.after = append(r.after, func() { close(written) })
		r.take(id, m, size)
	})
	if err != nil {
		return err
	}
	select {
	case <-written:
		return nil
	case <-r.done:
		return ErrStopped
	}
}

func (r *Runner) take(id desk.ConnID, m wire.Message, size int) {
	if _, here := r.subscribers[id]; !here || r.desk == nil {
		return
	}
	if edits, ok := m.(wire.Edits); ok {
		r.edits, r.bytes = r.edits+len(edits.Edits), r.bytes+size
	}
	r.deliver(r.desk.Receive(id, m, r.now()))
}

// Loaded tells whether the shoot is in memory.
func (r *Runner) Loaded(ctx context.Context) (bool, error) {
	said := make(chan bool, 1)
	if err := r.Enqueue(func() { said <- r.desk != nil }); err != nil {
		return false, err
	}
	return wait(ctx, r, said)
}

// bye ends a connection with a code.
func (r *Runner) bye(id desk.ConnID, code wire.Code) error {
	return r.Enqueue(func() {
		if r.desk != nil {
			r.deliver(r.desk.Bye(id, code))
		}
	})
}

// leave forgets a connection that is gone.
func (r *Runner) leave(id desk.ConnID) error {
	return r.Enqueue(func() { r.forget(id) })
}

func (r *Runner) forget(id desk.ConnID) {
	delete(r.subscribers, id)
	if r.desk != nil {
		r.desk.Leave(id)
	}
}

// Visit is a whole connection in one go: it gives everything that the desk has
// to say to a hello and some edits, their verdicts included.
func (r *Runner) Visit(ctx context.Context, id desk.ConnID, by Pass, p wire.Post, size int) ([][]byte, error) {
	said := make(chan [][]byte, 1)
	err := r.Enqueue(func() {
		if code := r.turnedAway(by); code != "" {
			said <- [][]byte{ByeText(code)}
			return
		}
		all := &collector{}
		r.subscribers[id] = all
		r.desk.Attach(id, by.Person)
		r.take(id, p.Hello, 0)
		if len(p.Edits) > 0 {
			r.take(id, wire.Edits{After: p.After, Edits: p.Edits}, size)
		}
		r.after = append(r.after, func() {
			if p.Hello.Protocol >= wire.Hashed {
				r.take(id, wire.Ping{}, 0)
			}
			r.forget(id)
			said <- all.texts
		})
	})
	if err != nil {
		return nil, err
	}
	return wait(ctx, r, said)
}

// collector is a subscriber that keeps all it is told.
type collector struct{ texts [][]byte }

// Enqueue is part of Subscriber.
func (c *collector) Enqueue(text []byte, _ bool, rest ...*desk.Part) bool {
	c.texts = append(c.texts, desk.Out{Text: text, Rest: rest}.Whole())
	return true
}

// EnqueueSpare is part of Subscriber.
func (c *collector) EnqueueSpare([]byte) {}

// wait waits for an answer of the goroutine.
func wait[T any](ctx context.Context, r *Runner, said chan T) (T, error) {
	var none T
	select {
	case v := <-said:
		return v, nil
	case <-ctx.Done():
		return none, ctx.Err()
	case <-r.done:
	}
	select { // it may have answered with its last breath
	case v := <-said:
		return v, nil
	default:
		return none, ErrStopped
	}
}
