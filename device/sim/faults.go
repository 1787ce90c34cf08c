package sim

import "math"

// faults is a script of what goes wrong on a line. The nil script is none.
type faults struct{}

func (f *faults) down(a arrival) []arrival { return []arrival{a} }
func (f *faults) up(a arrival) []arrival   { return []arrival{a} }
func (f *faults) next() float64            { return math.Inf(1) }
func (f *faults) strike(*Line)             {}
