package hpgl

import (
	"math"

	"weftplot/paths"
	"weftplot/profiles"
)

// frame are the scaling points P1 and P2, in plotter units, and what they are
// when the plotter is switched on.
type frame struct {
	p1, p2     paths.Point
	d1, d2     paths.Point
	given      bool // the program has set them
	fromNobody bool // neither program nor profile tells
}

// startFrame returns the scaling points before a program sets them: the corners
// of the machine's reach, or, without a machine, those of the HP 7475A on paper
// of size A (7475A Operation and Interconnection Manual, default coordinate
// values for scaling points).
func startFrame(m *profiles.Machine) frame {
	f := frame{d1: paths.Point{X: 250, Y: 596}, d2: paths.Point{X: 10250, Y: 7796}, fromNobody: true}
	if m != nil {
		area, to := m.Reach(), m.Units()
		f.d1, f.d2, f.fromNobody = to.Apply(area.Min), to.Apply(area.Max), false
	}
	return f.reset()
}

func (f frame) reset() frame {
	f.p1, f.p2, f.given = f.d1, f.d2, false
	return f
}

// scalingPoints does IP. With P1 alone P2 keeps its distance; equal ones are
// taken a unit apart: 7470A, 2-4; PCL 5, 19-24.
func (r *reader) scalingPoints(p []float64) {
	switch {
	case len(p) == 0:
		r.frame = r.frame.reset()
		return
	case len(p) >= 4:
		r.frame.p1, r.frame.p2 = paths.Point{X: p[0], Y: p[1]}, paths.Point{X: p[2], Y: p[3]}
	case len(p) >= 2:
		to := paths.Point{X: p[0], Y: p[1]}
		r.frame.p1, r.frame.p2 = to, to.Add(r.frame.p2.Sub(r.frame.p1))
	default:
		r.notes.Add("odd-coordinates", r.startLine, "a coordinate has no partner and is left out")
		return
	}
	if r.frame.p1.X == r.frame.p2.X {
		r.frame.p2.X++
	}
	if r.frame.p1.Y == r.frame.p2.Y {
		r.frame.p2.Y++
	}
	r.frame.given = true
	if r.scaled {
		r.notes.Once("late-points", r.startLine, "scaling points set after the scaling count from the next SC on")
	}
}

// scaling does SC: user units for the frame, each axis by itself (type 0), both
// alike and centred (1), or by a factor from P1 (2): 7470A, 2-6; PCL 5, 19-34.
func (r *reader) scaling(p []float64) {
	if len(p) < 4 {
		r.scaled, r.user = false, paths.Identity()
		return
	}
	kind := 0.0
	if len(p) > 4 {
		kind = p[4]
	}
	f := r.frame
	d := f.p2.Sub(f.p1)
	var m paths.Affine
	switch kind {
	case 2:
		m = paths.Translate(paths.Point{X: -p[0], Y: -p[2]}).Then(paths.Scale(p[1], p[3])).Then(paths.Translate(f.p1))
	default:
		w, h := p[1]-p[0], p[3]-p[2]
		sx, sy := d.X/w, d.Y/h
		shift := paths.Point{}
		if kind == 1 {
			s := math.Min(math.Abs(sx), math.Abs(sy))
			left, bottom := share(p, 5), share(p, 6)
			shift = paths.Point{X: (d.X - math.Copysign(s, sx)*w) * left, Y: (d.Y - math.Copysign(s, sy)*h) * bottom}
			sx, sy = math.Copysign(s, sx), math.Copysign(s, sy)
		}
		m = paths.Translate(paths.Point{X: -p[0], Y: -p[2]}).Then(paths.Scale(sx, sy)).Then(paths.Translate(f.p1.Add(shift)))
	}
	if _, ok := m.Inverse(); !ok || math.Abs(m.E) > 1e12 || math.Abs(m.F) > 1e12 {
		r.notes.Add("out-of-range", r.startLine, "a scaling without extent is left out")
		return
	}
	if f.fromNobody && !f.given {
		r.notes.Once("frame-unknown", r.startLine, "the drawing is scaled to a frame that only the plotter knows; a common one is taken")
	}
	r.scaled, r.user = true, m
}

// share returns a percentage of SC, half when it is not given.
func share(p []float64, i int) float64 {
	if len(p) <= i || p[i] < 0 || p[i] > 100 {
		return 0.5
	}
	return p[i] / 100
}

// setWindow does IW, always in plotter units here: 7470A, 2-9.
func (r *reader) setWindow(p []float64) {
	r.window = paths.EmptyRect()
	if len(p) < 4 {
		return
	}
	a, b := paths.Point{X: p[0], Y: p[1]}, paths.Point{X: p[2], Y: p[3]}
	if a.X > b.X || a.Y > b.Y {
		r.notes.Once("reversed-window", r.startLine, "the corners of the window are the wrong way round; some plotters draw nothing then")
	}
	r.window = paths.RectOf(a, b)
}
