package gcode

import (
	"fmt"
	"math"

	"weftplot/plot/program"
)

// maxRepeats bounds how often a cycle is repeated on its line.
const maxRepeats = 1000

// isCycle reports whether one of the drilling cycles, G81 to G89, is in force.
func (r *reader) isCycle() bool { return r.motion > noMotion && r.motion <= 890 }

// cycle does a drilling cycle: over the place with the pen up, down there, and
// up: NISTIR 6556, 3.5.16. With L it is repeated, which matters where distances
// are incremental.
func (r *reader) cycle() error {
	if z, ok := r.w.get('Z'); ok {
		r.hole, r.drills = z*r.unit, true
	}
	if !r.drills {
		return fmt.Errorf("a drilling cycle needs Z")
	}
	times := 1
	if l, ok := r.w.get('L'); ok {
		if l != math.Trunc(l) || l < 1 {
			return fmt.Errorf("a cycle cannot be done %g times", l)
		}
		if !r.incremental {
			l = 1 // the same place again
		}
		if times = int(min(l, maxRepeats)); l > maxRepeats {
			r.notes.Add("repeats", r.line, "a cycle is repeated more than %d times; so many are shown", maxRepeats)
		}
	}
	motion := r.motion
	defer func() { r.motion = motion }()
	r.motion = 0
	for range times {
		r.lift(false)
		to, _ := r.target()
		if c := r.straight(to); c != nil {
			r.along(c)
		}
		r.at = to
		if r.rule.low(r.hole) || r.incremental && r.hole < 0 {
			r.add(program.Block{Kind: program.PenDown})
			r.add(program.Block{Kind: program.PenUp})
		}
		if r.full {
			break
		}
	}
	r.z, r.saidZ = homeHeight, true
	return nil
}
