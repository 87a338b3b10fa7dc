package day

import (
	"cmp"
	"slices"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/sorting"
	"fairday/domain/view"
	"fairday/domain/when"
)

func (m *maker) overtime() *Overtime {
	out := &Overtime{Day: m.Head()}
	nothing := func(why string) *Overtime {
		out.Say = why
		out.Approvals.Approve = view.Action{Label: "Approve overtime", Name: "overtime.approve"}.Off(why)
		out.Approvals.Ask = view.Action{Label: "Ask for approval", Name: "overtime.ask"}.Off(why)
		return out
	}
	switch {
	case m.State.Money == nil:
		return nothing("What the day costs is for the producer.")
	case m.Day.ID == "":
		return nothing("The plan has no shoot day yet.")
	}
	r, err := m.reckon()
	if err != nil {
		return nothing(view.Sentence("nothing could be reckoned: " + err.Error()))
	}
	out.Known = true
	out.Say = "Meals still to come are reckoned as planned; those under half an hour are eaten on the clock."
	if !r.wrapSaid {
		out.Say = "No call sheet is published, so there is no planned wrap: 18:00 is assumed. " + out.Say
	}
	out.Warning = m.warning(r)
	if r.runsOn() {
		out.Say += " What running on costs has straight time by the hour in it, and the rest of a half day; overtime and approvals have not."
	}
	if slices.ContainsFunc(r.all, func(e engaged) bool { return shoot.LooksBack(e.Terms) }) {
		out.Say += " Days in a row and in a week count from what this shoot knows; a week starts on Monday."
	}
	out.Expected = m.expected(r)
	m.figures(out, r)
	m.rows(out, r)
	m.leftOut(out, r)
	for _, c := range r.curves {
		out.Curves = append(out.Curves, m.curve(c, r, out.Drag.At))
	}
	out.Approvals = m.approvals(r, out.Drag.At)
	return out
}

// figure is what the day comes to if it wraps at an instant.
func (m *maker) figure(r *reckoning, label string, at when.Instant) Figure {
	sum, over := r.at(at), r.over(at)
	out := Figure{Label: label, Clock: m.Clock(at), Amount: sum.text(), Say: away(m.c.Now, at), Tone: view.ToneCalm}
	if out.Amount == "" {
		out.Amount = money.Of(0, m.State.Money.Currency).Format()
	}
	switch {
	case over.zero():
	case at > r.approved || r.beyond(at) != "":
		out.Tone = view.ToneStop
	default:
		out.Tone = view.ToneWarn
	}
	return out
}

// away says how far an instant lies from now.
func away(now, at when.Instant) string {
	switch n := int64(at/when.Minute - now/when.Minute); { // as the clocks read
	case n > 0:
		return "in " + view.Lasts(n)
	case n < 0:
		return view.Lasts(-n) + " ago"
	}
	return "now"
}

func (m *maker) figures(out *Overtime, r *reckoning) {
	label := "Planned wrap"
	if !r.wrapSaid {
		label = "Assumed wrap"
	}
	present := "Now"
	switch {
	case m.c.Now < r.now:
		present = "At the first call"
	case m.c.Now > r.now:
		present = "In the end"
	}
	out.Now, out.Wrap = m.figure(r, present, r.now), m.figure(r, label, r.wrap)
	if m.c.Now == r.now {
		out.Now.Say = "" // the label says it
	}
	names := map[string]string{}
	for _, e := range r.all {
		names[e.Key] = e.Label
	}
	first := when.Instant(0)
	for _, c := range r.curves {
		step, ok := c.Next(r.now)
		if !ok || (first != 0 && first <= step.At) {
			continue
		}
		first = step.At
		var whose []string
		for _, k := range step.Keys {
			whose = append(whose, names[k])
		}
		out.Next = &NextStep{Clock: m.Clock(step.At), In: away(m.c.Now, step.At), Amount: "+" + step.Amount.Format(),
			Whose: view.List(whose), Total: step.Total.Format()}
	}
	out.NextSay = "No further step until " + m.Clock(r.to) + "."
	if out.Next != nil {
		out.NextSay = "A wrap before " + out.Next.Clock + " does not cost it."
	}
	at := m.c.At
	if at == 0 {
		at = r.wrap
	}
	at = min(max(at, r.from), r.to)
	out.Drag = Drag{From: r.from, To: r.to, Step: when.Minute, At: at, Figure: m.figure(r, "If we wrap at", at)}
	sorted := slices.Clone(r.all)
	sorting.By(sorted, func(a, b engaged) int {
		x, y := a.curve.At(at), b.curve.At(at)
		return cmp.Or(cmp.Compare(x.Currency, y.Currency), cmp.Compare(y.Minor, x.Minor))
	})
	for _, e := range sorted {
		if a := e.curve.At(at); !a.IsZero() {
			out.Drag.Whose = append(out.Drag.Whose, view.Line{Label: e.Label, Value: a.Format()})
		}
	}
}

