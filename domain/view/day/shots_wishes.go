package day

import (
	"slices"

	"fairday/domain/shoot"
	"fairday/domain/view"
)

// bonds are the buttons for what a shot that is still to be made is bound to: its
// light, the shots before it, and the people in it who have to go.
func (m *maker) bonds(shot shoot.Shot) []view.Action {
	out := []view.Action{m.leave(wishesLabel, "shot.wishes", later{Shot: shot.ID})}
	for _, p := range shot.Talent {
		out = append(out, m.stay(shot.Day, p))
	}
	return out
}

const wishesLabel = "Light and order"

// wishes is the form for its light and the shots before it, which are many.
func (m *maker) wishes(shot shoot.Shot) view.Action {
	w := m.State.Floor.Wishes[shot.ID]
	light := view.Field{Key: "light", Label: "Light", Kind: view.KindChoice, Value: string(w.Light), As: view.AsText,
		Options: []view.Option{{Value: string(shoot.AnyLight), Label: "Any", On: false}, {Value: string(shoot.Daylight), Label: "Daylight, from sunrise to sunset", On: false}}}
	window := view.Field{Key: "window", Label: "In which window", Kind: view.KindChoice, Value: w.Window, As: view.AsText,
		Options: []view.Option{{Value: "", Label: "No window", On: false}}, Hint: "For sun, or for no sun, in a window."}
	for _, in := range m.State.Floor.Lights[shot.Day].Windows {
		window.Options = append(window.Options, view.Option{Value: in.Name, Label: in.Name, On: in.Name == w.Window})
	}
	if len(window.Options) > 1 {
		light.Options = append(light.Options, view.Option{Value: string(shoot.WantSun), Label: "Sun in a window", On: false}, view.Option{Value: string(shoot.NoSun), Label: "No sun in a window", On: false})
	}
	for i, o := range light.Options {
		light.Options[i].On = o.Value == light.Value
	}
	after := view.Field{Key: "after", Label: "Only after", Kind: view.KindTicks, As: view.AsList}
	for _, other := range m.Run(m.Day) {
		if other.ID != shot.ID && other.Progress != shoot.Cut && !m.follows(other.ID, shot.ID) {
			after.Options = append(after.Options, view.Option{Value: string(other.ID), Label: "Shot " + other.Number + ", " + other.Title, On: slices.Contains(w.After, other.ID)})
		}
	}
	fallback := view.Field{Key: "fallback", Label: "Minutes of the fallback", Kind: view.KindNumber, Value: view.Itoa(w.Fallback), As: view.AsNumber, Hint: "0 for as many as planned."}
	form := view.Form{Title: "What shot " + shot.Number + " needs", Submit: "Keep", Fields: []view.Field{light}}
	if len(window.Options) > 1 {
		form.Fields = append(form.Fields, window)
	}
	if len(after.Options) > 0 {
		form.Fields = append(form.Fields, after)
	}
	form.Fields = append(form.Fields, fallback)
	return m.Entry(wishesLabel, "shot.wishes", view.Fields{"shot": shot.ID, "light": w.Light, "window": "", "after": append([]shoot.ShotID{}, w.After...),
		"fallback": w.Fallback, "base": w.Version}, form)
}

// follows tells whether a shot is bound to come after another, by itself or by
// those that it follows.
func (m *maker) follows(id, other shoot.ShotID) bool {
	for _, before := range m.State.Floor.Wishes[id].After {
		if before == other || m.follows(before, other) {
			return true
		}
	}
	return false
}

func (m *maker) stay(day shoot.DayID, p shoot.PersonID) view.Action {
	var was any
	value := ""
	if s := m.State.Floor.Stays[shoot.KeyOf(day, p)]; s.At != 0 {
		was, value = s.Clock, s.Clock.String()
	}
	return m.Entry("When "+m.Who(p)+" has to go", "stay.until", view.Fields{"day": day, "person": p, "was": was, "until": nil}, view.Form{
		Title: "When " + m.Who(p) + " has to go", Submit: "Keep",
		Fields: []view.Field{{Key: "until", Label: "Has to go at", Kind: view.KindTime, Value: value, As: view.AsMaybe,
			Hint: "Leave it empty for as long as it takes. " + view.NextMorning}},
	})
}
