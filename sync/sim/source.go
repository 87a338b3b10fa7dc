package sim

// Source is a seeded source of numbers: a counter of full period, 2^64, whose
// every value is stirred (Steele, Lea and Flood, "Fast splittable pseudorandom
// number generators", 2014, constants of its mix64 variant 13; from memory).
// The zero value is the seed 0. It is not for secrets.
type Source struct{ at uint64 }

// Seeded gives the source of a seed.
func Seeded(seed uint64) *Source { return &Source{at: seed} }

// Next gives 64 bits.
func (s *Source) Next() uint64 {
	s.at += 0x9e3779b97f4a7c15
	z := s.at
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// Below gives a number from 0 to n-1. The tiny bias of the remainder does not
// matter here.
func (s *Source) Below(n int) int { return int(s.Next() % uint64(n)) }

// Chance is true in so many of a thousand cases.
func (s *Source) Chance(perMille int) bool { return s.Below(1000) < perMille }

// Read fills p; it never fails.
func (s *Source) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = byte(s.Next())
	}
	return len(p), nil
}
