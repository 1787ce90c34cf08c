package cloth

import (
	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth/models"
)

// A sheet is the piece of cloth under a rug and its marks, in a frame in which
// fits are well conditioned: places run from -1 to 1 each way, and distances are
// mm along the cloth's own directions, away from a flat map.
type sheet struct {
	lo, hi weave.Place
	width  float64       // mm between lo and hi, across
	height float64       // and along
	base   models.Fitted // the flat map
	turn   paths.Point   // the direction of the threads across on the machine, of length 1
	// back takes a distance in the sheet's directions to one in channels.
	back [2][2]float64
}

// newSheet returns the frame for a rug and its marks, over the flat map base.
func newSheet(marks []Mark, extent weave.Place, base models.Fitted) sheet {
	s := sheet{base: base}
	s.lo, s.hi = markBounds(marks)
	if extent != (weave.Place{}) {
		s.lo = place(min(s.lo.Across, 0), min(s.lo.Along, 0))
		s.hi = place(max(s.hi.Across, extent.Across), max(s.hi.Along, extent.Along))
	}
	a, b := base.Jacobian(s.at(0, 0))
	s.widen(a.Len(), b.Len())
	s.width, s.height = a.Len()*(s.hi.Across-s.lo.Across), b.Len()*(s.hi.Along-s.lo.Along)
	s.turn = a.Unit()
	a, b = s.into(a), s.into(b)
	if det := a.Cross(b); det != 0 {
		s.back = [2][2]float64{{b.Y / det, -b.X / det}, {-a.Y / det, a.X / det}}
	}
	return s
}

// widen makes a sheet of marks on one channel as wide as it is long: two marks along
// an edge are a beginning. The lengths are of a channel each way, in mm.
func (s *sheet) widen(across, along float64) {
	w, h := s.hi.Across-s.lo.Across, s.hi.Along-s.lo.Along
	switch {
	case h == 0 && along > 0:
		s.hi.Along += w * across / along
	case w == 0 && across > 0:
		s.hi.Across += h * along / across
	}
}

// at returns the place at u, v.
func (s sheet) at(u, v float64) weave.Place {
	return place((s.lo.Across+s.hi.Across+u*(s.hi.Across-s.lo.Across))/2, (s.lo.Along+s.hi.Along+v*(s.hi.Along-s.lo.Along))/2)
}

// into returns a distance on the machine in the sheet's directions; out is its
// inverse.
func (s sheet) into(d paths.Point) paths.Point {
	return paths.Point{X: d.Dot(s.turn), Y: s.turn.Cross(d)}
}

func (s sheet) out(d paths.Point) paths.Point {
	return s.turn.Mul(d.X).Add(s.turn.Left().Mul(d.Y))
}

// channels returns a distance in the sheet's directions in channels.
func (s sheet) channels(d paths.Point) float64 { return s.inChannels(d).Len() }

// inChannels returns a distance in the sheet's directions in channels, across and along.
func (s sheet) inChannels(d paths.Point) paths.Point {
	return paths.Point{X: s.back[0][0]*d.X + s.back[0][1]*d.Y, Y: s.back[1][0]*d.X + s.back[1][1]*d.Y}
}

// mostDegree is the highest degree of the shapes in which cloth is taken to bend.
const mostDegree = 5

// A shape is the product of two Legendre polynomials, of degree i across and j
// along, or an inner one. Those of degree 0 and 1 make the affine part of a map, the
// others are how the cloth bends.
type shape struct{ i, j int }

// inner reports whether both degrees are 2 and more. Such a shape vanishes on the
// edges of the sheet: it is the product of P(n) - P(n-2) each way, an internal mode
// (Szabó and Babuška, Finite Element Analysis, Wiley 1991, section 6.2, from
// memory). A bow that is greater half way up is one of these, for a bow is measured
// from the ends of its thread; as a product of P(2) it would move the ends too.
func (s shape) inner() bool { return s.i >= 2 && s.j >= 2 }

// shapes are all of them up to mostDegree in sum, the affine ones first.
var shapes = func() (out []shape) {
	for d := range mostDegree + 1 {
		for j := range d + 1 {
			out = append(out, shape{d - j, j})
		}
	}
	return out
}()

// affineShapes is how many of shapes are affine.
const affineShapes = 3

// legendre sets p to the Legendre polynomials at x (NIST DLMF 18.9.1).
func legendre(x float64, p *[mostDegree + 1]float64) {
	p[0], p[1] = 1, x
	for n := 1; n < mostDegree; n++ {
		p[n+1] = (float64(2*n+1)*x*p[n] - float64(n)*p[n-1]) / float64(n+1)
	}
}

// polynomials sets the Legendre polynomials of a place.
func (s sheet) polynomials(p weave.Place, u, v *[mostDegree + 1]float64) {
	legendre(2*(p.Across-s.lo.Across)/(s.hi.Across-s.lo.Across)-1, u)
	legendre(2*(p.Along-s.lo.Along)/(s.hi.Along-s.lo.Along)-1, v)
}

// values returns every shape at a place.
func (s sheet) values(p weave.Place) []float64 {
	var u, v [mostDegree + 1]float64
	s.polynomials(p, &u, &v)
	out := make([]float64, len(shapes))
	for k, sh := range shapes {
		if sh.inner() {
			out[k] = (u[sh.i] - u[sh.i-2]) * (v[sh.j] - v[sh.j-2])
		} else {
			out[k] = u[sh.i] * v[sh.j]
		}
	}
	return out
}

// products are factors of the products of Legendre polynomials, by degree along and
// across.
type products [mostDegree + 1][mostDegree + 1]float64

// addTo adds c times the shape.
func (s shape) addTo(x *products, c float64) {
	x[s.j][s.i] += c
	if s.inner() {
		x[s.j][s.i-2] -= c
		x[s.j-2][s.i] -= c
		x[s.j-2][s.i-2] += c
	}
}

// bent returns the map that adds shapes, in mm, to the sheet's flat map. Strokes are
// put through it, so it works without memory of its own.
func (s sheet) bent(across, along []float64) func(weave.Place) paths.Point {
	o := s.base.At(weave.Place{})
	a, b := s.base.At(place(1, 0)).Sub(o), s.base.At(place(0, 1)).Sub(o)
	var x, y products
	for k, sh := range shapes {
		sh.addTo(&x, across[k])
		sh.addTo(&y, along[k])
	}
	return func(p weave.Place) paths.Point {
		var u, v [mostDegree + 1]float64
		s.polynomials(p, &u, &v)
		var d paths.Point
		for j := range v {
			var rowX, rowY float64
			for i := range mostDegree + 1 - j {
				rowX += x[j][i] * u[i]
				rowY += y[j][i] * u[i]
			}
			d.X += rowX * v[j]
			d.Y += rowY * v[j]
		}
		d = s.out(d)
		return paths.Point{X: o.X + a.X*p.Across + b.X*p.Along + d.X, Y: o.Y + a.Y*p.Across + b.Y*p.Along + d.Y}
	}
}

// lattice returns (n+1)² places over the sheet.
func (s sheet) lattice(n int) []weave.Place {
	out := make([]weave.Place, 0, (n+1)*(n+1))
	for j := range n + 1 {
		for i := range n + 1 {
			out = append(out, s.at(2*float64(i)/float64(n)-1, 2*float64(j)/float64(n)-1))
		}
	}
	return out
}
