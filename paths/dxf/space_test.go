package dxf

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
)

// The arbitrary axis rule of the DXF reference, worked by hand: the x axis is
// Y x N for normals within a 64th of the z axis, else Z x N.
func TestPlanes(t *testing.T) {
	for _, tt := range []struct{ n, x, y vec }{
		{vec{0, 0, 1}, vec{1, 0, 0}, vec{0, 1, 0}},
		{vec{0, 0, 5}, vec{1, 0, 0}, vec{0, 1, 0}},
		{vec{0, 0, -1}, vec{-1, 0, 0}, vec{0, 1, 0}},
		{vec{1, 0, 0}, vec{0, 1, 0}, vec{0, 0, 1}},
		{vec{0, 1, 0}, vec{-1, 0, 0}, vec{0, 0, 1}},
		{vec{0, 3, 4}, vec{-1, 0, 0}, vec{0, -0.8, 0.6}},
		{vec{}, vec{1, 0, 0}, vec{0, 1, 0}},
	} {
		m := planeOf(tt.n)
		if m.x.sub(tt.x).len() > 1e-15 || m.y.sub(tt.y).len() > 1e-15 {
			t.Errorf("normal %v: axes %v and %v, want %v and %v", tt.n, m.x, m.y, tt.x, tt.y)
		}
	}
	// On the two sides of the limit.
	in, out := planeOf(vec{1. / 65, 0, 1}), planeOf(vec{1. / 63, 0, 1})
	if math.Abs(in.x.y) > 1e-12 || math.Abs(out.x.y-1) > 1e-12 {
		t.Errorf("the limit of a 64th does not hold: x axes %v and %v", in.x, out.x)
	}
	rapid.Check(t, func(t *rapid.T) {
		coord := rapid.Float64Range(-1, 1)
		n := vec{coord.Draw(t, "x"), coord.Draw(t, "y"), coord.Draw(t, "z")}
		if n.len() < 1e-3 {
			return
		}
		m := planeOf(n)
		if m.x.cross(m.y).sub(m.z).len() > 1e-12 || m.z.sub(n.mul(1/n.len())).len() > 1e-12 {
			t.Fatalf("axes %v of %v are no right-handed frame", m, n)
		}
	})
}

// A point of a block goes where the rule says: insertion + rotation(scale(point
// - base) + step).
func TestInsertIsItsRule(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string) float64 { return float64(rapid.IntRange(-900, 900).Draw(t, name)) / 100 }
		bx, by, px, py, qx, qy, ix, iy, sx, sy, turn, dx, dy := f("bx"), f("by"), f("px"), f("py"), f("qx"), f("qy"), f("ix"), f("iy"), f("sx"), f("sy"), f("turn"), f("dx"), f("dy")
		bulge := rapid.SampledFrom([]float64{0, 0.3, -1, 4}).Draw(t, "bulge")
		text := withBlocks(fmt.Sprintf("0 BLOCK 2 B 10 %g 20 %g 0 LWPOLYLINE 10 %g 20 %g 42 %g 10 %g 20 %g 0 ENDBLK", bx, by, px, py, bulge, qx, qy),
			fmt.Sprintf("0 INSERT 2 B 10 %g 20 %g 41 %g 42 %g 50 %g 70 2 71 2 44 %g 45 %g", ix, iy, sx, sy, 10*turn, dx, dy))
		d, err := Read("t.dxf", []byte(text), Options{})
		if err != nil || len(d.Strokes()) != 4 {
			if sx != 0 && sy != 0 && (px != qx || py != qy) {
				t.Fatalf("read as %v, %v", d.Strokes(), err)
			}
			return // nothing of any extent
		}
		sin, cos := math.Sincos(10 * turn * math.Pi / 180)
		i := 0
		for row := range 2 {
			for column := range 2 {
				rule := func(p paths.Point) paths.Point {
					x, y := sx*(p.X-bx)+float64(column)*dx, sy*(p.Y-by)+float64(row)*dy
					return paths.Point{X: ix + cos*x - sin*y, Y: iy + sin*x + cos*y}
				}
				a, b := paths.Point{X: px, Y: py}, paths.Point{X: qx, Y: qy}
				s := d.Layers[0].Strokes[i].Stroke
				i++
				if s.Start().Dist(rule(a)) > 1e-9 || s.End().Dist(rule(b)) > 1e-9 {
					t.Fatalf("from %v to %v, want %v and %v", s.Start(), s.End(), rule(a), rule(b))
				}
				flat := s.Flatten(1e-4)
				whole := paths.ArcBulge(a, b, bulge)
				for k := range 9 {
					p := rule(whole.At(float64(k) / 8))
					if off := fromPolyline(p, flat); off > 2e-4 {
						t.Fatalf("%v of the arc is %g off", p, off)
					}
				}
			}
		}
	})
}

// The points of an ellipse by its rule: centre + cos(u) major + sin(u) minor.
func TestEllipseIsItsRule(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, lo, hi int) float64 {
			return float64(rapid.IntRange(lo, hi).Draw(t, name)) / 100
		}
		cx, cy, mx, my := f("cx", -900, 900), f("cy", -900, 900), f("mx", 100, 900), f("my", -900, 900)
		ratio, from, sweep := f("ratio", 1, 100), f("from", -600, 600), f("sweep", 10, 620)
		d, err := Read("t.dxf", []byte(inModel(fmt.Sprintf("0 ELLIPSE 10 %g 20 %g 11 %g 21 %g 40 %g 41 %g 42 %g", cx, cy, mx, my, ratio, from, from+sweep))), Options{})
		if err != nil {
			t.Fatal(err)
		}
		s := d.Strokes()[0]
		at := func(u float64) paths.Point {
			sin, cos := math.Sincos(u)
			return paths.Point{X: cx + cos*mx - sin*ratio*my, Y: cy + cos*my + sin*ratio*mx}
		}
		if s.Start().Dist(at(from)) > 1e-9 || s.End().Dist(at(from+sweep)) > 1e-9 {
			t.Fatalf("from %v to %v, want %v and %v", s.Start(), s.End(), at(from), at(from+sweep))
		}
		flat := s.Flatten(1e-4)
		for k := range 21 {
			if off := fromPolyline(at(from+sweep*float64(k)/20), flat); off > 2e-4 {
				t.Fatalf("the ellipse is %g off", off)
			}
		}
	})
}

// The bulge of an arc is the tangent of a quarter of its angle: what is written
// from an arc reads back as that arc.
func TestBulgeReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, from, sweep := rapid.Float64Range(0.1, 500).Draw(t, "radius"), rapid.Float64Range(0, 6).Draw(t, "from"), rapid.Float64Range(-6.2, 6.2).Draw(t, "sweep")
		if math.Abs(sweep) < 1e-3 {
			return
		}
		want := paths.ArcAround(paths.Point{X: 10, Y: 20}, r, from, sweep)
		text := inModel(fmt.Sprintf("0 LWPOLYLINE 10 %v 20 %v 42 %v 10 %v 20 %v", want.From.X, want.From.Y, math.Tan(sweep/4), want.To.X, want.To.Y))
		d, err := Read("t.dxf", []byte(text), Options{})
		if err != nil {
			t.Fatal(err)
		}
		got, ok := d.Strokes()[0][0].(paths.Arc)
		if !ok || got.Centre.Dist(want.Centre) > 1e-6*r || math.Abs(got.Sweep-sweep) > 1e-9 {
			t.Fatalf("read as %#v, want %#v", d.Strokes()[0][0], want)
		}
	})
}

func (a vec) sub(b vec) vec { return vec{a.x - b.x, a.y - b.y, a.z - b.z} }
