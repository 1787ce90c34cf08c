package proof

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/deviation"
	_ "weftplot/paths/samecases"
)

func drawPoint(lo, hi float64) *rapid.Generator[paths.Point] {
	return rapid.Custom(func(t *rapid.T) paths.Point {
		return pt(rapid.Float64Range(lo, hi).Draw(t, "x"), rapid.Float64Range(lo, hi).Draw(t, "y"))
	})
}

// TestClipped compares with walking along the line.
func TestClipped(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawPoint(-20, 20).Draw(t, "a"), drawPoint(-20, 20).Draw(t, "b")
		r := paths.RectOf(drawPoint(-10, 10).Draw(t, "p"), drawPoint(-10, 10).Draw(t, "q"))
		p, q, ok := clipped(a, b, r)
		const n = 2000
		var near int
		for i := range n + 1 {
			m := a.Lerp(b, float64(i)/n)
			if r.Grow(1e-6).Contains(m) {
				near++
			}
			if !r.Grow(-1e-6).Contains(m) { // merely touching may count either way
				continue
			}
			if !ok {
				t.Fatalf("%v is inside, and nothing is left", m)
			}
			if d := math.Max(m.Sub(p).Dot(m.Sub(q)), 0); d > 1e-9 {
				t.Fatalf("%v is inside, and not between %v and %v", m, p, q)
			}
		}
		if ok && !r.Grow(1e-9).Contains(p.Lerp(q, 0.5)) {
			t.Fatalf("%v to %v is not inside", p, q)
		}
		if step := a.Dist(b) / n; ok && p.Dist(q) > 2*step && near == 0 {
			t.Fatalf("%v to %v is left, and nothing is inside", p, q)
		}
	})
}

// TestDashed checks dashes against the closed formula for the part of a line
// that a pattern covers, and that each piece lies on the line.
func TestDashed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		line := rapid.SliceOfN(drawPoint(0, 100), 2, 6).Draw(t, "line")
		on, off := rapid.Float64Range(0.5, 9).Draw(t, "on"), rapid.Float64Range(0.5, 9).Draw(t, "off")
		var got float64
		for _, p := range dashed([][]paths.Point{line}, []float64{on, off}) {
			got += polylineLength(p)
		}
		whole := polylineLength(line)
		full := math.Floor(whole / (on + off))
		want := full*on + math.Min(on, whole-full*(on+off))
		if math.Abs(got-want) > 1e-6*whole+1e-6 {
			t.Fatalf("%v mm of dashes, want %v", got, want)
		}
	})
}

func TestDashedTooFine(t *testing.T) {
	got := dashed([][]paths.Point{{pt(0, 0), pt(1e6, 0)}}, []float64{1e-3, 1e-3})
	if len(got) != 1 {
		t.Errorf("%d dashes, want the whole line", len(got))
	}
}

// TestOutlinedArea compares the covered area with the closed formula for a
// straight line with cut-off and with round ends.
func TestOutlinedArea(t *testing.T) {
	line := [][]paths.Point{{pt(3, 4), pt(33, 44)}}
	for _, c := range []struct {
		round bool
		want  float64
	}{{false, 50 * 6}, {true, 50*6 + math.Pi*9}} {
		polys := outlined(line, 3, c.round, rect(-100, -100, 200, 200))
		hits, n := 0, 0
		for x := -10.0; x < 50; x += 0.1 {
			for y := -10.0; y < 60; y += 0.1 {
				n++
				if winding(polys, pt(x, y)) != 0 {
					hits++
				}
			}
		}
		got := float64(hits) / float64(n) * 60 * 70
		if math.Abs(got-c.want) > 0.01*c.want {
			t.Errorf("round %v: area %v, want %v", c.round, got, c.want)
		}
	}
}

// winding returns how many times polygons run round p, and fails on a negative
// one: all must have one orientation for the non-zero rule to unite them.
func winding(polys [][]paths.Point, p paths.Point) int {
	total := 0
	for _, poly := range polys {
		w := 0
		for i, a := range poly {
			b := poly[(i+1)%len(poly)]
			side := b.Sub(a).Cross(p.Sub(a))
			if a.Y <= p.Y && b.Y > p.Y && side > 0 {
				w++
			}
			if a.Y > p.Y && b.Y <= p.Y && side < 0 {
				w--
			}
		}
		if w < 0 {
			panic("a polygon runs the other way")
		}
		total += w
	}
	return total
}

// TestArrows checks that every arrowhead lies on its stroke and points along it.
func TestArrows(t *testing.T) {
	for name, s := range testScenes() {
		for _, k := range s.Ink {
			grid := spacing{cell: 1, used: map[[2]int][]paths.Point{}}
			line := k.Stroke.Flatten(0.01)
			whole := polylineLength(line)
			at, dir, ok := arrowSpot(measuredLine(line), 0, whole, whole/2000, &grid)
			if !ok {
				continue
			}
			if d := deviation.Of(paths.Polyline(at), k.Stroke, 0.001); d > 0.02 {
				t.Errorf("%s: an arrowhead is %v mm off its line", name, d)
			}
			best := -1.0
			for _, c := range k.Stroke {
				for i := range 401 {
					u := float64(i) / 400
					if c.At(u).Dist(at) < whole/1000 {
						best = math.Max(best, dir.Dot(c.Tangent(u)))
					}
				}
			}
			if best < 0.9 {
				t.Errorf("%s: an arrowhead at %v points along %v, not as the line does there", name, at, dir)
			}
		}
	}
}
