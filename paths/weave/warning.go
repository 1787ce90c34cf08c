package weave

import "weftplot/paths"

// MostMM bounds coordinates, in mm: no rug and no machine is 100 m long.
const MostMM = 1e5

// Warning is something to look at before drawing.
type Warning struct {
	Code    string      // kebab-case
	Message string      // a sentence for the person at the machine
	At      paths.Point // mm, in the frame of the function that warns
}
