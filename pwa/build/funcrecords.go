package main

import "encoding/binary"

// A function's record holds two lists and three data as a rule, which makes it
// evenSize long: records that start at multiples of a size pack well beside each other.
const (
	evenLists, evenDatas = 2, 3
	evenSize             = funcSize + 4*(evenLists+evenDatas)
)

// evenFuncs writes the records of the functions anew within their place, all of one
// size but those of the few that hold more, without the offsets that say there is none.
func (t *table) evenFuncs(funcs int) {
	var out []byte
	first, end := funcs+t.word(funcs+4), 0
	for i := range t.long(headCount) {
		entry := funcs + 8*i + 4
		at := funcs + t.word(entry)
		if t.bad || at < end { // they follow each other
			t.bad = true
			return
		}
		t.put(entry, first-funcs+len(out))
		var record []byte
		record, end = t.evenFunc(at)
		out = append(out, record...)
	}
	if t.bad || first+len(out) > end || end > len(t.data) {
		t.bad = true
		return
	}
	clear(t.data[first:end])
	copy(t.data[first:], out)
}

// evenFunc gives a record as it is written anew, and where it ends now.
func (t *table) evenFunc(at int) (record []byte, end int) {
	lists, datas := t.word(at+funcLists), t.word(at+funcDatas-3)>>24
	words := func(from, n, none, least int) (kept []byte) {
		last := least
		for i := range max(n, least) {
			v := none
			if i < n {
				v = t.word(from + 4*i)
			}
			if kept = binary.LittleEndian.AppendUint32(kept, uint32(v)); v != none {
				last = max(last, i+1)
			}
			if t.bad {
				return nil
			}
		}
		return kept[:4*last]
	}
	l := words(at+funcSize, lists, 0, evenLists)
	d := words(at+funcSize+4*lists, datas, noData, evenDatas)
	if t.bad {
		return nil, 0
	}
	record = append(append(append(record, t.data[at:at+funcSize]...), l...), d...)
	binary.LittleEndian.PutUint32(record[funcLists:], uint32(len(l)/4))
	record[funcDatas] = byte(len(d) / 4)
	for len(record)%evenSize > 0 {
		record = append(record, 0)
	}
	return record, at + funcSize + 4*(lists+datas)
}