func (m *maker) rows(out *Overtime, r *reckoning) {
	type sums struct{ now, wrap, overNow, overWrap purse }
	byDepartment := map[string]sums{}
	var order []string
	plain := 0 // who is not marked as an employee
	for _, e := range r.all {
		row := OvertimeRow{ID: e.id, Name: e.Label, Job: e.job, Mark: e.mark, Hours: e.said,
			Worked: "not started", Overtime: e.over(r.now).Format(), AtWrap: e.over(r.wrap).Format(), Next: "no further step"}
		if e.Hours.Out != 0 {
			row.Next = "signed out"
		} else if step, ok := e.curve.Next(r.now); ok {
			row.Next = m.Clock(step.At) + ", +" + step.Amount.Format()
		}
		if r.now > max(e.Hours.In, e.Hours.Call) {
			if slip, err := overtime.Pay(e.Terms, e.Hours.Wrapped(r.now)); err == nil { // Expose has reckoned the same hours
				row.Worked = view.Lasts(slip.Worked)
			}
		}
		row.Slips = m.slips(e, r)
		if n := len(row.Slips); n > 0 && r.now > r.wrap {
			row.Floor = m.floorsAt(e, r.now, row.Slips[n-1].Floors)
		} else if n > 0 {
			row.Floor = m.floorsAt(e, r.wrap, row.Slips[0].Floors)
		}
		if e.person && e.employee.Law == "" {
			plain++
		}
		overNow, overWrap := r.after(e, r.now), r.after(e, r.wrap)
		row.Beyond = m.beyondSay(r, overNow, overWrap)
		out.People = append(out.People, row)
		d, known := byDepartment[e.department]
		if !known {
			d = sums{purse{}, purse{}, purse{}, purse{}}
			byDepartment[e.department] = d
			order = append(order, e.department)
		}
		d.now.add(e.over(r.now))
		d.wrap.add(e.over(r.wrap))
		d.overNow.add(overNow)
		d.overWrap.add(overWrap)
	}
	for _, e := range r.off {
		row, err := m.offRow(e)
		if err != nil {
			r.left = append(r.left, LeftOut{e.id, e.Label, view.Sentence(err.Error())})
			continue
		}
		out.People = append(out.People, row)
	}
	out.Floors = notLooked(plain)
	for _, name := range order {
		d := byDepartment[name]
		out.Departments = append(out.Departments, view.Line{Label: name, Value: d.now.text() + " now" + ofIt(d.overNow) + ", " + d.wrap.text() + " at " + m.Clock(r.wrap) + ofIt(d.overWrap)})
	}
}

// leftOut tells what is in no sum.
func (m *maker) leftOut(out *Overtime, r *reckoning) {
	out.Left = r.left
	var words []string
	if n := len(r.left) - r.noTerms; n > 0 {
		words = append(words, view.Itoa(n)+" could not be reckoned")
	}
	if r.noTerms > 0 {
		words = append(words, view.Count(r.noTerms, "person has no terms", "people have no terms"))
	}
	if len(words) > 0 {
		end := "; none of them is in any sum"
		if len(r.left) == 1 {
			end = " and is in no sum"
		}
		out.LeftSay = view.Sentence(view.List(words) + end)
	}
}
