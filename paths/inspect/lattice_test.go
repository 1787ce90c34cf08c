package inspect

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
)

// holdAll holds every segment against every earlier one and keeps all that is so, by
// definition.
func (p *pairing) holdAll() {
	for i := range p.segs {
		for j := range i {
			if p.segs[i].length == 0 || p.segs[j].length == 0 {
				continue
			}
			b := poseOf(&p.segs[i], &p.segs[j])
			if t, ok := p.doubleOf(&b); ok {
				p.double = append(p.double, t)
			}
			list, n := p.closeTo(&b, p.limits[j])
			for _, t := range list[:n] {
				p.along = p.touching.without(t, p.along)
			}
		}
	}
}

// sheets are of the kinds that are looked at with ever more in one place.
var sheets = map[string]func(t *rapid.T) []paths.Stroke{
	"lattice": func(t *rapid.T) (list []paths.Stroke) {
		turn := paths.Rotate(rapid.SampledFrom([]float64{0, 0, math.Pi / 2, 0.3}).Draw(t, "turn"))
		for range rapid.IntRange(2, 24).Draw(t, "lines") {
			x, to := rapid.Float64Range(0, 60).Draw(t, "x"), rapid.Float64Range(1, 60).Draw(t, "to")
			s := paths.Polyline(at(x, 0), at(x, to))
			if rapid.Bool().Draw(t, "across") {
				s = paths.Polyline(at(0, x), at(to, x))
			}
			list = append(list, s.Transform(turn))
		}
		return list
	},
	"chords": func(t *rapid.T) (list []paths.Stroke) {
		for range rapid.IntRange(2, 24).Draw(t, "lines") {
			a, b := rapid.Float64Range(0, 6.3).Draw(t, "a"), rapid.Float64Range(0, 6.3).Draw(t, "b")
			list = append(list, paths.Polyline(at(60*math.Cos(a), 60*math.Sin(a)), at(60*math.Cos(b), 60*math.Sin(b))))
		}
		return list
	},
	"circles": func(t *rapid.T) (list []paths.Stroke) {
		for range rapid.IntRange(2, 8).Draw(t, "circles") {
			s := circle(rapid.Float64Range(0, 20).Draw(t, "x"), rapid.Float64Range(0, 20).Draw(t, "y"), rapid.Float64Range(2, 12).Draw(t, "r"))
			list = append(list, s)
		}
		return list
	},
	"ellipses": func(t *rapid.T) (list []paths.Stroke) {
		for range rapid.IntRange(2, 6).Draw(t, "ellipses") {
			m := paths.Scale(1, rapid.Float64Range(0.3, 1).Draw(t, "flat")).Then(paths.Rotate(rapid.Float64Range(0, 3).Draw(t, "turn")))
			list = append(list, circle(0, 0, rapid.Float64Range(10, 30).Draw(t, "r")).Transform(m))
		}
		return list
	},
	"spiral": func(t *rapid.T) []paths.Stroke {
		var pts []paths.Point
		step, pitch := rapid.Float64Range(0.2, 0.8).Draw(t, "step"), rapid.Float64Range(0.2, 1).Draw(t, "pitch")
		for k := range 60 {
			sin, cos := math.Sincos(step * float64(k))
			r := pitch * step * float64(k)
			pts = append(pts, at(r*cos, r*sin))
		}
		return []paths.Stroke{paths.Polyline(pts...)}
	},
	"nearly parallel": func(t *rapid.T) (list []paths.Stroke) {
		turn := paths.Rotate(rapid.Float64Range(0, 3.2).Draw(t, "turn"))
		for range rapid.IntRange(2, 20).Draw(t, "lines") {
			y, to := rapid.Float64Range(0, 8).Draw(t, "y"), rapid.Float64Range(-6, 12).Draw(t, "to")
			x := rapid.Float64Range(0, 30).Draw(t, "x")
			list = append(list, paths.Polyline(at(x, y), at(x+rapid.Float64Range(1, 50).Draw(t, "long"), to)).Transform(turn))
		}
		return list
	},
	"polylines": drawPolylines,
}

// What is told of sheets of every kind is what is told when every segment is held against
// every earlier one, by definition: the lengths and places, the least distances, and which
// stroke comes nearest.
func TestFoundAgainstAllPairs(t *testing.T) {
	for name, sheet := range sheets {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				f := newDrawing(sheet(t), monks)
				none := func(int32) bool { return false }
				p, all := f.newPairing(none), f.newPairing(none)
				if !p.all() {
					t.Fatal("so few are not looked at")
				}
				all.holdAll()
				for _, kind := range []func(p *pairing) []Found{(*pairing).doubles, (*pairing).close} {
					got, want := kind(p), kind(all)
					if len(got) != len(want) {
						t.Fatalf("%d places are found, by all pairs %d", len(got), len(want))
					}
					for k, g := range got {
						w := want[k]
						isSame := g.Kind == w.Kind && g.Stroke == w.Stroke && g.Other == w.Other &&
							math.Abs(g.Length-w.Length) < 1e-5 && math.Abs(g.Apart-w.Apart) < 1e-9 && g.At.Dist(w.At) < 1e-5
						if !isSame {
							t.Fatalf("found %+v, by all pairs %+v", g, w)
						}
					}
				}
			})
		})
	}
}

// Of a lattice of long lines each is held against its neighbours only, however many lie
// within reach: most looks are at columns.
func TestLatticeLooks(t *testing.T) {
	const n = 1000
	list := each(n, func(i int) paths.Stroke {
		x := 260 * float64(i/2) / (n / 2)
		if i%2 == 0 {
			return paths.Polyline(at(x, 0), at(x, 260))
		}
		return paths.Polyline(at(0, x), at(260, x))
	})
	f := newDrawing(list, monks)
	f.inspect(list)
	if most := 300 * n; f.work > most {
		t.Errorf("%d looks at %d lines, want no more than %d", f.work, n, most)
	}
}
