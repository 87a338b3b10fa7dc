package pace

// Weight is what one task does to the chance of wrapping by plan, in billionths.
type Weight struct {
	Key             string // "" where none could be left out with any gain
	With, Without   int64
	Wrap50, Leaving int64 // the wrap at 50 percent with it and without it
}

// Heaviest is the task without which the plan would most likely be kept: it takes most
// of the chance. Of two that take as much it is the one that is up first. What is up
// already is not looked at. It fails with any of the codes.
func Heaviest(p Plan) (Weight, error) {
	w, err := p.work()
	if err != nil {
		return Weight{}, err
	}
	order := w.present()
	base, err := exactly(w.day(order), p.By, nil)
	if err != nil {
		return Weight{}, err
	}
	out := Weight{With: base.chance, Without: base.chance, Wrap50: base.wrap50, Leaving: base.wrap50}
	for _, i := range order[w.open:] {
		less, err := exactly(w.day(without(order, i)), p.By, nil)
		if err != nil {
			return Weight{}, err
		}
		if less.chance > out.Without {
			out.Key, out.Without, out.Leaving = p.Tasks[i].Key, less.chance, less.wrap50
		}
	}
	return out, nil
}
