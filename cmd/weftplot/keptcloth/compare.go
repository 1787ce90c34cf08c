package keptcloth

import (
	"fmt"

	"weftplot/device/sim"
	"weftplot/paths"
)

// Compare says in a sentence how the cloth, with the strokes of this run, agrees
// with what was asked, within tol mm, and whether it does. Lines that were drawn in parts, after a hold
// or a broken line, count as there where the parts cover them.
func (c *Cloth) Compare(want, now []paths.Stroke, tol float64) (words string, same bool) {
	got := append(append([]paths.Stroke{}, c.before...), now...)
	rep := sim.Compare(want, got, tol)
	if rep.Same() {
		return fmt.Sprintf("On the simulated plotter's cloth all %d lines lie as asked, none off by more than %.2f mm.", rep.Wanted, rep.Deviation), true
	}
	// What was held or broke off, and was taken up again, lies there in parts.
	missing, extra := 0, 0
	for _, i := range rep.Missing {
		if !covered(want[i], got, tol) {
			missing++
		}
	}
	for _, i := range rep.Extra {
		if !covered(got[i], want, tol) {
			extra++
		}
	}
	if missing+extra > 0 {
		return fmt.Sprintf("The simulated plotter's cloth differs from what was asked: of %d lines %d are not all there, and %d are there that were not asked.", rep.Wanted, missing, extra), false
	}
	return fmt.Sprintf("On the simulated plotter's cloth all %d lines lie as asked, some in parts, none off by more than %.2f mm.", rep.Wanted, tol), true
}
