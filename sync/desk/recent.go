package desk

import (
	"slices"

	"fairday/domain/shoot"
)

// recent holds the newest entries, encoded, so that a phone that was away for a
// moment is caught up without reading the log.
type recent struct {
	after   uint64  // every entry past this one is in entries
	entries []coded // in order
	floor   int     // those of them that are not about money
	full    bool    // the entry at after is not about money either
}

// add takes what was committed and forgets the oldest, so that keep entries stay
// that are not about money, and those about money in between.
func (r *recent) add(entries []coded, keep int) {
	r.entries = append(r.entries, entries...)
	for _, e := range entries {
		if !e.money {
			r.floor++
		}
	}
	drop := 0
	for ; drop < len(r.entries) && r.floor > keep; drop++ {
		if e := r.entries[drop]; !e.money {
			r.floor--
		}
		r.after, r.full = r.entries[drop].seq, true
	}
	r.entries = slices.Delete(r.entries, 0, drop)
}

// catchUp gives the frames that a connection has missed; false when there are
// too many. What is about money counts for who sees some of it, and for nobody
// else.
func (d *Desk) catchUp(c *conn) ([]Out, bool, error) {
	entries, ok, err := d.missed(c.seq, c.audience)
	if !ok || err != nil || len(entries) == 0 {
		return nil, ok, err
	}
	return d.frames(c, chunks(entries, c.audience), nil), true, nil
}

// missed gives the entries after a sequence number, false when they are more
// than the limit.
func (d *Desk) missed(seq uint64, a shoot.Audience) ([]coded, bool, error) {
	if seq < d.recent.after && d.recent.full {
		return nil, false, nil
	}
	if seq < d.recent.after { // from before this desk was opened
		entries, err := d.stored(seq, a)
		if err != nil || len(entries) > d.cfg.CatchUp {
			return nil, false, err
		}
		out, err := code(entries)
		return out, true, err
	}
	var out []coded
	money := a.Sees(shoot.TopicMoney)
	for _, e := range d.recent.entries {
		if e.seq > seq && (money || !e.money || slices.ContainsFunc(e.topics, a.Sees)) {
			out = append(out, e)
		}
	}
	return out, len(out) <= d.cfg.CatchUp, nil
}

// stored reads what an audience missed from the log, up to one more than the
// limit. Entries about money are read for the producer, and for a person who is
// shown pay of their own; of those, only what they see is kept.
func (d *Desk) stored(seq uint64, a shoot.Audience) ([]Entry, error) {
	most, money := d.cfg.CatchUp+1, a.Sees(shoot.TopicMoney)
	if money || !d.shown.HasPay(a.Person) {
		return d.cfg.Log.Range(d.cfg.Shoot, seq, most, money)
	}
	var out []Entry
	for len(out) < most {
		page, err := d.cfg.Log.Range(d.cfg.Shoot, seq, most, true)
		if err != nil || len(page) == 0 {
			return out, err
		}
		seq = page[len(page)-1].Seq
		for _, e := range page {
			if !e.Money() || slices.ContainsFunc(e.Events, func(ev shoot.Event) bool { return a.Sees(ev.Topic()) }) {
				out = append(out, e)
			}
		}
	}
	return out, nil
}
