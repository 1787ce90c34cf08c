package hpgl

import (
	"math"

	"weftplot/paths"
	"weftplot/profiles"
)

// frame are the scaling points P1 and P2, in plotter units, and what they are
// when the plotter is switched on.
type frame struct {
	p1, p2 paths.Point
	d1, d2 paths.Point
	given  bool // the program has set them
}

// startFrame returns the scaling points before a program sets them, and what the
// plotter reaches: those of the machine, or, without one, those of the HP 7475A
// on paper of size A (7475A Operation and Interconnection Manual, default
// coordinate values for scaling points; its reach from memory).
func startFrame(m *profiles.Machine) (frame, paths.Rect) {
	f := frame{d1: paths.Point{X: 250, Y: 596}, d2: paths.Point{X: 10250, Y: 7796}}
	area := paths.Rect{Max: paths.Point{X: 10365, Y: 7962}}
	if m != nil {
		reach, to := m.Reach(), m.Units()
		area = paths.RectOf(to.Apply(reach.Min), to.Apply(reach.Max))
		f.d1, f.d2 = to.Apply(reach.Min), to.Apply(reach.Max)
	}
	return f.reset(), area
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
		r.doubt("odd-coordinates", "a coordinate has no partner and is left out")
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
		r.doubt("late-points", "scaling points set after the scaling count from the next SC on")
	}
}

// relativePoints does IR: the scaling points in hundredths of what the plotter
// reaches. With P1 alone P2 keeps its distance: PCL 5, chapter 19 (from memory).
func (r *reader) relativePoints(p []float64) {
	if len(p) < 2 {
		r.scalingPoints(nil)
		return
	}
	area := r.reach()
	part := func(x, y float64) []float64 {
		return []float64{area.Min.X + x/100*area.Width(), area.Min.Y + y/100*area.Height()}
	}
	points := part(p[0], p[1])
	if len(p) >= 4 {
		points = append(points, part(p[2], p[3])...)
	}
	r.noteFrame()
	r.scalingPoints(points)
}

// noteFrame tells that the program leaves to the plotter what nobody knows here.
func (r *reader) noteFrame() {
	r.doubt("frame-unknown", "the drawing is placed in a frame that only the plotter knows; a common one is taken")
}

// reach returns what the plotter reaches, in plotter units as the axes are
// turned.
func (r *reader) reach() paths.Rect {
	back, _ := rotation(r.turns, r.area).Inverse()
	return paths.RectOf(back.Apply(r.area.Min), back.Apply(r.area.Max))
}

// rotate does RO: the axes turn counter-clockwise by quarter turns, and the
// origin moves to the corner that is then the lower left one. Scaling points and
// window keep their numbers; the pen stays where it is: PCL 5, chapter 19 (from
// memory).
func (r *reader) rotate(p []float64) {
	turns := 0
	if len(p) > 0 {
		turns = int(math.Round(p[0]/90)) & 3
		if math.Mod(p[0], 90) != 0 || math.Abs(p[0]) > 270 {
			r.doubt("out-of-range", "RO %g is no quarter turn", p[0])
			return
		}
	}
	if turns == r.turns {
		return
	}
	r.noteFrame()
	back, _ := rotation(turns, r.area).Inverse()
	r.at = back.Apply(rotation(r.turns, r.area).Apply(r.at))
	r.turns = turns
	r.unit = rotation(turns, r.area).Then(r.sized)
}

// rotation maps plotter units as turned to those that are not.
func rotation(turns int, area paths.Rect) paths.Affine {
	across, up := area.Min.X+area.Max.X, area.Min.Y+area.Max.Y
	switch turns {
	case 1:
		return paths.Affine{B: 1, C: -1, E: across}
	case 2:
		return paths.Affine{A: -1, D: -1, E: across, F: up}
	case 3:
		return paths.Affine{B: -1, C: 1, F: up}
	}
	return paths.Identity()
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
		r.doubt("out-of-range", "a scaling without extent is left out")
		return
	}
	if !f.given {
		r.noteFrame()
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

// setWindow does IW: in plotter units on the older plotters, 7470A, 2-9, and in
// those of the parameters in HP-GL/2 (PCL 5, chapter 19, from memory).
func (r *reader) setWindow(p []float64) {
	r.window = paths.EmptyRect()
	if len(p) < 4 {
		return
	}
	r.doubt("window", "a window leaves out what lies outside it; how, depends on the plotter")
	a, b := paths.Point{X: p[0], Y: p[1]}, paths.Point{X: p[2], Y: p[3]}
	if a.X > b.X || a.Y > b.Y {
		r.doubt("reversed-window", "the corners of the window are the wrong way round; some plotters draw nothing then")
	}
	if r.two && r.scaled {
		a, b = r.user.Apply(a), r.user.Apply(b)
	}
	r.window = paths.RectOf(a, b)
}
