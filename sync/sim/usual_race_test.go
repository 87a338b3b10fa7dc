//go:build race

package sim

// Fewer under the race detector, which has nothing to find in a
// run: everything in one is on one goroutine.
const usualSeeds, usualPairs, usualCrowd = 3, 1, 20
