package snap

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"weftplot/paths"
	"weftplot/paths/weave"
)

var diagonalCases = flag.Int("diagonal-cases", 12, "random designs of each kind for the table of diagonals")

// ratios draws designs of slanting lines as rug makers draw them, of a ratio of p over q
// channels, in mm.
var ratios = []struct {
	name string
	draw func(r *rand.Rand, p, q float64, s *sample)
}{
	{"diamonds", func(r *rand.Rand, p, q float64, s *sample) {
		k := 4 + 12*r.Float64()
		s.copies(1+r.IntN(6), 2*k*p+3+20*r.Float64(), 0, diamond(k*p, k*q))
		s.symmetric = true
	}},
	{"concentric diamonds", func(r *rand.Rand, p, q float64, s *sample) {
		k := 20 + 10*r.Float64()
		for range 2 + r.IntN(3) {
			s.strokes = append(s.strokes, diamond(k*p, k*q))
			k *= 0.6 + 0.25*r.Float64()
		}
		s.symmetric = true
	}},
	{"chevrons", func(r *rand.Rand, p, q float64, s *sample) {
		k := 8 + 16*r.Float64()
		for i := range 2 + r.IntN(5) {
			y := float64(i) * (8 + 4*r.Float64())
			s.strokes = append(s.strokes, paths.Polyline(pt(-k*p, y), pt(0, y+k*q), pt(k*p, y)))
		}
		s.symmetric = true
	}},
	{"zigzag", func(r *rand.Rand, p, q float64, s *sample) {
		k, n := 4+8*r.Float64(), 4+2*r.IntN(8)
		var pts []paths.Point
		for i := range n + 1 {
			pts = append(pts, pt(float64(i)*k*p, float64(i%2)*k*q))
		}
		s.strokes = append(s.strokes, paths.Polyline(pts...))
		s.symmetric = true
	}},
	{"trellis", func(r *rand.Rand, p, q float64, s *sample) {
		k, n := 4+6*r.Float64(), 2+r.IntN(3)
		for i := range n + 1 {
			x, y := float64(i)*k*p, float64(i)*k*q
			w, h := float64(n)*k*p, float64(n)*k*q
			s.strokes = append(s.strokes, paths.Polyline(pt(x, -y), pt(x+w, h-y)), paths.Polyline(pt(x, y), pt(x+w, y-h)))
		}
	}},
	{"saltire in a square", func(r *rand.Rand, p, q float64, s *sample) {
		k := 10 + 20*r.Float64()
		s.strokes = append(s.strokes, box(0, 0, k*p, k*q), paths.Polyline(pt(0, 0), pt(k*p, k*q)), paths.Polyline(pt(0, k*q), pt(k*p, 0)))
		s.symmetric = true
	}},
	{"gables", func(r *rand.Rand, p, q float64, s *sample) {
		k, h := 6+10*r.Float64(), 10+20*r.Float64()
		s.copies(1+r.IntN(4), 2*k*p+5+20*r.Float64(), 0, paths.Polyline(pt(0, h), pt(0, 0), pt(2*k*p, 0), pt(2*k*p, h), pt(k*p, h+k*q), pt(0, h), pt(2*k*p, h)))
		s.symmetric = true
	}},
}

func diamond(a, b float64) paths.Stroke {
	return paths.Polyline(pt(-a, 0), pt(0, -b), pt(a, 0), pt(0, b), pt(-a, 0))
}

// Every diagonal that is told of lies on crossings, hole by hole, what was symmetric is,
// equal figures are equal, nothing crosses what it did not; and what is left is said.
// The table says how many designs are wholly through holes.
func TestDiagonals(t *testing.T) {
	for _, kind := range ratios {
		for _, bordered := range []bool{false, true} {
			whole, lopsided, unequal := 0, 0, 0
			r := rand.New(rand.NewPCG(uint64(*rhythmSeed), uint64(len(kind.name))))
			for n := range *diagonalCases {
				g := weave.Grid{Across: 25.4 / (10 + 6*r.Float64())}
				g.Along = g.Across * (0.97 + 0.06*r.Float64())
				ratio := [][2]float64{{1, 1}, {1, 1}, {1, 2}, {2, 1}}[r.IntN(4)]
				var s sample
				kind.draw(r, ratio[0]*g.Across, ratio[1]*g.Across, &s)
				s.layAsDrawn(r, g, bordered)
				s.opt.Diagonals = true
				out, err := Strokes(s.strokes, g, s.opt)
				if err != nil {
					t.Fatal(err)
				}
				at := fmt.Sprintf("%s %d, bordered %v", kind.name, n, bordered)
				checkDiagonals(t, at, s.strokes, out, g)
				v := s.look(out, g)
				left := slices.ContainsFunc(out.Warnings, func(w weave.Warning) bool { return w.Code == "diagonals-left" })
				if !left && len(out.Diagonals) > 0 {
					whole++
				} else if !left {
					t.Errorf("%s: nothing is told of its slanting lines", at)
				}
				if v.lopsided {
					lopsided++
				}
				if v.unequal && !v.said && !left {
					unequal++
				}
				if v.near {
					t.Errorf("%s: it lies beyond the room", at)
				}
			}
			t.Logf("%-20s border %-5v of %d: wholly through holes %d, lopsided %d, equal ones unequal unsaid %d", kind.name, bordered, *diagonalCases, whole, lopsided, unequal)
			if lopsided > 0 {
				t.Errorf("%s, bordered %v: %d symmetric designs are not", kind.name, bordered, lopsided)
			}
		}
	}
}

