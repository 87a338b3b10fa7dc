package main

// view gives what a screen shows at an instant, or null when nothing is known.
func (b *Bridge) view(a []string) any {
	s := b.replica.State()
	if s == nil {
		return nil
	}
	return s
}
