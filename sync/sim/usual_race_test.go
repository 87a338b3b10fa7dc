//go:build race

package sim

// usualSeeds is fewer under the race detector, which has nothing to find in a
// run: everything in one is on one goroutine.
const usualSeeds = 4
