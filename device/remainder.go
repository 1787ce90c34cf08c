package device

import (
	"weftplot/paths"
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

// begun counts the strokes that begin before block i.
func begun(p program.Program, i int) int {
	return program.Total(program.Program{Blocks: p.Blocks[:i]}).Strokes
}