// layAsDrawn puts the sample on the rug at its own size: in the middle of a border with
// room for it, or with its corner at the rug's.
func (s *sample) layAsDrawn(r *rand.Rand, g weave.Grid, bordered bool) {
	b := paths.BoundsOf(s.strokes)
	m := paths.Translate(b.Min.Mul(-1))
	if bordered {
		const inset = 11
		nx, ny := int(math.Ceil(b.Width()/g.Across))+2*inset+r.IntN(3), int(math.Ceil(b.Height()/g.Along))+2*inset+r.IntN(3)
		m = paths.Translate(b.Centre().Mul(-1)).Then(paths.Translate(pt(float64(nx)*g.Across/2, float64(ny)*g.Along/2)))
		_, s.opt.Fixed, _, _ = weave.Border(nx, ny, []int{4, 2}, g)
		s.opt.Room = &Room{Left: inset, Right: nx - inset, Bottom: inset, Top: ny - inset}
	}
	for i, k := range s.strokes {
		s.strokes[i] = k.Transform(m)
	}
}

// checkDiagonals checks the promises of diagonals, the crossings of lines by brute force.
func checkDiagonals(t *testing.T, at string, strokes []paths.Stroke, out Result, g weave.Grid) {
	t.Helper()
	for _, d := range out.Diagonals {
		a := g.At(weave.Place{Across: float64(d.From[0]), Along: float64(d.From[1])})
		b := g.At(weave.Place{Across: float64(d.To[0]), Along: float64(d.To[1])})
		dx, dy := d.To[0]-d.From[0], d.To[1]-d.From[1]
		if dx*dx*d.Ratio[1]*d.Ratio[1] != dy*dy*d.Ratio[0]*d.Ratio[0] || dx%d.Ratio[0] != 0 || dx == 0 {
			t.Errorf("%s: a diagonal of %v leads from %v to %v", at, d.Ratio, d.From, d.To)
		}
		has := func(p paths.Point) bool {
			return slices.ContainsFunc(out.Strokes, func(k paths.Stroke) bool {
				return slices.ContainsFunc(k, func(c paths.Curve) bool { return c.Start().Dist(p) < 1e-9 || c.End().Dist(p) < 1e-9 })
			})
		}
		if !has(a) || !has(b) {
			t.Errorf("%s: no line ends at %v or at %v", at, d.From, d.To)
		}
	}
	for i := range strokes {
		for j := range i {
			before, after := crossings(strokes[i], strokes[j]), crossings(out.Strokes[i], out.Strokes[j])
			if before != after {
				t.Errorf("%s: strokes %d and %d cross %d times, and %d as drawn", at, i, j, after, before)
			}
		}
	}
}

// crossings counts the pairs of lines of two strokes that cross in their middles.
func crossings(a, b paths.Stroke) (n int) {
	side := func(p, q, r paths.Point) float64 { return q.Sub(p).Cross(r.Sub(p)) / max(1e-9, q.Dist(p)) }
	for _, c := range a {
		for _, d := range b {
			const off = 1e-3
			p, q := side(c.Start(), c.End(), d.Start()), side(c.Start(), c.End(), d.End())
			r, s := side(d.Start(), d.End(), c.Start()), side(d.Start(), d.End(), c.End())
			if min(math.Abs(p), math.Abs(q), math.Abs(r), math.Abs(s)) > off && p*q < 0 && r*s < 0 {
				n++
			}
		}
	}
	return n
}

