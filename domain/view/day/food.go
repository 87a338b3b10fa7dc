package day

import (
	"fairday/domain/catering"
	"fairday/domain/shoot"
	"fairday/domain/view"
)

// hold warns of food that is out, nil where none is.
func (m *maker) hold(food catering.Standing, out bool) *Hold {
	if !out {
		return nil
	}
	w := catering.Holding(food, m.c.Now)
	h := &Hold{Say: w.Text, Source: w.Source, Caution: "The local food code and the caterer decide."}
	if food.Since != 0 {
		h.Say = "Since " + m.Moment(food.Since) + ". " + w.Text
	}
	switch w.State {
	case catering.HoldFine:
		h.Mark = view.Mark{Word: "Within its time", Shape: view.ShapeBowl, Tone: view.ToneGood}
	case catering.HoldSoon:
		h.Mark = view.Mark{Word: "Time runs out", Shape: view.ShapeBowlLine, Tone: view.ToneWarn}
	case catering.HoldOver:
		h.Mark = view.Mark{Word: "Do not serve", Shape: view.ShapeBowlDown, Tone: view.ToneStop}
	default:
		h.Mark = view.Mark{Word: "Not known", Shape: view.ShapeUnknown, Tone: view.ToneWarn}
	}
	return h
}

// foodActions say since when food is out and how it was kept, and that it is no more.
func (m *maker) foodActions(list *[]view.Action, name string, of view.Fields, food catering.Standing, out bool) {
	label, at := "Food set out", ""
	if out {
		label = "How the food was kept"
		if food.Since != 0 {
			at = m.Wall(food.Since)
		}
	}
	held := view.Field{Key: "held", Label: "How it was kept until then", Kind: view.KindChoice, Value: string(food.Held), As: view.AsText}
	for _, h := range append([]catering.Hold{""}, catering.Holds()...) {
		held.Options = append(held.Options, view.Option{Value: string(h), Label: h.Label(), On: h == food.Held})
	}
	air := view.Field{Key: "air", Label: "How warm it is where it stands", Kind: view.KindChoice, Value: string(food.Air), As: view.AsText}
	for _, a := range append([]catering.Air{""}, catering.Airs()...) {
		air.Options = append(air.Options, view.Option{Value: string(a), Label: a.Label(), On: a == food.Air})
	}
	m.Offer(list, m.Entry(label, "food.out", of, view.Form{Title: "Food: " + name, Submit: "Keep",
		Say: "What stood out before and what is fresh are not mixed: another time is for fresh food only.",
		Fields: []view.Field{
			{Key: "at", Label: "Plated or set out at", Kind: view.KindTime, Value: at, As: view.AsInstant, Hint: "Empty is now. " + view.NextMorning},
			held, air}}))
	if out {
		m.Offer(list, m.Action("Food put away", "food.away", of).Confirming("Put away or thrown away? Its time is no longer watched."))
	}
}

// ofMeal and ofHero are whose food it is, as arguments.
func ofMeal(m shoot.MealID) view.Fields { return view.Fields{"meal": m, "hero": ""} }
func ofHero(h shoot.HeroID) view.Fields { return view.Fields{"meal": "", "hero": h} }
