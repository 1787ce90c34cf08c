package timeline

import (
	"sort"

	"weftplot/paths"
	"weftplot/plot/motion"
	"weftplot/plot/program"
)

// Moment is how far a program has got once the machine has done everything before
// a byte of its text.
type Moment struct {
	End     int         // offset of that byte
	Seconds float64     // predicted time from the start, s
	Drawn   float64     // length drawn, mm
	Stroke  int         // strokes begun
	Down    bool        // the pen is down
	Lifts   bool        // the pen is down, and is lifted before anything else is drawn
	Layer   string      // the last remark before it
	At      paths.Point // where the pen is, mm
	Moved   bool        // something moved it there; false while the place is unknown, as at the start
}

// Timeline has a moment for every block of a program. The zero value is that of
// an empty program without the moment of its start.
type Timeline struct {
	// Moments are the start of the program, and the end of each of its blocks.
	Moments []Moment
	Seconds float64 // of the whole program, s
	Drawn   float64 // mm
	Strokes int
}

// New returns the timeline of a program on a machine with those limits.
func New(p program.Program, l motion.Limits) Timeline {
	ends := motion.Time(p.Blocks, l).Ends
	c := Timeline{Moments: make([]Moment, 0, len(p.Blocks)+1)}
	var m Moment
	c.Moments = append(c.Moments, m)
	for i, b := range p.Blocks {
		switch b.Kind {
		case program.PenDown:
			m.Down = true
			m.Stroke++
		case program.PenUp, program.Pen:
			m.Down = false
		case program.Draw:
			if !m.Down {
				m.Down = true
				m.Stroke++
			}
			m.Drawn += b.Curve.Length()
			m.At, m.Moved = b.Curve.End(), true
		case program.Travel:
			m.Down = false
			m.At, m.Moved = b.Curve.End(), true
		case program.Remark:
			m.Layer = b.Text
		}
		m.Lifts = m.Down && liftsNext(p.Blocks[i+1:])
		m.Seconds, m.End = ends[i], max(m.End, b.End)
		c.Moments = append(c.Moments, m)
	}
	c.Seconds, c.Drawn, c.Strokes = m.Seconds, m.Drawn, m.Stroke
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

// Through returns the state at the end of the block that the byte before offset
// belongs to: what the lines before offset have begun is done then.
func (c Timeline) Through(offset int) Moment {
	i := sort.Search(len(c.Moments), func(i int) bool { return c.Moments[i].End >= offset })
	if i == len(c.Moments) {
		return c.At(offset)
	}
	return c.Moments[c.last(c.Moments[i].End)]
}

// last returns the last moment that is no later than offset.
func (c Timeline) last(offset int) int {
	return max(0, sort.Search(len(c.Moments), func(i int) bool { return c.Moments[i].End > offset })-1)
}

// At returns the state when everything before offset is done. Between two
// moments, time and length grow with the bytes.
func (c Timeline) At(offset int) Moment {
	after := func(end int) int {
		return sort.Search(len(c.Moments), func(i int) bool { return c.Moments[i].End > end })
	}
	i := after(offset)
	lo := c.Moments[max(0, i-1)]
	if i == len(c.Moments) || i == 0 || offset <= lo.End {
		return lo
	}
	hi := c.Moments[after(c.Moments[i].End)-1]
	f := float64(offset-lo.End) / float64(hi.End-lo.End)
	lo.Seconds += f * (hi.Seconds - lo.Seconds)
	lo.Drawn += f * (hi.Drawn - lo.Drawn)
	lo.Stroke += int(f * float64(hi.Stroke-lo.Stroke))
	return lo
}
