package main

import (
	"context"
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

// errStopped is what a runner that has ended answers.
var errStopped = fail(codeShuttingDown, nil)

// ear takes what a desk has to say to one connection. It does not wait for the
// other end. False means that it is full and takes nothing but a last message.
type ear interface {
	hear(text []byte, last bool, rest ...*desk.Part) bool
	spare(text []byte) // a message that may be left out
}

// runner is the one goroutine that owns a shoot. While a batch is being written
// to disk, messages collect; together they are the next batch.
type runner struct {
	shoot   string
	open    func() (*desk.Desk, error)
	append  func([]desk.Entry, *desk.Checkpoint) error
	now     func() when.Instant
	log     *slog.Logger
	metrics *metrics
	keep    time.Duration // how long the desk stays when nobody asks for anything; 0 for ever
	beat    time.Duration // between two looks at who is on line

	in   chan func()
	quit chan struct{} // closed to stop
	done chan struct{} // closed when it has stopped

	// What follows belongs to the goroutine.
	desk  *desk.Desk // nil until it is asked for, when it was idle, and after the store failed
	ears  map[desk.ConnID]ear
	edits int      // in the open batch
	bytes int      // of them
	after []func() // to run once the open batch is committed or abandoned
}

// start runs the goroutine. It opens the desk when there is something for it.
func (r *runner) start() {
	r.in, r.quit, r.done = make(chan func(), mostEdits), make(chan struct{}), make(chan struct{})
	r.ears = map[desk.ConnID]ear{}
	go r.run()
}

func (r *runner) run() {
	defer close(r.done)
	idle := time.NewTimer(max(r.keep, time.Millisecond))
	defer idle.Stop()
	beat := time.NewTicker(r.beat)
	defer beat.Stop()
	for {
		select {
		case <-idle.C:
			r.rest()
		case job := <-r.in:
			idle.Reset(max(r.keep, time.Millisecond))
			r.guard(job)
			runtime.Gosched() // who is about to send is in time for this batch
			r.gather()
			r.guard(r.flush)
		case <-beat.C:
			r.guard(r.present)
		case <-r.quit:
			for len(r.in) > 0 {
				r.gather()
				r.guard(r.flush)
			}
			r.everybody(wire.CodeShutdown)
			return
		}
	}
}

// present tells who is on line.
func (r *runner) present() {
	if r.desk != nil && len(r.ears) > 0 {
		r.deliver(r.desk.Beat())
	}
}

// rest lets go of a desk that nobody listens to. It opens again when somebody
// asks.
func (r *runner) rest() {
	if r.keep > 0 && r.desk != nil && len(r.ears) == 0 && !r.desk.Waiting() {
		r.log.Debug("the shoot leaves memory")
		r.drop()
	}
}

func (r *runner) drop() {
	if r.desk != nil {
		r.desk = nil
		r.metrics.loaded.Dec()
	}
}

// gather runs what waits already, up to a full batch.
func (r *runner) gather() {
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
func (r *runner) guard(job func()) {
	defer func() {
		if p := recover(); p != nil {
			r.lose(fmt.Errorf("panic: %v\n%s", p, debug.Stack()))
		}
	}()
	job()
}

// flush makes the open batch durable, then tells everybody.
func (r *runner) flush() {
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
		err := r.append(batch.Entries, batch.Checkpoint)
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
func (r *runner) lose(err error) {
	r.log.Error("the shoot is opened afresh", "cause", err)
	r.everybody(wire.CodeUnavailable)
	r.drop()
}

// ready tells whether there is a desk, opening it when there is none.
func (r *runner) ready() bool {
	if err := r.opened(); err != nil {
		r.log.Error("the shoot cannot be opened", "cause", err)
		return false
	}
	return true
}

func (r *runner) opened() (err error) {
	if r.desk == nil {
		if r.desk, err = r.open(); err == nil {
			r.metrics.loaded.Inc()
		}
	}
	return err
}

// everybody says goodbye to every connection.
func (r *runner) everybody(code wire.Code) {
	for id, e := range r.ears {
		if r.desk != nil {
			r.desk.Leave(id)
		}
		e.hear(byeText(code), true)
		delete(r.ears, id)
	}
}

// byeText is an encoded farewell.
func byeText(code wire.Code) []byte {
	text, err := wire.Encode(wire.ByeOf(code))
	if err != nil { // it holds nothing that could fail
		panic(err)
	}
	return text
}

// deliver hands messages to their ears, in order. Who cannot take any more is
// told so and comes again with a cursor.
func (r *runner) deliver(outs []desk.Out) {
	for i := 0; i < len(outs); i++ {
		out := outs[i]
		e, ok := r.ears[out.To]
		if !ok {
			continue
		}
		r.metrics.said(out)
		if out.Spare {
			e.spare(out.Text)
			continue
		}
		switch heard := e.hear(out.Text, out.Close, out.Rest...); {
		case out.Close:
			delete(r.ears, out.To)
		case !heard:
			outs = append(outs, r.desk.Bye(out.To, wire.CodeSlow)...)
		}
	}
}

// submit hands a job to the goroutine; it waits while too many are in front.
func (r *runner) submit(job func()) error {
	select {
	case <-r.done:
		return errStopped
	default:
	}
	select {
	case r.in <- job:
		return nil
	case <-r.done:
		return errStopped
	}
}

// ask runs a question on the goroutine of a shoot and gives the answer's error.
func (r *runner) ask(ctx context.Context, question func(*shoot.State) error) error {
	said := make(chan error, 1)
	err := r.submit(func() {
		if err := r.opened(); err != nil {
			said <- fmt.Errorf("open shoot %s: %w", r.shoot, err)
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

// attach registers a connection whose session was checked.
func (r *runner) attach(id desk.ConnID, person shoot.PersonID, e ear) error {
	return r.submit(func() {
		if !r.ready() {
			e.hear(byeText(wire.CodeUnavailable), true)
			return
		}
		r.ears[id] = e
		r.desk.Attach(id, person)
	})
}

// receive takes a message of a connection; size is what it was long.
func (r *runner) receive(id desk.ConnID, m wire.Message, size int) error {
	return r.submit(func() { r.take(id, m, size) })
}

func (r *runner) take(id desk.ConnID, m wire.Message, size int) {
	if _, here := r.ears[id]; !here || r.desk == nil {
		return
	}
	if edits, ok := m.(wire.Edits); ok {
		r.edits, r.bytes = r.edits+len(edits.Edits), r.bytes+size
	}
	r.deliver(r.desk.Receive(id, m, r.now()))
}

// bye ends a connection with a code.
func (r *runner) bye(id desk.ConnID, code wire.Code) error {
	return r.submit(func() {
		if r.desk != nil {
			r.deliver(r.desk.Bye(id, code))
		}
	})
}

// leave forgets a connection that is gone.
func (r *runner) leave(id desk.ConnID) error {
	return r.submit(func() { r.forget(id) })
}

func (r *runner) forget(id desk.ConnID) {
	delete(r.ears, id)
	if r.desk != nil {
		r.desk.Leave(id)
	}
}

// visit is a whole connection in one go: it gives everything that the desk has
// to say to a hello and some edits, their verdicts included.
func (r *runner) visit(ctx context.Context, id desk.ConnID, person shoot.PersonID, p wire.Post, size int) ([][]byte, error) {
	said := make(chan [][]byte, 1)
	err := r.submit(func() {
		if !r.ready() {
			said <- [][]byte{byeText(wire.CodeUnavailable)}
			return
		}
		all := &collector{}
		r.ears[id] = all
		r.desk.Attach(id, person)
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

// collector keeps all it hears.
type collector struct{ texts [][]byte }

func (c *collector) hear(text []byte, _ bool, rest ...*desk.Part) bool {
	c.texts = append(c.texts, desk.Out{Text: text, Rest: rest}.Whole())
	return true
}

func (c *collector) spare([]byte) {}

// wait waits for an answer of the goroutine.
func wait[T any](ctx context.Context, r *runner, said chan T) (T, error) {
	var none T
	select {
	case v := <-said:
		return v, nil
	case <-ctx.Done():
		return none, fail(codeFault, ctx.Err())
	case <-r.done:
	}
	select { // it may have answered with its last breath
	case v := <-said:
		return v, nil
	default:
		return none, errStopped
	}
}
