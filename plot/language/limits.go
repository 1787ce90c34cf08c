package language

import (
	"cmp"
	"fmt"
	"slices"

	"weftplot/paths"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// Broken is one limit of a machine that a program breaks.
type Broken struct {
	Code    string      // kebab-case
	Message string      // names the line of the program
	Line    int         // of the program text, from 1; 0 unknown
	At      paths.Point // on the machine, mm
	// Parts are the curves that break it; none where it is broken at a point.
	Parts []paths.Stroke
}

// broken returns the limits of m that p breaks: the worst places outside its
// reach, worst first, the worst place of each other kind, with all the curves that
// break the limit, and what its reader found.
func broken(p program.Program, m profiles.Machine) []Broken {
	out := outside(p, m)
	for _, kind := range []struct {
		kind  program.Kind
		doing string
		limit float64
	}{{program.Draw, "draws", float64(m.Speed.Draw)}, {program.Travel, "travels", float64(m.Speed.Travel)}} {
		if b, ok := tooFast(p, kind.kind, kind.limit); ok {
			b.Message += fmt.Sprintf("; machine %s %s at %.4g mm/s at most", m.Name, kind.doing, kind.limit)
			out = append(out, b)
		}
	}
	if b, ok := restsDown(p); ok {
		out = append(out, b)
	}
	for _, n := range p.Beyond {
		b := Broken{Code: n.Code, Line: n.Line, Message: NoteText(n), Parts: Concerned(p, n)}
		if n.At != nil {
			b.At = *n.At
		}
		out = append(out, b)
	}
	return out
}

// Concerned returns what is drawn on the line that a reader's note is about. Rapid
// moves with the pen down are noted once for all of them, so it returns them all.
func Concerned(p program.Program, n program.Note) []paths.Stroke {
	var out []paths.Stroke
	for _, b := range p.Blocks {
		if b.Kind == program.Draw && (b.Line == n.Line || n.Code == "rapid-draw" && b.Feed == 0) {
			out = append(out, paths.Stroke{b.Curve})
		}
	}
	return out
}

// maxPlaces is how many places outside the reach are reported one by one.
const maxPlaces = 8

// excursion is one stretch outside the reach, from leaving it to coming back.
type excursion struct {
	Broken
	by    float64
	side  string
	inked bool
}

// outside finds where p leaves the reach of m, with a step to spare.
func outside(p program.Program, m profiles.Machine) []Broken {
	reach := m.Reach().Grow(m.Step())
	var all []excursion
	away := false // the last excursion is not over
	for _, b := range p.Blocks {
		if b.Curve == nil {
			continue
		}
		for _, span := range paths.Beyond(b.Curve, reach) {
			if !away || span.From > 0 {
				all = append(all, excursion{})
			}
			all[len(all)-1].add(b, paths.Sub(b.Curve, span.From, span.To), reach)
			away = span.To == 1
		}
		away = away && !reach.Contains(b.Curve.End())
	}
	slices.SortStableFunc(all, func(a, b excursion) int { return cmp.Compare(b.by, a.by) })
	var out []Broken
	for i, e := range all {
		if i == maxPlaces {
			break
		}
		e.Message = fmt.Sprintf("line %d leaves the reach of machine %s by %.1f mm at the %s", e.Line, m.Name, e.by, e.side)
		if !e.inked {
			e.Message += ", pen up"
		}
		if more := len(all) - maxPlaces; i == maxPlaces-1 && more > 0 {
			e.Message += fmt.Sprintf("; so do %d places more, by less", more)
			for _, other := range all[maxPlaces:] {
				e.Parts = append(e.Parts, other.Parts...)
			}
		}
		out = append(out, e.Broken)
	}
	return out
}

// add adds a part of the curve of b to the excursion.
func (e *excursion) add(b program.Block, part paths.Curve, reach paths.Rect) {
	e.Code = "outside-area"
	e.inked = e.inked || b.Kind == program.Draw
	if last := len(e.Parts) - 1; last >= 0 && e.Parts[last].End() == part.Start() {
		e.Parts[last] = append(e.Parts[last], part)
	} else {
		e.Parts = append(e.Parts, paths.Stroke{part})
	}
	if by, side := reach.Excess(part.Bounds()); by > e.by {
		e.by, e.side, e.Line, e.At = by, side, b.Line, farthest(part, reach)
	}
}

// farthest returns the point of the curve that lies farthest outside, to a 32nd of
// its parameter.
func farthest(c paths.Curve, r paths.Rect) paths.Point {
	const steps = 32
	best, by := c.At(0.5), 0.0
	for i := range steps + 1 {
		p := c.At(float64(i) / steps)
		if e, _ := r.Excess(paths.RectOf(p)); e > by {
			best, by = p, e
		}
	}
	return best
}

// tooFast finds the moves of a kind that are asked for faster than the limit.
func tooFast(p program.Program, kind program.Kind, limit float64) (Broken, bool) {
	out := Broken{Code: "feed-too-fast"}
	fastest := 0.0
	for _, b := range p.Blocks {
		if b.Kind != kind || b.Feed <= limit*(1+1e-6) {
			continue
		}
		if last := len(out.Parts) - 1; last >= 0 && out.Parts[last].End() == b.Curve.Start() {
			out.Parts[last] = append(out.Parts[last], b.Curve)
		} else {
			out.Parts = append(out.Parts, paths.Stroke{b.Curve})
		}
		if b.Feed > fastest {
			fastest = b.Feed
			out.Line, out.At = b.Line, b.Curve.Start()
			out.Message = fmt.Sprintf("line %d asks for %.4g mm/s", b.Line, b.Feed)
		}
	}
	return out, fastest > 0
}

// settling is how long, in s, a pen that has come down may take before it moves:
// a servo needs as much.
const settling = 1

// restsDown finds the first place where the pen is left standing on the cloth
// while the program goes on.
func restsDown(p program.Program) (Broken, bool) {
	out := Broken{Code: "pen-rests-down"}
	down := false
	for _, b := range p.Blocks {
		if b.Curve != nil {
			out.At = b.Curve.End()
		}
		switch b.Kind {
		case program.PenDown, program.Draw:
			down = true
		case program.PenUp, program.Travel:
			down = false
		case program.Pause, program.Pen, program.Dwell:
			if down && (b.Kind != program.Dwell || b.Seconds > settling) {
				out.Line = b.Line
				out.Message = fmt.Sprintf("line %d waits with the pen down: ink spreads where a tip rests", b.Line)
				return out, true
			}
		}
	}
	return Broken{}, false
}

// endsDown returns the doubt about a program that leaves the pen on the cloth,
// and false if p does not.
func endsDown(p program.Program) (program.Note, bool) {
	down, line := false, 0
	var at paths.Point
	for _, b := range p.Blocks {
		down, line = b.Kind.Down(down), max(line, b.Line)
		if b.Curve != nil {
			at = b.Curve.End()
		}
	}
	return program.Note{Code: "ends-down", Line: line, At: &at, Message: "the program ends with the pen down: is it whole?"}, down
}

// NoteText returns a note as a line of text: where, the words and the message.
func NoteText(n program.Note) string {
	switch {
	case n.Line == 0:
		return n.Message
	case n.Words == "":
		return fmt.Sprintf("line %d: %s", n.Line, n.Message)
	}
	return fmt.Sprintf("line %d, %q: %s", n.Line, n.Words, n.Message)
}
