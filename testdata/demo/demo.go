// Package demo holds the invented shoot that the demo command runs: two days
// in the made-up town of Nettleharbour, for a maker of lamps and kettles that
// does not exist.
package demo

import _ "embed" // for the plan

// Name is what the plan is called in messages about it.
const Name = "testdata/demo/shoot.yaml"

// File is the plan file. Day 1 is put on a date by whoever loads it.
//
//go:embed shoot.yaml
var File []byte
