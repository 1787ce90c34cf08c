package truth

import (
	_ "embed"
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/paths/svg"
)

const degree = math.Pi / 180

//go:embed harbour.svg
var harbour []byte

// Harbour returns a sheet of small things of a harbour, drawn with lines, arcs
// and cubics: 180 by 120 mm.
func Harbour() Drawing {
	d, err := svg.Read("harbour.svg", harbour, svg.Options{})
	if err != nil {
		panic(fmt.Sprintf("truth: the embedded drawing does not read: %v", err))
	}
	return Drawing{"harbour", d.Page.Width(), d.Page.Height(), d.Strokes()}
}

// Rug returns a sheet of 200 by 280 mm like a rug's plan: long borders, a
// lattice, nested diamonds, rosettes, spirals, lines crossing at flat angles,
// and dots.
func Rug() Drawing {
	s := borders(pt(8, 8), pt(192, 272), 3, 4)
	s = append(s, lattice(pt(24, 24), 66, 50, 8.25, 10)...)
	s = append(s, diamonds(pt(145, 50), 38, 26, 4)...)
	s = append(s, rosette(pt(58, 115), 32, 8)...)
	s = append(s, rosette(pt(145, 115), 30, 6)...)
	s = append(s, spiral(pt(55, 185), 3, 4)...)
	s = append(s, growing(pt(145, 185), 28, 3)...)
	s = append(s, flat(pt(25, 230), 150)...)
	s = append(s, dots(pt(30, 258), 140, 15)...)
	return Drawing{"rug", 200, 280, s}
}

// Corner returns a small sheet, 70 by 50 mm, with one of each of what is hard: a
// border, a crossing, a flat crossing, an acute tip, a circle, a spiral, a
// flowing curve, a corner and dots.
func Corner() Drawing {
	s := borders(pt(4, 4), pt(66, 46), 1, 0)
	s = append(s, lattice(pt(8, 8), 16, 12, 8, 6)...)
	s = append(s, rosette(pt(54, 34), 9, 4)...)
	s = append(s, spiral(pt(16, 34), 2, 2)...)
	s = append(s,
		paths.Polyline(pt(30, 10), pt(46, 14)), paths.Polyline(pt(30, 14), pt(46, 10)),
		paths.Polyline(pt(50, 20), pt(54, 8), pt(58, 20)),
		paths.Stroke{paths.Cubic{A: pt(29, 20), B: pt(31, 30), C: pt(38, 12), D: pt(43, 24)}},
		paths.Polyline(pt(30, 40), pt(40, 40), pt(40, 30)))
	s = append(s, dots(pt(30, 30), 6, 3)...)
	return Drawing{"corner", 70, 50, s}
}

func pt(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

// borders draws n rectangles one inside the other, gap mm apart.
func borders(a, b paths.Point, n int, gap float64) []paths.Stroke {
	var out []paths.Stroke
	for i := range n {
		g := gap * float64(i)
		x0, y0, x1, y1 := a.X+g, a.Y+g, b.X-g, b.Y-g
		out = append(out, paths.Polyline(pt(x0, y0), pt(x1, y0), pt(x1, y1), pt(x0, y1), pt(x0, y0)))
	}
	return out
}

// lattice draws crossing lines over an area of w by h mm, dx and dy apart, with
// free ends.
func lattice(at paths.Point, w, h, dx, dy float64) []paths.Stroke {
	var out []paths.Stroke
	for x := dx / 2; x < w; x += dx {
		out = append(out, paths.Polyline(pt(at.X+x, at.Y), pt(at.X+x, at.Y+h)))
	}
	for y := dy / 2; y < h; y += dy {
		out = append(out, paths.Polyline(pt(at.X, at.Y+y), pt(at.X+w, at.Y+y)))
	}
	return out
}

// diamonds draws n diamonds one inside the other; the corners left and right
// are acute.
func diamonds(at paths.Point, w, h float64, n int) []paths.Stroke {
	var out []paths.Stroke
	for i := range n {
		k := 1 - float64(i)/float64(n)
		x, y := w*k, h*k
		out = append(out, paths.Polyline(pt(at.X+x, at.Y), pt(at.X, at.Y+y), pt(at.X-x, at.Y), pt(at.X, at.Y-y), pt(at.X+x, at.Y)))
	}
	return out
}

// rosette draws a circle with n petals of two arcs each, from a smaller circle
// to a larger one.
func rosette(at paths.Point, r float64, n int) []paths.Stroke {
	out := []paths.Stroke{{paths.Circle(at, r)}, {paths.Circle(at, r*0.25)}}
	for i := range n {
		u := pt(math.Cos(2*math.Pi*float64(i)/float64(n)), math.Sin(2*math.Pi*float64(i)/float64(n)))
		a, b := at.Add(u.Mul(r*0.25)), at.Add(u.Mul(r*0.78))
		out = append(out, paths.Stroke{paths.ArcBulge(a, b, 0.3), paths.ArcBulge(b, a, 0.3)})
	}
	return out
}

// spiral draws turns of half circles, gap mm from turn to turn.
func spiral(at paths.Point, gap float64, turns int) []paths.Stroke {
	var s paths.Stroke
	p := at.Sub(pt(gap/2, 0))
	for i := 1; i < 2*turns; i++ {
		q := at.Add(pt(gap/2*float64(i+1), 0))
		if i%2 == 0 {
			q = at.Sub(pt(gap/2*float64(i+1), 0))
		}
		s = append(s, paths.ArcBulge(p, q, 1))
		p = q
	}
	return []paths.Stroke{s}
}

// growing draws a spiral whose radius grows from turn to turn by cubics, an
// eighth of a turn each.
func growing(at paths.Point, r float64, turns int) []paths.Stroke {
	n := 8 * turns
	place := func(i float64) (p, d paths.Point) {
		a, k := 2*math.Pi*i/8, r*math.Pow(i/float64(n), 1.3)
		dk := r * 1.3 * math.Pow(i/float64(n), 0.3) / float64(n)
		u := pt(math.Cos(a), math.Sin(a))
		return at.Add(u.Mul(k)), u.Mul(dk).Add(u.Left().Mul(k * 2 * math.Pi / 8))
	}
	var s paths.Stroke
	for i := 2; i < n; i++ {
		p, dp := place(float64(i))
		q, dq := place(float64(i + 1))
		s = append(s, paths.Cubic{A: p, B: p.Add(dp.Mul(1. / 3)), C: q.Sub(dq.Mul(1. / 3)), D: q})
	}
	return []paths.Stroke{s}
}

// flat draws pairs of lines that cross at 60, 45, 30, 20, 15 and 10 degrees.
func flat(at paths.Point, w float64) []paths.Stroke {
	var out []paths.Stroke
	angles := []float64{60, 45, 30, 20, 15, 10}
	for i, a := range angles {
		c := at.Add(pt(w*(float64(i)+0.5)/float64(len(angles)), 10))
		u := pt(math.Cos(a/2*degree), math.Sin(a/2*degree)).Mul(w / float64(len(angles)) * 0.45)
		out = append(out, paths.Polyline(c.Sub(u), c.Add(u)), paths.Polyline(c.Add(pt(-u.X, u.Y)), c.Add(pt(u.X, -u.Y))))
	}
	return out
}

// dots draws n dots in a row.
func dots(at paths.Point, w float64, n int) []paths.Stroke {
	var out []paths.Stroke
	for i := range n {
		out = append(out, paths.Polyline(at.Add(pt(w*float64(i)/float64(n-1), 0))))
	}
	return out
}
