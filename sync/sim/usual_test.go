//go:build !race

package sim

// How many seeds are played when nobody says, how many pairs of runs with and
// without money, and how many phones are a crowd.
const usualSeeds, usualPairs, usualCrowd = 60, 4, 200
