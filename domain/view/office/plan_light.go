package office

import (
	"slices"

	"fairday/domain/shoot"
	"fairday/domain/sun"
	"fairday/domain/view"
)

// planLight is where the day's sun is reckoned for, and the windows.
func (m *maker) planLight() PlanPart {
	out := PlanPart{Key: "light", Title: "Light", Say: "The plan does not say where this day is shot, so the sun is not known."}
	light, known := m.State.Floor.Lights[m.Day.ID]
	if !known {
		out.New = fresh("Say where it is", m.placeForm(light))
		return out
	}
	out.Rows = append(out.Rows, row("place", "The place", m.placeForm(light), sun.FixedText(light.Lat, 6)+", "+sun.FixedText(light.Lon, 6), horizonSay(light)))
	for i, w := range light.Windows {
		one := row("window:"+w.Name, w.Name, m.windowForm(light, i), "faces "+view.Itoa(w.Bearing)+"°", view.Metres(w.Width)+" wide", view.Outside(w))
		if one.Says[2] == "" {
			one.Says[2] = "what stands outside is not known"
		}
		less := light
		less.Windows = slices.Delete(slices.Clone(light.Windows), i, i+1)
		m.Offer(&one.Actions, m.Action("Take away", "light.set", m.lightArgs(less)).Confirming("Take "+w.Name+" off the plan? Shots that want the sun in it, or none, have to be told anew.").Dangerous())
		out.Rows = append(out.Rows, one)
	}
	out.New = fresh("Add a window", m.windowForm(light, len(light.Windows)))
	return out
}

func horizonSay(l shoot.Light) string {
	if len(l.Horizon) == 0 {
		return "what stands round it is not known"
	}
	return "with what stands round it"
}

// lightArgs is the whole of a day's light: a form changes a part of it.
func (m *maker) lightArgs(l shoot.Light) view.Fields {
	return view.Fields{"day": m.Day.ID, "lat": l.Lat, "lon": l.Lon, "horizon": append([]shoot.Arc{}, l.Horizon...),
		"windows": append([]shoot.Window{}, l.Windows...), "base": l.Version}
}

const arcHint = "One a line: two bearings clockwise from true north, and the degrees above the horizon that it reaches, like 110 to 160: 12. A phone's compass and level tell both."

func (m *maker) placeForm(l shoot.Light) view.Action {
	lat, lon := "", ""
	if l.Version > 0 {
		lat, lon = sun.FixedText(l.Lat, 6), sun.FixedText(l.Lon, 6)
	}
	return m.Entry("The place", "light.set", m.lightArgs(l), view.Form{Title: "Where the sun is reckoned for", Submit: "Keep", Fields: []view.Field{
		{Key: "lat", Label: "Latitude in degrees", Kind: view.KindText, Value: lat, Needed: true, As: view.AsDegrees, Hint: "Like 38.722; south is minus."},
		{Key: "lon", Label: "Longitude in degrees", Kind: view.KindText, Value: lon, Needed: true, As: view.AsDegrees, Hint: "Like -9.1393; west is minus."},
		{Key: "horizon", Label: "What stands round the place", Kind: view.KindLines, Value: view.ArcLines(l.Horizon), As: view.AsArcs, Hint: arcHint},
	}})
}

// windowForm is the form of one window; one past the last is a new one.
func (m *maker) windowForm(l shoot.Light, i int) view.Action {
	args, isNew := m.lightArgs(l), i == len(l.Windows)
	w, title := shoot.Window{}, "A new window"
	if isNew {
		args["windows"] = append(args["windows"].([]shoot.Window), w)
	} else {
		w = l.Windows[i]
		title = w.Name
	}
	at := "windows." + view.Itoa(i) + "."
	length := func(key, label string, cm int, needed bool, hint string) view.Field {
		f := view.Field{Key: at + key, Label: label + ", metres", Kind: view.KindText, Needed: needed, As: view.AsMetres, Hint: hint}
		if cm != 0 || needed && !isNew {
			f.Value = sun.FixedText(cm, 2)
		}
		return f
	}
	bearing := view.Field{Key: at + "bearing", Label: "Bearing", Kind: view.KindNumber, Needed: true, As: view.AsNumber, Hint: "Degrees from true north that you face looking straight out: 90 is east."}
	if !isNew {
		bearing.Value = view.Itoa(w.Bearing)
	}
	return m.Entry(title, "light.set", args, view.Form{Title: title, Submit: "Keep", Fields: []view.Field{
		{Key: at + "name", Label: "Name", Kind: view.KindText, Value: w.Name, Needed: true, As: view.AsText, Hint: "North window"},
		bearing,
		length("width", "Width", w.Width, true, ""),
		length("sill", "Sill above the floor", w.Sill, true, "Its lower edge; 0 for a door."),
		length("head", "Head above the floor", w.Head, true, "Its upper edge."),
		length("depth", "The spot, in from the window", w.Depth, true, "Where the sun is wanted, or to be kept off."),
		length("height", "The spot above the floor", w.Height, false, "A table top; empty is the floor."),
		length("wallHigh", "Wall opposite: its top above this floor", w.WallHigh, false, "Empty where there is none."),
		length("wallFar", "Wall opposite: how far away", w.WallFar, false, ""),
		length("reveal", "How thick the wall of the window is", w.Reveal, false, "It cuts off sun from the side and from high up."),
		length("overhang", "Balcony or canopy above: how far it juts out", w.Overhang, false, ""),
		length("above", "Balcony or canopy: its underside above the head", w.Above, false, ""),
		{Key: at + "arcs", Label: "What else stands outside", Kind: view.KindLines, Value: view.ArcLines(w.Arcs), As: view.AsArcs, Hint: arcHint},
	}})
}
