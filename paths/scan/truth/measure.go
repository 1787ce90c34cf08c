package truth

import (
	"fmt"
	"math"
	"slices"

	"weftplot/paths"
)

// Score is how far line work that was found is from what was drawn.
type Score struct {
	// Mean, P95 and Worst are of the distances in mm from places on the found
	// lines to the nearest drawn line; places beyond 1 mm are left out.
	Mean, P95, Worst float64
	// Missing is the drawn length with nothing found within 1 mm, and Spurious
	// the found length with nothing drawn within 1 mm, in percent of the drawn
	// length.
	Missing, Spurious float64
	// Strokes and Nodes count what was found, TrueStrokes and TrueNodes what
	// was drawn. An open stroke has one node more than it has curves.
	Strokes, TrueStrokes, Nodes, TrueNodes int
}

// Beyond is the distance in mm beyond which a place counts as missing or
// spurious, not as inexact.
const Beyond = 1.0

// step is how far apart the measured places are, in mm.
const step = 0.1

// Compare measures found line work against the drawn. A dot counts as a single
// place.
func Compare(found, drawn []paths.Stroke) Score {
	toDrawn, toFound := newGrid(drawn), newGrid(found)
	var near []float64
	var spurious, missing, length float64
	for _, p := range places(found) {
		if d := toDrawn.dist(p); d <= Beyond {
			near = append(near, d)
		} else {
			spurious += step
		}
	}
	for _, p := range places(drawn) {
		length += step
		if toFound.dist(p) > Beyond {
			missing += step
		}
	}
	s := Score{
		Missing: 100 * missing / max(length, step), Spurious: 100 * spurious / max(length, step),
		Strokes: len(found), TrueStrokes: len(drawn), Nodes: nodes(found), TrueNodes: nodes(drawn),
	}
	if len(near) > 0 {
		slices.Sort(near)
		for _, d := range near {
			s.Mean += d / float64(len(near))
		}
		s.P95, s.Worst = near[(len(near)-1)*95/100], near[len(near)-1]
	}
	return s
}

// String gives the score in one line.
func (s Score) String() string {
	return fmt.Sprintf("mean %.3f  95%% %.3f  worst %.2f  missing %.2f%%  spurious %.2f%%  pieces %d/%d=%.2f  nodes %d/%d=%.2f",
		s.Mean, s.P95, s.Worst, s.Missing, s.Spurious,
		s.Strokes, s.TrueStrokes, float64(s.Strokes)/float64(max(1, s.TrueStrokes)),
		s.Nodes, s.TrueNodes, float64(s.Nodes)/float64(max(1, s.TrueNodes)))
}

func nodes(strokes []paths.Stroke) int {
	n := 0
	for _, s := range strokes {
		n += len(s)
		if !s.IsClosed() && !s.IsDot() {
			n++
		}
	}
	return n
}

// places returns points along all strokes, about a step apart.
func places(strokes []paths.Stroke) []paths.Point {
	var out []paths.Point
	for _, s := range strokes {
		pts := s.Flatten(0.002)
		if s.IsDot() {
			out = append(out, pts[0])
			continue
		}
		next := step / 2
		for i := 1; i < len(pts); i++ {
			l := pts[i-1].Dist(pts[i])
			for ; next < l; next += step {
				out = append(out, pts[i-1].Lerp(pts[i], next/l))
			}
			next -= l
		}
	}
	return out
}

// grid finds the distance to the nearest line work, up to Beyond.
type grid struct {
	cells map[[2]int][][2]paths.Point
}

func newGrid(strokes []paths.Stroke) grid {
	f := grid{map[[2]int][][2]paths.Point{}}
	for _, s := range strokes {
		pts := s.Flatten(0.002)
		if len(pts) == 1 {
			pts = append(pts, pts[0])
		}
		for i := 1; i < len(pts); i++ {
			f.add(pts[i-1], pts[i])
		}
	}
	return f
}

// add enters a segment, in pieces of a mm, in every cell within Beyond of it.
func (f grid) add(a, b paths.Point) {
	n := max(1, int(math.Ceil(a.Dist(b))))
	for k := range n {
		p, q := a.Lerp(b, float64(k)/float64(n)), a.Lerp(b, float64(k+1)/float64(n))
		box := paths.RectOf(p, q).Grow(Beyond)
		for x := int(math.Floor(box.Min.X)); x <= int(math.Floor(box.Max.X)); x++ {
			for y := int(math.Floor(box.Min.Y)); y <= int(math.Floor(box.Max.Y)); y++ {
				f.cells[[2]int{x, y}] = append(f.cells[[2]int{x, y}], [2]paths.Point{p, q})
			}
		}
	}
}

// dist returns the distance from p to the line work if it is at most Beyond,
// or else infinity.
func (f grid) dist(p paths.Point) float64 {
	best := math.Inf(1)
	for _, s := range f.cells[[2]int{int(math.Floor(p.X)), int(math.Floor(p.Y))}] {
		best = min(best, toSegment(p, s[0], s[1]))
	}
	if best > Beyond {
		return math.Inf(1)
	}
	return best
}

// toSegment returns the distance from p to the segment from a to b.
func toSegment(p, a, b paths.Point) float64 {
	d := b.Sub(a)
	l2 := d.Dot(d)
	if l2 == 0 {
		return p.Dist(a)
	}
	return p.Dist(a.Lerp(b, min(1, max(0, p.Sub(a).Dot(d)/l2))))
}
