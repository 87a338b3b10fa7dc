//go:build phone

package shoot

func (coversCount) decide(*deciding) *Refusal { return notHere() }

func (d *deciding) recount()                        {}
func (d *deciding) opened(Meal)                     {}
func (d *deciding) countNow(s *State, m Meal) Count { return s.Kitchen.Covers[m.ID] }
