package jobtest

import (
	"math"
	"math/rand/v2"

	"weftplot/paths"
)

// CurvedDesign is a design that is all curves, or nearly.
type CurvedDesign struct {
	Name string
	paths.Design
}

// Curved returns twelve designs of curves of many kinds, about 400 mm wide: from long
// smooth lines to many small shapes. All are cubics, as drawing programs write them.
func Curved() []CurvedDesign {
	rng := rand.New(rand.NewPCG(8, 2026))
	of := func(name string, strokes []paths.Stroke) CurvedDesign { return CurvedDesign{name, DesignOf(strokes)} }
	return []CurvedDesign{
		of("spirals", spirals()), of("fronds", fronds()), of("letters", letterOutlines()),
		of("pebbles", each(20, 14, func(p paths.Point) []paths.Stroke { return []paths.Stroke{oval(p, 7, 7, 0)} })),
		of("waves", waves()),
		of("leaves", each(8, 5, func(p paths.Point) []paths.Stroke { return leaf(p, 22, rng.Float64()*6) })),
		of("blobs", each(7, 5, func(p paths.Point) []paths.Stroke { return []paths.Stroke{blob(p, 18, rng)} })),
		of("guilloche", guilloche()),
		of("s-curves", each(16, 10, func(p paths.Point) []paths.Stroke { return []paths.Stroke{sCurve(p, 9)} })),
		of("ellipses", each(6, 4, func(p paths.Point) []paths.Stroke {
			return []paths.Stroke{oval(p, 30, 11, rng.Float64()*3), oval(p, 20, 14, rng.Float64()*3)}
		})),
		of("hearts", each(9, 6, func(p paths.Point) []paths.Stroke { return []paths.Stroke{heart(p, 18)} })),
		of("scallops", scallops()),
	}
}

// along returns a curve that runs through at(from) to at(to), as n cubics with the slopes
// of the curve at their ends.
func along(n int, from, to float64, at func(float64) paths.Point) paths.Stroke {
	step := (to - from) / float64(n)
	slope := func(v float64) paths.Point {
		h := step * 1e-4
		return at(v + h).Sub(at(v - h)).Mul(step / (6 * h))
	}
	var s paths.Stroke
	a := at(from)
	for i := range n {
		v, w := from+float64(i)*step, from+float64(i+1)*step
		b := at(w)
		s = append(s, paths.Cubic{A: a, B: a.Add(slope(v)), C: b.Sub(slope(w)), D: b})
		a = b
	}
	return s
}

// closed returns a stroke of cubics whose joints, and whose ends, are the same to the last
// digit.
func closed(s paths.Stroke) paths.Stroke {
	for i := range s {
		c := s[i].(paths.Cubic)
		c.A = s[(i+len(s)-1)%len(s)].End()
		s[i] = c
	}
	return s
}

// turn returns the unit vector at an angle.
func turn(angle float64) paths.Point { return paths.Point{X: math.Cos(angle), Y: math.Sin(angle)} }

// each draws a shape at the places of a grid over 400 mm.
func each(across, up int, draw func(paths.Point) []paths.Stroke) []paths.Stroke {
	var out []paths.Stroke
	pitch := 400 / float64(across)
	for row := range up {
		for col := range across {
			out = append(out, draw(paths.Point{X: (float64(col) + 0.5) * pitch, Y: (float64(row) + 0.5) * pitch})...)
		}
	}
	return out
}

func spirals() []paths.Stroke {
	var out []paths.Stroke
	for i, c := range []paths.Point{{X: 90, Y: 100}, {X: 290, Y: 110}} {
		out = append(out, along(60, 0.5, 30, func(v float64) paths.Point {
			return c.Add(turn(v + float64(i)).Mul(3.2 * v))
		}))
	}
	return out
}

// fronds are stems whose leaflets are short hooks.
func fronds() []paths.Stroke {
	var out []paths.Stroke
	for i := range 5 {
		root := paths.Point{X: 60 + 70*float64(i), Y: 0}
		stem := func(v float64) paths.Point {
			return root.Add(paths.Point{X: 40 * math.Sin(1.3*v+float64(i)), Y: 180 * v})
		}
		out = append(out, along(8, 0, 1, stem))
		for k := 1; k < 16; k++ {
			foot, side := stem(float64(k)/16), float64(2*(k%2)-1)
			length := 30 * (1 - float64(k)/20)
			out = append(out, along(3, 0, 1, func(v float64) paths.Point {
				return foot.Add(paths.Point{X: side * length * v, Y: length * (0.8*v - 0.6*v*v*v)})
			}))
		}
	}
	return out
}

// letterOutlines are round letters as outlines: bowls, and S shapes of two edges.
func letterOutlines() []paths.Stroke {
	var out []paths.Stroke
	for i := range 6 {
		c := paths.Point{X: 40 + 64*float64(i), Y: 60}
		if i%2 == 0 {
			out = append(out, oval(c, 24, 34, 0), oval(c, 12, 22, 0))
			continue
		}
		s := func(off float64) func(float64) paths.Point {
			return func(v float64) paths.Point {
				return c.Add(paths.Point{X: (22 - off) * math.Sin(2*math.Pi*v), Y: 34*(2*v-1) + off*math.Cos(2*math.Pi*v)})
			}
		}
		outer, inner := along(8, 0, 1, s(0)), along(8, 1, 0, s(8))
		edge := append(append(paths.Stroke{}, outer...), paths.Line{A: outer.End(), B: inner.Start()})
		out = append(out, append(append(edge, inner...), paths.Line{A: inner.End(), B: outer.Start()}))
	}
	return out
}

