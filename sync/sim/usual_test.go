//go:build !race

package sim

// How many seeds are played when nobody says, and how many pairs of runs with and
// without money.
const usualSeeds, usualPairs = 40, 5
