// Package samecases makes the properties of a package draw the same cases on every
// run, so that a failing test judges the change and not the draw. A test file
// imports it for that alone:
//
//	import _ "weftplot/paths/samecases"
//
// Other cases are drawn with -rapid.seed=N, or anew each time with -rapid.seed=0;
// .ci/hunt does so for every package. What it finds is a fault like any other, and
// gets a test of its own.
package samecases

import (
	"flag"
	"strconv"

	_ "pgregory.net/rapid" // its flags
)

// Seed is what every run begins with, unless the command line says otherwise.
const Seed = 20261127

func init() {
	if err := flag.Set("rapid.seed", strconv.Itoa(Seed)); err != nil {
		panic("samecases: " + err.Error()) // the flag has another name now
	}
}