// A slope is meant when it lies within half a degree of a ratio, in channels or on paper, and
// half of the slanting lines do; what nobody meant is not warned of.
func TestWarnsOfMeantSlopesOnly(t *testing.T) {
	g := weave.Grid{Across: 25.4 / 12, Along: 25.4 / 13}
	loose := func(n int) (out []paths.Stroke) {
		for i := range n {
			out = append(out, paths.Polyline(pt(200, float64(40*i)), pt(240, float64(40*i)+25.7)))
		}
		return out
	}
	w, h := 25*g.Across, 60+12.5*g.Along
	house := []paths.Stroke{
		paths.Polyline(pt(0, 0), pt(0, 60)), paths.Polyline(pt(w, 0), pt(w, 60)), paths.Polyline(pt(0, 60), pt(w/2, h), pt(w, 60)),
	}
	rope := paths.Polyline(pt(0, 0), pt(24, 50), pt(0, 100), pt(24, 150), pt(0, 200))
	held := Options{Diagonals: true, Named: []Named{
		{Of: func(i int) bool { return i == 0 }, Axis: weave.Across}, {Of: func(i int) bool { return i == 1 }, Axis: weave.Across, Channel: 25}}}
	for _, c := range []struct {
		what    string
		strokes []paths.Stroke
		opt     Options
		warned  bool
	}{
		{"one over one, no ridge between walls that cannot move", house, held, true},
		{"the same among as many lines of no ratio", append(house, loose(2)...), held, true},
		{"the same among more of them", append(house, loose(3)...), held, false},
		{"a rope of 24 by 50 mm, 2.6 degrees from one over two, wider than the rug leaves", []paths.Stroke{rope}, Options{Diagonals: true, Room: &Room{Left: 0, Right: 11, Bottom: 0, Top: 150}}, false},
	} {
		out, err := Strokes(c.strokes, g, c.opt)
		if err != nil {
			t.Fatal(err)
		}
		warned := slices.ContainsFunc(out.Warnings, func(w weave.Warning) bool { return w.Code == "diagonals-left" })
		if warned != c.warned {
			t.Errorf("%s: warned %v, want %v: %v", c.what, warned, c.warned, out.Warnings)
		}
	}
}

// A net drawn mesh by mesh is one figure: meshes that share a corner go through holes
// together, all of one size.
func TestNetsGoThroughHoles(t *testing.T) {
	g := weave.Grid{Across: 25.4 / 12, Along: 25.4 / 13}
	var net []paths.Stroke
	for i := range 5 {
		for j := range 4 {
			net = append(net, diamond(12.5, 12.5).Transform(paths.Translate(pt(25*float64(i), 25*float64(j)))))
		}
	}
	out, err := Strokes(net, g, Options{Diagonals: true})
	if err != nil {
		t.Fatal(err)
	}
	if len(out.Warnings) > 0 {
		t.Error(out.Warnings)
	}
	checkDiagonals(t, "a net", net, out, g)
	for i, k := range out.Strokes {
		b := paths.BoundsOf([]paths.Stroke{k})
		if across, along := b.Width()/g.Across, b.Height()/g.Along; math.Abs(across-12) > 1e-9 || math.Abs(along-12) > 1e-9 {
			t.Errorf("mesh %d is %.3f by %.3f channels", i, across, along)
		}
	}
}

// A square as large as the rug stays one: the two counts of the cloth differ by more than
// its sides may give, and that its diagonals miss the holes is said.
func TestLargeSquaresStaySquare(t *testing.T) {
	g := weave.Grid{Across: 25.4 / 12, Along: 25.4 / 13}
	for _, c := range []struct {
		side float64
		left bool
	}{{100, false}, {400, true}} {
		strokes := []paths.Stroke{box(0, 0, c.side, c.side), paths.Polyline(pt(0, 0), pt(c.side, c.side)), paths.Polyline(pt(0, c.side), pt(c.side, 0))}
		for k := 1.; k < 6; k++ { // as of a quilt, square in square
			strokes = append(strokes, box(k*c.side/12, k*c.side/12, c.side*(1-k/12), c.side*(1-k/12)))
		}
		out, err := Strokes(strokes, g, Options{Diagonals: true})
		if err != nil {
			t.Fatal(err)
		}
		left := slices.ContainsFunc(out.Warnings, func(w weave.Warning) bool { return w.Code == "diagonals-left" })
		b := paths.BoundsOf(out.Strokes)
		if dx, dy := math.Abs(b.Width()-c.side)/g.Across, math.Abs(b.Height()-c.side)/g.Along; left != c.left || max(dx, dy) > mostSpread || left && max(dx, dy) > 1.5 {
			t.Errorf("a square of %g mm: %.1f by %.1f mm, said to miss the holes %v", c.side, b.Width(), b.Height(), left)
		}
	}
}