func waves() []paths.Stroke {
	var out []paths.Stroke
	for i := range 14 {
		out = append(out, along(40, 0, 400, func(x float64) paths.Point {
			return paths.Point{X: x, Y: 14*float64(i) + 9*math.Sin(x/17+0.6*float64(i)) + 3*math.Sin(x/7)}
		}))
	}
	return out
}

// leaf is an outline of two sides with a midrib and bent veins.
func leaf(c paths.Point, size, angle float64) []paths.Stroke {
	u, v := turn(angle), turn(angle+math.Pi/2)
	side := func(sign float64) func(float64) paths.Point {
		return func(t float64) paths.Point {
			return c.Add(u.Mul(size * (2*t - 1))).Add(v.Mul(sign * size * 0.45 * math.Sin(math.Pi*t) * (1.2 - 0.5*t)))
		}
	}
	out := []paths.Stroke{closed(append(along(4, 0, 1, side(1)), along(4, 1, 0, side(-1))...))}
	rib := func(t float64) paths.Point {
		return c.Add(u.Mul(size * (2*t - 1))).Add(v.Mul(0.06 * size * math.Sin(3*t)))
	}
	out = append(out, along(3, 0, 0.9, rib))
	for k := 1; k < 5; k++ {
		t, sign := 0.15*float64(k), float64(2*(k%2)-1)
		foot := rib(t)
		out = append(out, along(1, 0, 1, func(w float64) paths.Point {
			return foot.Add(u.Mul(size * 0.3 * w)).Add(v.Mul(sign * size * 0.25 * w * (1 - 0.3*w)))
		}))
	}
	return out
}

func blob(c paths.Point, size float64, rng *rand.Rand) paths.Stroke {
	var a, p [5]float64
	for k := range a {
		a[k], p[k] = 0.25*rng.Float64()/float64(k+1), 6*rng.Float64()
	}
	return closed(along(16, 0, 2*math.Pi, func(v float64) paths.Point {
		r := 1.0
		for k := range a {
			r += a[k] * math.Sin(float64(k+2)*v+p[k])
		}
		return c.Add(turn(v).Mul(size * r))
	}))
}

// guilloche are closed ways of a point on a rolling wheel.
func guilloche() []paths.Stroke {
	var out []paths.Stroke
	for i, n := range []float64{11, 17, 23} {
		c := paths.Point{X: 70 + 130*float64(i), Y: 70}
		out = append(out, closed(along(int(8*n), 0, 2*math.Pi, func(v float64) paths.Point {
			return c.Add(turn(v).Mul(42)).Add(turn(-n * v).Mul(17))
		})))
	}
	return out
}

func sCurve(c paths.Point, size float64) paths.Stroke {
	return along(2, -1, 1, func(v float64) paths.Point {
		return c.Add(paths.Point{X: size * v, Y: size * math.Sin(math.Pi*v) * 0.8})
	})
}

// oval is an ellipse as four cubics, as drawing programs have it.
func oval(c paths.Point, a, b, angle float64) paths.Stroke {
	u, v := turn(angle), turn(angle+math.Pi/2)
	const kappa = 0.5522847498 // 4/3·(√2 - 1)
	at := func(x, y float64) paths.Point { return c.Add(u.Mul(a * x)).Add(v.Mul(b * y)) }
	quarter := func(x, y float64) paths.Curve {
		return paths.Cubic{A: at(x, y), B: at(x-kappa*y, y+kappa*x), C: at(-y+kappa*x, x+kappa*y), D: at(-y, x)}
	}
	return paths.Stroke{quarter(1, 0), quarter(0, 1), quarter(-1, 0), quarter(0, -1)}
}

func heart(c paths.Point, size float64) paths.Stroke {
	at := func(x, y float64) paths.Point { return c.Add(paths.Point{X: size * x, Y: size * y}) }
	side := func(s float64) []paths.Curve {
		return []paths.Curve{
			paths.Cubic{A: at(0, -0.9), B: at(0.4*s, -0.5), C: at(s, -0.1), D: at(s, 0.35)},
			paths.Cubic{A: at(s, 0.35), B: at(s, 1), C: at(0.15*s, 1), D: at(0, 0.4)},
		}
	}
	out := paths.Stroke(side(1))
	return append(out, paths.Stroke(side(-1)).Reverse()...)
}

// scallops are rows of half waves that meet in points.
func scallops() []paths.Stroke {
	var out []paths.Stroke
	for row := range 12 {
		y, shift := 13*float64(row), 8*float64(row%2)
		var s paths.Stroke
		for k := range 24 {
			a := paths.Point{X: shift + 16*float64(k), Y: y}
			b := a.Add(paths.Point{X: 16})
			s = append(s, paths.Cubic{A: a, B: a.Add(paths.Point{X: 1, Y: 13}), C: b.Add(paths.Point{X: -1, Y: 13}), D: b})
		}
		out = append(out, s)
	}
	return out
}
