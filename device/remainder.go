package device

import (
	"weftplot/device/timeline"
	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/plot/language"
	"weftplot/plot/program"
)

// strayed is how far from its route the pen may be found and count as on it, mm.
const strayed = 0.1

// remainder returns what is left of p once its first n strokes are drawn.
func remainder(p program.Program, n int) program.Program { return language.Remainder(p, n) }

// reentry returns what is left of p when the pen stands at a point of it, lifted,
// somewhere between the blocks first and last, and how many strokes were begun
// before; false if the point is not on the route.
func reentry(p program.Program, first, last int, at paths.Point) (program.Program, int, bool) {
	return language.Reenter(p, first, last, at, strayed)
}

// nearHome is how near to its own 0,0 a machine may have restarted, mm: there its
// place proves nothing.
const nearHome = 5

// onTheWay reports whether a machine that says it stands at a point may be where a
// sender left it that did not live to say so: on the way from the end of stroke
// drawn to the beginning of the stroke after begun.
func onTheWay(p program.Program, t timeline.Timeline, drawn, begun int, at paths.Point) bool {
	if at.Len() <= nearHome {
		return false
	}
	for i, b := range p.Blocks {
		if t.Moments[i].Stroke < drawn || t.Moments[i+1].Stroke > begun || b.Curve == nil {
			continue
		}
		if _, off := near.On(b.Curve, at); off <= strayed {
			return true
		}
	}
	return false
}

// begun counts the strokes that begin before block i.
func begun(p program.Program, i int) int {
	return program.Total(program.Program{Blocks: p.Blocks[:i]}).Strokes
}
