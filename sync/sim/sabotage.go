package sim

import (
	"bytes"
	"slices"

	"fairday/domain/shoot"
	"fairday/sync/desk"
)

// What is here is broken on purpose, so that a test can see the checks notice.

// ruined is what a bad log stores.
func (f *flaky) ruined(batch []desk.Entry) []desk.Entry {
	batch = slices.Clone(batch)
	last := &batch[len(batch)-1]
	if len(last.Intent.Actor) < 10 { // the server's own
		return batch
	}
	switch f.sabotage {
	case "the log changes a verdict":
		last.Verdict.Result = "unsure"
	case "the log drops what happened":
		last.Events = nil
	case "the log opens a shot":
		last.Events = append(slices.Clone(last.Events), shoot.Event{At: last.Intent.Received, By: last.Intent.Actor, Body: shoot.ShotOpened{Shot: shots[1]}})
	case "the log has an edit twice":
		if f.first == "" {
			f.first = last.Intent.ID
		}
		last.Intent.ID = f.first
	}
	return batch
}

// garbled is what a bad desk says.
func (w *world) garbled(l *link, text []byte) []byte {
	replace := func(old, with string) []byte { return bytes.ReplaceAll(text, []byte(old), []byte(with)) }
	switch w.cfg.sabotage {
	case "the desk talks":
		if bytes.Contains(text, []byte(`"kind":"covers.counted"`)) {
			for _, id := range w.order {
				w.secret(w.links[id], text)
			}
		}
	case "the desk tells other verdicts":
		return replace(`"result":"accepted"`, `"result":"flagged"`)
	case "the desk garbles the floor":
		if bytes.HasPrefix(text, []byte(`{"type":"frame"`)) {
			return replace(`"kind":"in"`, `"kind":"out"`)
		}
	case "the desk garbles another plane":
		if bytes.HasPrefix(text, []byte(`{"type":"frame"`)) {
			return replace(`"kinds":["vegan"]`, `"kinds":["halal"]`)
		}
	case "the desk hands out everything":
		if l.role != "" && bytes.HasPrefix(text, []byte(`{"type":"snapshot"`)) {
			return bytes.Replace(text, []byte(`"state":{`), []byte(`"state":{"money":{"currency":"EUR"},`), 1)
		}
	case "the desk tells of strangers":
		return replace(`"people":["`, `"people":["0191d3f0-0000-7000-8000-00000000ffff","`)
	case "nobody hears who is on line":
		return replace(`{"type":"presence","n":`, `{"type":"presence","n":0,"was":`)
	case "money is heard":
		if w.amount > 1 {
			return append([]byte(" "), text...)
		}
	}
	return text
}
