package view

import (
	"cmp"
	"maps"
	"slices"

	"fairday/domain/money"
	"fairday/domain/shoot"
)

// upTo writes the amount of an approval, where one was named.
func upTo(a money.Amount) string {
	if a.Currency == "" {
		return ", with no amount named"
	}
	return " and up to " + a.Format()
}

// asks lists what was asked for the day, newest first.
func (m *maker) asks() []shoot.Ask {
	out := slices.SortedFunc(maps.Values(m.s.Asks), func(a, b shoot.Ask) int { return cmp.Or(cmp.Compare(b.At, a.At), cmp.Compare(a.ID, b.ID)) })
	return slices.DeleteFunc(out, func(a shoot.Ask) bool { return a.Day != m.day.ID })
}

// askLines tells the asks of the day that were approved, as approvals.
func (m *maker) askLines() []string {
	var out []string
	for _, a := range m.asks() {
		if a.Reply == shoot.Approved {
			out = append(out, "Until "+m.clock(a.Until)+amountOf(a)+", asked by "+m.who(a.By)+", approved by "+m.who(a.ReplyBy)+" "+m.moment(a.Replied))
		}
	}
	return out
}

// amountOf is the amount that an ask names: ", up to $600.00", or "".
func amountOf(a shoot.Ask) string {
	if a.Amount == nil {
		return ""
	}
	return ", up to " + a.Amount.Format()
}
