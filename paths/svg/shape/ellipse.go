package shape

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/svg/lex"
)

// ArcTo draws the elliptical arc that path data gives by its end (SVG 2,
// Implementation notes, "Elliptical arc parameter conversion" and "Correction
// of out-of-range radii"). degrees is the turn of its axes.
func (p *Pen) ArcTo(rx, ry, degrees float64, large, sweep bool, to paths.Point) {
	if to == p.at {
		p.begun = true
		return
	}
	rx, ry = math.Abs(rx), math.Abs(ry)
	sin, cos := Turn(degrees)
	// The start as seen from the middle of the chord, along the axes, in radii.
	h := p.at.Sub(to).Mul(0.5)
	u := paths.Point{X: (cos*h.X + sin*h.Y) / rx, Y: (cos*h.Y - sin*h.X) / ry}
	l := u.Len()
	if rx == 0 || ry == 0 || l == 0 || !lex.Finite(l) {
		p.LineTo(to)
		return
	}
	var centre paths.Point // the same for the centre
	if l > 1 {
		rx, ry, u = rx*l, ry*l, u.Mul(1/l)
	} else {
		centre = u.Left().Mul(-math.Sqrt((1 - l*l) / (l * l)))
		if large == sweep {
			centre = centre.Mul(-1)
		}
	}
	from := u.Sub(centre)
	end := u.Mul(-1).Sub(centre)
	angle := math.Abs(math.Atan2(from.Cross(end), from.Dot(end)))
	if large {
		angle = 2*math.Pi - angle
	}
	if !sweep {
		angle = -angle
	}
	axes := paths.Affine{A: rx * cos, B: rx * sin, C: -ry * sin, D: ry * cos}
	mid := p.at.Lerp(to, 0.5).Add(axes.Apply(centre))
	axes.E, axes.F = mid.X, mid.Y
	p.along(axes, from.Angle(), angle, to)
}

// Turn returns sine and cosine of an angle in degrees, exact at quarter turns.
func Turn(degrees float64) (sin, cos float64) {
	switch d := math.Mod(math.Mod(degrees, 360)+360, 360); d {
	case 0:
		return 0, 1
	case 90:
		return 1, 0
	case 180:
		return 0, -1
	case 270:
		return -1, 0
	default:
		return math.Sincos(d * math.Pi / 180)
	}
}

// Ellipse draws a whole ellipse, from the end of its x axis towards its y axis.
func (p *Pen) Ellipse(centre paths.Point, rx, ry float64) {
	start := paths.Point{X: centre.X + rx, Y: centre.Y}
	p.MoveTo(start)
	p.along(paths.Affine{A: rx, D: ry, E: centre.X, F: centre.Y}, 0, 2*math.Pi, start)
	p.Close()
}

// along draws a part of the unit circle, from an angle over a sweep, as axes
// maps it to user units; it ends at to. Where that is a circle on the page it
// draws an arc, else cubics within the tolerance, and also cubics for a circle
// so large that its centre is out of range.
func (p *Pen) along(axes paths.Affine, angle, sweep float64, to paths.Point) {
	onPage := axes.Then(p.Map)
	a, b := p.Map.Apply(p.at), p.Map.Apply(to)
	centre := paths.Point{X: onPage.E, Y: onPage.F}
	if onPage.IsSimilarity() && InRange(centre) {
		if onPage.Det() < 0 {
			sweep = -sweep
		}
		p.add(paths.Arc{From: a, To: b, Centre: centre, Sweep: sweep}, to)
		return
	}
	n := pieces(sweep, p.Tolerance/radius(onPage))
	step := sweep / float64(n)
	k := 4. / 3 * math.Tan(step/4)
	for i := range n {
		u, v := onCircle(angle+float64(i)*step), onCircle(angle+float64(i+1)*step)
		c := paths.Cubic{A: a, B: onPage.Apply(u.Add(u.Left().Mul(k))), C: onPage.Apply(v.Sub(v.Left().Mul(k))), D: b}
		if i < n-1 {
			c.D = onPage.Apply(v)
		}
		p.add(c, to)
		a = c.D
	}
}

func onCircle(a float64) paths.Point {
	sin, cos := math.Sincos(a)
	return paths.Point{X: cos, Y: sin}
}

// radius returns an upper bound on the greater half axis of the image of the
// unit circle, at most √2 times too large.
func radius(m paths.Affine) float64 { return math.Hypot(math.Hypot(m.A, m.B), math.Hypot(m.C, m.D)) }

// pieces returns into how many cubics an arc of the unit circle is cut so that
// none strays by more than tol: a cubic over the angle a strays by
// 4/27·sin⁶(a/4)/cos²(a/4) (M. Goldapp, "Approximation of circular arcs by
// cubic polynomials", CAGD 8 (1991) 227-238).
func pieces(sweep, tol float64) int {
	n := max(1, int(math.Ceil(math.Abs(sweep)/(math.Pi/2)-1e-9)))
	for ; n < 256; n++ {
		sin, cos := math.Sincos(math.Abs(sweep) / float64(n) / 4)
		if 4./27*math.Pow(sin, 6)/(cos*cos) <= tol {
			break
		}
	}
	return n
}
