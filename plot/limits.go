package plot

import (
	"fmt"

	"weftplot/paths"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// Broken is one limit of a machine that a program breaks.
type Broken struct {
	Code    string // kebab-case
	Message string
	Line    int // of the program text, from 1; 0 unknown
	At      paths.Point
}

// Warning returns b as a warning of a report.
func (b Broken) Warning() Warning {
	return Warning{Code: b.Code, Message: b.Message, At: &[2]float64{round(b.At.X), round(b.At.Y)}}
}

// BrokenLimits returns the limits of m that p breaks: at most one of each kind,
// the worst, at the place where it is broken.
func BrokenLimits(p program.Program, m profiles.Machine) []Broken {
	var outside, fast, dragged *Broken
	var worst, fastest float64
	reach := m.Reach().Grow(m.Step())
	down, at := false, paths.Point{}
	for _, b := range p.Blocks {
		if b.Curve != nil {
			at = b.Curve.End()
			if by, side := reach.Excess(b.Curve.Bounds()); by > worst {
				worst = by
				outside = &Broken{"outside-area", fmt.Sprintf("line %d leaves the reach of machine %s by %.1f mm at the %s", b.Line, m.Name, by, side), b.Line, farthest(b.Curve, reach)}
			}
		}
		switch b.Kind {
		case program.PenDown:
			down = true
		case program.PenUp:
			down = false
		case program.Draw:
			if limit := float64(m.Speed.Draw); b.Feed > limit*(1+1e-6) && b.Feed > fastest {
				fastest = b.Feed
				fast = &Broken{"feed-too-fast", fmt.Sprintf("line %d asks for %.4g mm/s; machine %s draws at %.4g mm/s at most", b.Line, b.Feed, m.Name, limit), b.Line, b.Curve.Start()}
			}
		case program.Pause, program.Dwell:
			if down && dragged == nil {
				dragged = &Broken{"pen-rests-down", fmt.Sprintf("line %d waits with the pen down: ink spreads where a tip rests", b.Line), b.Line, at}
			}
		}
	}
	if down {
		dragged = &Broken{"pen-rests-down", "the program ends with the pen down: ink spreads where a tip rests", 0, at}
	}
	var out []Broken
	for _, b := range []*Broken{outside, fast, dragged} {
		if b != nil {
			out = append(out, *b)
		}
	}
	return out
}

// farthest returns the end of the curve, or else its middle, that lies farthest
// outside.
func farthest(c paths.Curve, r paths.Rect) paths.Point {
	best, by := c.At(0.5), 0.0
	for _, p := range []paths.Point{c.Start(), c.End()} {
		if e, _ := r.Excess(paths.RectOf(p)); e > by {
			best, by = p, e
		}
	}
	return best
}

func noteText(n program.Note) string {
	if n.Line == 0 {
		return n.Message
	}
	return fmt.Sprintf("line %d: %s", n.Line, n.Message)
}
