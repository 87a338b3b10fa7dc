package office

import (
	"cmp"
	"slices"

	"fairday/domain/money"
	"fairday/domain/shoot"
	"fairday/domain/sorting"
	"fairday/domain/view"
)

// What a day is paid as, where it is no shoot day, and who was called off.

func (m *maker) planPayDays() PlanPart {
	out := PlanPart{Key: "paydays", Title: "What this day is paid as",
		New: append(fresh("Another kind for one person", m.kindForm("Another kind of day for one person", true, "")), m.offForm())}
	all := m.State.Money.Kinds[shoot.KeyOf(m.Day.ID, "")]
	one := row("kind:", "For everybody", m.kindForm("What "+m.Day.Name+" is paid as", false, cmp.Or(all, shoot.ShootDay)), kindWord(all))
	if n := m.unnamed(all); n > 0 {
		one.Says = append(one.Says, view.Count(n, "person’s terms do", "people’s terms do")+" not name it, so they are paid as on a shoot day")
	}
	out.Rows = append(out.Rows, one)
	for _, p := range m.People() {
		if kind, own := m.State.Money.Kinds[shoot.KeyOf(m.Day.ID, p.ID)]; own {
			r := PlanRow{Key: "kind:" + string(p.ID), Name: p.Name, Says: []string{kindWord(kind)}}
			m.Offer(&r.Actions, m.Action("As everybody", "day.kind", view.Fields{"day": m.Day.ID, "person": p.ID, "kind": ""}))
			out.Rows = append(out.Rows, r)
		}
	}
	for _, who := range m.payable() {
		key := shoot.KeyOf(m.Day.ID, shoot.PersonID(who.Value))
		if off, is := m.State.Money.Off[key]; is {
			out.Rows = append(out.Rows, m.offRow(who, off))
		}
	}
	return out
}

// kindWord names a kind of day.
func kindWord(kind string) string {
	if kind == "" || kind == shoot.ShootDay {
		return "a shoot day"
	}
	return "a " + kind + " day"
}

// unnamed counts who is called on the day and whose terms do not name its kind.
func (m *maker) unnamed(kind string) (n int) {
	sheet, _ := m.State.SheetNow(m.Day.ID)
	for p := range sheet.Calls {
		terms, has := m.State.Money.Terms[p]
		if has && m.State.KindOf(m.Day.ID, p) == kind && kind != "" && !names(terms, kind) {
			n++
		}
	}
	return n
}

func names(t shoot.Terms, kind string) bool {
	for _, o := range t.Other {
		if o.Kind == kind {
			return true
		}
	}
	return false
}

// kindForm asks what kind of day it is, for one person or for everybody.
func (m *maker) kindForm(title string, one bool, kind string) view.Action {
	kinds := shoot.DayKinds()
	for _, p := range sorting.Keys(m.State.Money.Terms) {
		for _, o := range m.State.Money.Terms[p].Other {
			if !slices.Contains(kinds, o.Kind) {
				kinds = append(kinds, o.Kind)
			}
		}
	}
	ask := view.Field{Key: "kind", Label: "Kind of day", Kind: view.KindChoice, Value: kind, Needed: true, As: view.AsText,
		Hint: "What it costs stands in each person’s terms. Where they do not name it, it is paid as a shoot day."}
	for _, k := range kinds {
		ask.Options = append(ask.Options, view.Option{Value: k, Label: view.Capital(k) + " day", On: k == kind})
	}
	form := view.Form{Title: title, Submit: "Keep", Fields: []view.Field{ask}}
	if one {
		who := view.Field{Key: "person", Label: "For", Kind: view.KindChoice, Needed: true, As: view.AsText}
		for _, p := range m.People() {
			who.Options = append(who.Options, view.Option{Value: string(p.ID), Label: p.Name})
		}
		form.Fields = append([]view.Field{who}, ask)
	}
	return m.Entry(title, "day.kind", view.Fields{"day": m.Day.ID}, form)
}

