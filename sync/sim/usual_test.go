//go:build !race

package sim

// usualSeeds is how many seeds are played when nobody says.
const usualSeeds = 40
