package device

import (
	"sort"

	"weftplot/paths"
	"weftplot/plot/motion"
	"weftplot/plot/program"
)

// mark is how far a program has got once the machine has done everything before
// a byte of its text.
type mark struct {
	end     int     // offset of that byte
	seconds float64 // predicted time from the start
	drawn   float64 // mm
	stroke  int     // strokes begun
	down    bool    // whether the pen is down
	ends    bool    // the pen is down, but what comes next lifts it
	layer   string  // the last remark before it
	at      paths.Point
	moved   bool // something moved there; where a job begins is not known
}

// course tells for every byte of a program how far the work has got there.
type course struct {
	marks   []mark
	seconds float64
	drawn   float64
	strokes int
}

func newCourse(p program.Program, l motion.Limits) course {
	ends := motion.Time(p.Blocks, l).Ends
	c := course{marks: make([]mark, 0, len(p.Blocks)+1)}
	var m mark
	c.marks = append(c.marks, m)
	for i, b := range p.Blocks {
		switch b.Kind {
		case program.PenDown:
			m.down = true
			m.stroke++
		case program.PenUp, program.Pen:
			m.down = false
		case program.Draw:
			if !m.down {
				m.down = true
				m.stroke++
			}
			m.drawn += b.Curve.Length()
			m.at, m.moved = b.Curve.End(), true
		case program.Travel:
			m.down = false
			m.at, m.moved = b.Curve.End(), true
		case program.Remark:
			m.layer = b.Text
		}
		m.ends = m.down && liftsNext(p.Blocks[i+1:])
		m.seconds, m.end = ends[i], max(m.end, b.End)
		c.marks = append(c.marks, m)
	}
	c.seconds, c.drawn, c.strokes = m.seconds, m.drawn, m.stroke
	return c
}

// liftsNext reports whether the pen is lifted before anything else is drawn.
func liftsNext(rest []program.Block) bool {
	for _, b := range rest {
		switch b.Kind {
		case program.Draw, program.PenDown:
			return false
		case program.PenUp, program.Travel, program.Pen:
			return true
		}
	}
	return true
}

// at returns how far the work has got when all before offset is done. Inside of
// what the marks divide, time and length go with the bytes.
func (c course) at(offset int) mark {
	after := func(end int) int {
		return sort.Search(len(c.marks), func(i int) bool { return c.marks[i].end > end })
	}
	i := after(offset)
	lo := c.marks[max(0, i-1)]
	if i == len(c.marks) || i == 0 || offset <= lo.end {
		return lo
	}
	hi := c.marks[after(c.marks[i].end)-1]
	f := float64(offset-lo.end) / float64(hi.end-lo.end)
	lo.seconds += f * (hi.seconds - lo.seconds)
	lo.drawn += f * (hi.drawn - lo.drawn)
	lo.stroke += int(f * float64(hi.stroke-lo.stroke))
	return lo
}