// payable lists who and what is called on the day, or was called off.
func (m *maker) payable() (out []view.Option) {
	sheet, published := m.State.SheetNow(m.Day.ID)
	draft := m.State.Office.Drafts[m.Day.ID]
	for _, p := range m.People() {
		_, called := sheet.Calls[p.ID]
		if !published {
			_, called = draft.Calls[p.ID]
		}
		_, off := m.State.Money.Off[shoot.KeyOf(m.Day.ID, p.ID)]
		if (called || off) && p.Role != shoot.Client {
			out = append(out, view.Option{Value: string(p.ID), Label: p.Name})
		}
	}
	for _, h := range sorting.Values(m.State.Money.Hires, func(a, b shoot.Hire) int { return cmp.Or(cmp.Compare(a.Name, b.Name), cmp.Compare(a.ID, b.ID)) }) {
		if h.Day == m.Day.ID {
			out = append(out, view.Option{Value: string(h.ID), Label: h.Name})
		}
	}
	return out
}

// offForm asks who was called off, how and when they were told.
func (m *maker) offForm() view.Action {
	date, now := m.At.Local(m.c.Now)
	who := view.Field{Key: "who", Label: "Who", Kind: view.KindTicks, As: view.AsList}
	for _, o := range m.payable() {
		if len(m.State.Floor.Hours[shoot.KeyOf(m.Day.ID, shoot.PersonID(o.Value))].Marks) == 0 {
			who.Options = append(who.Options, o)
		}
	}
	a := m.Entry("Call somebody off", "day.off", view.Fields{"day": m.Day.ID}, view.Form{Title: "Call somebody off, " + m.Day.Name, Submit: "Call off",
		Say: "What is due by how short the notice is stands in their terms. They stay on the call sheet until you take them off it and publish.",
		Fields: []view.Field{
			{Key: "how", Label: "The day is", Kind: view.KindChoice, Value: shoot.Cancelled, Needed: true, As: view.AsText,
				Options: []view.Option{{Value: shoot.Cancelled, Label: "Cancelled", On: true}, {Value: shoot.Postponed, Label: "Postponed"}}},
			{Key: "told", Label: "They were told", Kind: view.KindText, Value: string(date) + " " + now.String(), Needed: true, As: view.AsMoment,
				Hint: "Date and time, like " + string(date) + " " + now.String() + "."},
			who,
		}})
	if len(who.Options) == 0 {
		return a.Off("Nobody is called on this day who has not signed in.")
	}
	return a
}

// offRow is somebody who was called off, and what is due.
func (m *maker) offRow(who view.Option, off shoot.Off) PlanRow {
	r := PlanRow{Key: "off:" + who.Value, Name: who.Label, Says: []string{off.How, "told " + m.Moment(off.Told)}}
	if _, stands := m.State.OffOn(m.Day.ID, who.Value); !stands {
		r.Says = append(r.Says, "signed in all the same, so their hours are paid")
	} else {
		r.Says = append(r.Says, m.offDue(who.Value, off))
	}
	sheet, _ := m.State.SheetNow(m.Day.ID)
	if _, called := sheet.Calls[shoot.PersonID(who.Value)]; called {
		r.Says = append(r.Says, "still on the call sheet")
	}
	m.Offer(&r.Actions, m.Action("The day stands for them", "day.off", view.Fields{"day": m.Day.ID, "who": []string{who.Value}, "how": ""}).
		Confirming("Does the day stand for "+who.Label+" again? What was due for calling them off is not due any more."))
	return r
}

// offDue says what somebody who was called off is paid.
func (m *maker) offDue(who string, off shoot.Off) string {
	terms, has := m.State.Money.Terms[shoot.PersonID(who)]
	if h, hire := m.State.Money.Hires[shoot.HireID(who)]; hire {
		terms.Terms, has = h.Terms, true
	}
	if !has {
		return "no terms are written for them"
	}
	if !shoot.OffSaid(terms.Terms, off) {
		return "their terms do not say what is due"
	}
	slip, err := m.State.OffPay(m.Day.ID, who, terms.Terms, off)
	switch {
	case err != nil:
		return "could not be reckoned: " + err.Error()
	case slip.Total == (money.Amount{Currency: slip.Total.Currency}):
		return "nothing is due by their terms"
	}
	return slip.Cost.Format() + " is due"
}
