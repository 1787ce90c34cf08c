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

// Designs as rug makers draw them, and what a maker sees of them at once: equal
// motifs equal, symmetric designs symmetric, even rows even, rings round, and
// nothing nearer the border than was promised. What is not so must be said.

var rhythmCases = flag.Int("rhythm-cases", 12, "random designs of each kind for the table of rhythms")

// sample is a design whose regularity is known.
type sample struct {
	strokes   []paths.Stroke
	rows      [][][2]int // rows of equal motifs, evenly spaced along x: strokes from, to
	rings     []int
	symmetric bool // about its own upright middle
	opt       Options
}

// copies adds n copies of a motif, so far apart, as one row.
func (s *sample) copies(n int, apart, y float64, motif ...paths.Stroke) {
	var row [][2]int
	for i := range n {
		from := len(s.strokes)
		for _, m := range motif {
			s.strokes = append(s.strokes, m.Transform(paths.Translate(pt(float64(i)*apart, y))))
		}
		row = append(row, [2]int{from, len(s.strokes)})
	}
	s.rows = append(s.rows, row)
}

func box(x0, y0, x1, y1 float64) paths.Stroke {
	return paths.Polyline(pt(x0, y0), pt(x1, y0), pt(x1, y1), pt(x0, y1), pt(x0, y0))
}

// kind draws random designs of a kind.
type kind struct {
	name string
	draw func(r *rand.Rand, s *sample)
}

// kinds are those that the table of rhythms is made from.
var kinds = []kind{
	{"stripes", func(r *rand.Rand, s *sample) {
		d, h := 2+7*r.Float64(), 60+100*r.Float64()
		s.copies(4+r.IntN(37), d, 0, paths.Polyline(pt(0, 0), pt(0, h)))
		s.symmetric = true
	}},
	{"squares", func(r *rand.Rand, s *sample) {
		side := 8 + 25*r.Float64()
		s.copies(3+r.IntN(7), side+6+25*r.Float64(), 0, box(0, 0, side, side))
		s.symmetric = true
	}},
	{"letters", func(r *rand.Rand, s *sample) {
		w, h, y := 10+15*r.Float64(), 20+20*r.Float64(), 8+8*r.Float64()
		s.copies(2+r.IntN(7), w+5+15*r.Float64(), 0,
			paths.Polyline(pt(0, 0), pt(0, h)), paths.Polyline(pt(w, 0), pt(w, h)), paths.Polyline(pt(0, y), pt(w, y)))
		s.symmetric = true
	}},
	{"houses", func(r *rand.Rand, s *sample) {
		w, h := 25+35*r.Float64(), 20+25*r.Float64()
		roof, eaves := 10+20*r.Float64(), 8*r.Float64()*float64(r.IntN(2))
		a, b := w*(0.25+0.15*r.Float64()), h*(0.4+0.4*r.Float64())
		motif := []paths.Stroke{
			paths.Polyline(pt(0, h), pt(0, 0), pt(w, 0), pt(w, h)),
			paths.Polyline(pt(-eaves, h), pt(w/2, h+roof), pt(w+eaves, h), pt(-eaves, h)),
			paths.Polyline(pt(a, 0), pt(a, b), pt(w-a, b), pt(w-a, 0)),
		}
		if r.IntN(2) == 0 {
			c := 0.25 * a
			motif = append(motif, box(c, 0.4*h, a-c, 0.7*h), box(w-a+c, 0.4*h, w-c, 0.7*h))
		}
		s.copies(2+r.IntN(5), w+2*eaves+8+30*r.Float64(), 0, motif...)
		s.symmetric = true
	}},
	{"terraces", func(r *rand.Rand, s *sample) { // roofs that overhang, in rows above one another
		w, h, roof, eaves := 30+20*r.Float64(), 25+15*r.Float64(), 12+12*r.Float64(), 2+5*r.Float64()
		a, b := w*(0.2+0.2*r.Float64()), h*(0.4+0.4*r.Float64())
		n, apart := 2+r.IntN(6), w+2*eaves+3+10*r.Float64()
		for j := range 2 + r.IntN(6) {
			s.copies(n, apart, float64(j)*(h+roof+6), box(0, 0, w, h),
				paths.Polyline(pt(-eaves, h), pt(w/2, h+roof), pt(w+eaves, h), pt(-eaves, h)),
				paths.Polyline(pt(a, 0), pt(a, b), pt(a+0.4*w, b), pt(a+0.4*w, 0)))
		}
	}},
	{"grid", func(r *rand.Rand, s *sample) {
		side := 8 + 15*r.Float64()
		apart := side + 5 + 12*r.Float64()
		n := 3 + r.IntN(4)
		for j := range 3 + r.IntN(4) {
			s.copies(n, apart, float64(j)*apart, box(0, 0, side, side))
		}
		s.symmetric = true
	}},
	{"rings", func(r *rand.Rand, s *sample) {
		n, d := 4+r.IntN(12), 4+6*r.Float64()
		w := float64(n-1) * d
		s.copies(n, d, 0, paths.Polyline(pt(0, 0), pt(0, 150)))
		for i := range 1 + r.IntN(2) {
			s.rings = append(s.rings, len(s.strokes))
			s.strokes = append(s.strokes, paths.Stroke{paths.Circle(pt(w*r.Float64(), 45+60*float64(i)), 8+17*r.Float64())})
		}
	}},
	{"mirrored", func(r *rand.Rand, s *sample) {
		for range 2 + r.IntN(4) {
			x, y, h := 2+70*r.Float64(), 90*r.Float64(), 8+40*r.Float64()
			l := 4 + 25*r.Float64()
			half := paths.Polyline(pt(-x, y), pt(-x, y+h), pt(-x-l, y+h+l*r.Float64()), pt(-x-l*r.Float64(), y+h+l))
			s.strokes = append(s.strokes, half, half.Transform(paths.MirrorX(0)))
		}
		x, h := 10+30*r.Float64(), 100+50*r.Float64()
		s.strokes = append(s.strokes, paths.Polyline(pt(-x, h), pt(0, h+25), pt(x, h), pt(-x, h)))
		s.symmetric = true
	}},
	{"crowd", func(r *rand.Rand, s *sample) {
		for range 4 + r.IntN(8) {
			x, y := 150*r.Float64(), 150*r.Float64()
			s.strokes = append(s.strokes, box(x, y, x+7+40*r.Float64(), y+7+40*r.Float64()),
				paths.Stroke{paths.Circle(pt(150*r.Float64(), 150*r.Float64()), 3+10*r.Float64())})
		}
		s.rings = nil
	}},
}

// lay puts the sample on the rug, as plot lays designs out: with a border it fills
// what border and clearance leave.
func (s *sample) lay(r *rand.Rand, g weave.Grid, bordered bool) {
	b := paths.BoundsOf(s.strokes)
	m := paths.Translate(b.Min.Mul(-1))
	if bordered {
		const inset = 11 // lines in channels 0, 5 and 8, and two rows free
		nx := math.Round(b.Width()/g.Across*(0.8+0.5*r.Float64())) + 2*inset
		scale := (nx - 2*inset) * g.Across / b.Width()
		ny := math.Ceil(b.Height()*scale/g.Along-0.02) + 2*inset
		scale = min(scale, (ny-2*inset)*g.Along/b.Height())
		m = paths.Translate(b.Centre().Mul(-1)).Then(paths.Scale(scale, scale)).
			Then(paths.Translate(pt(nx*g.Across/2, ny*g.Along/2)))
		_, s.opt.Fixed, _, _ = weave.Border(int(nx), int(ny), []int{4, 2}, g)
		s.opt.Room = &Room{Left: inset, Right: int(nx) - inset, Bottom: inset, Top: int(ny) - inset}
	}
	for i, k := range s.strokes {
		s.strokes[i] = k.Transform(m)
	}
}

// stray adds lines that belong to nothing.
func (s *sample) stray(r *rand.Rand) {
	b := paths.BoundsOf(s.strokes)
	for range 1 + r.IntN(2) {
		x, y := b.Min.X+b.Width()*r.Float64(), b.Min.Y+b.Height()*r.Float64()
		s.strokes = append(s.strokes, paths.Polyline(pt(x, y), pt(x, b.Min.Y+b.Height()*r.Float64())))
	}
	s.symmetric = false
}

// seen is what a maker would see of a result.
type seen struct{ unequal, uneven, lopsided, oval, near, said bool }

func (s *sample) look(out Result, g weave.Grid) (v seen) {
	for _, row := range s.rows {
		first := row[0]
		for i, c := range row {
			for k := range c[1] - c[0] {
				a, b := out.Strokes[first[0]+k], out.Strokes[c[0]+k]
				for j := range min(len(a), len(b)) {
					p := a[j].Start().Sub(out.Strokes[first[0]][0].Start())
					q := b[j].Start().Sub(out.Strokes[c[0]][0].Start())
					v.unequal = v.unequal || p.Dist(q) > 0.02
				}
			}
			if i >= 2 {
				x := func(i int) float64 { return out.Strokes[row[i][0]][0].Start().X }
				v.uneven = v.uneven || math.Abs(x(i)-2*x(i-1)+x(i-2)) > 1e-6
			}
		}
	}
	if s.symmetric {
		v.lopsided = s.lopsided(out) > 0.02
	}
	for _, i := range s.rings {
		b := out.Strokes[i].Bounds()
		v.oval = v.oval || math.Abs(b.Width()/b.Height()-1) > 0.01
	}
	if s.opt.Room != nil {
		r := s.opt.Room.rect(g).Grow(0.05) // the tolerance of curves
		by, _ := r.Excess(paths.BoundsOf(out.Strokes))
		v.near = by > 0
	}
	v.said = slices.ContainsFunc(out.Warnings, func(w weave.Warning) bool {
		return w.Code == "shape-bent" || w.Code == "motif-unequal" || w.Code == "no-room-between-lines" ||
			w.Code == "lines-share-channels" // which are closer than the channels, so that no count is even
	}) || slices.ContainsFunc(out.Rhythms, func(r Rhythm) bool { return r.Lost > 0 })
	return v
}

// lopsided returns how far, in mm, a vertex lies from its partner's mirror image.
func (s *sample) lopsided(out Result) (worst float64) {
	b := paths.BoundsOf(s.strokes)
	key := func(p paths.Point) [2]int { return [2]int{int(math.Round(p.X * 1e3)), int(math.Round(p.Y * 1e3))} }
	went := map[[2]int]paths.Point{}
	var was []paths.Point
	for i, k := range s.strokes {
		if len(out.Strokes[i]) != len(k) {
			continue
		}
		for j, c := range k {
			was = append(was, c.Start())
			went[key(c.Start())] = out.Strokes[i][j].Start()
		}
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range was {
		q := pt(b.Min.X+b.Max.X-p.X, p.Y)
		for _, near := range []paths.Point{{}, {X: 1e-3}, {X: -1e-3}} {
			if image, ok := went[key(q.Add(near))]; ok {
				mine := went[key(p)]
				lo, hi = min(lo, mine.X+image.X), max(hi, mine.X+image.X)
				worst = max(worst, math.Abs(mine.Y-image.Y))
				break
			}
		}
	}
	return max(worst, (hi-lo)/2)
}

func TestRhythms(t *testing.T) {
	for _, kind := range kinds {
		for _, bordered := range []bool{false, true} {
			for _, strays := range []bool{false, true} {
				var n [6]int
				for i := range *rhythmCases {
					r := rand.New(rand.NewPCG(uint64(i), uint64(*rhythmSeed)))
					s := &sample{}
					kind.draw(r, s)
					if strays {
						s.stray(r)
					}
					s.lay(r, monks, bordered)
					out := mustSnap(t, s.strokes, monks, s.opt)
					v := s.look(out, monks)
					for j, bad := range []bool{v.unequal, v.uneven, v.lopsided, v.oval, v.near} {
						if bad {
							n[j]++
							if !v.said {
								n[5]++
								if *rhythmWords {
									t.Logf("%s bordered %v strays %v case %d: %+v", kind.name, bordered, strays, i, v)
								}
							}
						}
					}
				}
				name := fmt.Sprintf("%-9s border %-5v strays %-5v", kind.name, bordered, strays)
				t.Logf("%s of %d: unequal %d, uneven %d, lopsided %d, oval %d, too near %d; not said %d",
					name, *rhythmCases, n[0], n[1], n[2], n[3], n[4], n[5])
				if n[4] > 0 || n[5] > 0 {
					t.Errorf("%s: %d too near the border, %d not said", name, n[4], n[5])
				}
			}
		}
	}
}

var (
	rhythmSeed  = flag.Int("rhythm-seed", 1, "which random designs the table of rhythms is made from")
	rhythmWords = flag.Bool("rhythm-words", false, "name each design of the table that fails in silence")
)

// Rows of houses beside a border with a line strewn among them, which moves one way as the
// houses move another. The peak or the eaves near it go with their house where the line is
// not in their way, as in the first ones. Where it is, they stay on their side of it, and a
// person is told.
func TestRoofsGoWithTheirHouses(t *testing.T) {
	houses := slices.IndexFunc(kinds, func(k kind) bool { return k.name == "houses" })
	for _, c := range []struct {
		seed    uint64
		unequal bool
	}{{1, false}, {11, false}, {60, false}, {106, false}, {107, true}} {
		r := rand.New(rand.NewPCG(c.seed, 1))
		s := &sample{}
		kinds[houses].draw(r, s)
		s.stray(r)
		s.lay(r, monks, true)
		if v := s.look(mustSnap(t, s.strokes, monks, s.opt), monks); v.unequal != c.unequal || v.unequal && !v.said {
			t.Errorf("houses %d: unequal %v, said %v", c.seed, v.unequal, v.said)
		}
	}
}

// A house's small window beside a line lies in its house as those of its equals do, or a
// person is told; and nobody is told where they lie alike. A window that shares a side with
// the line is another motif, which goes where the line goes.
func TestWindowBesideALine(t *testing.T) {
	var strokes []paths.Stroke
	for i := range 3 {
		x := float64(40*i) * monks.Across
		strokes = append(strokes, box(x, 0, x+20*monks.Across, 30), box(x+2*monks.Across, 12, x+4.5*monks.Across, 17))
	}
	unequal := 0
	for k := range 80 {
		at := 40 + float64(k)/10 // channels
		if at == 42 || at == 44.5 {
			continue
		}
		with := append(slices.Clone(strokes), paths.Polyline(pt(at*monks.Across, 8), pt(at*monks.Across, 25)))
		out := mustSnap(t, with, monks, Options{})
		house := func(k int) float64 { return out.Strokes[k+1][0].Start().X - out.Strokes[k][0].Start().X }
		differ := max(math.Abs(house(2)-house(0)), math.Abs(house(4)-house(0))) > 0.05
		told := slices.ContainsFunc(out.Warnings, func(w weave.Warning) bool { return w.Code == "motif-unequal" })
		if differ {
			unequal++
		}
		if differ != told {
			t.Errorf("a line in channel %.1f: the windows lie %.2f, %.2f and %.2f mm from their walls, warnings %v", at, house(0), house(2), house(4), out.Warnings)
		}
	}
	t.Logf("unequal beside %d lines", unequal)
}

// A hatched square keeps its proportions where one count for all its lines would make
// it narrower by more than a third; less than that, the lines are even.
func TestHatchingKeepsProportions(t *testing.T) {
	for _, c := range []struct {
		apart float64 // channels
		even  bool
	}{{1.3, true}, {1.77, false}, {2.4, true}, {3.45, true}} {
		const lines = 61
		width := c.apart * (lines - 1)
		var strokes []paths.Stroke
		for i := range lines {
			x := (11 + c.apart*float64(i)) * monks.Across
			strokes = append(strokes, paths.Polyline(pt(x, 40), pt(x, 140)))
		}
		nx := 22 + int(math.Ceil(width))
		_, fixed, _, _ := weave.Border(nx, 120, []int{4, 2}, monks)
		out := mustSnap(t, strokes, monks, Options{Fixed: fixed, Room: &Room{Left: 11, Right: nx - 11, Bottom: 11, Top: 109}})
		b := paths.BoundsOf(out.Strokes)
		if got := b.Width() / monks.Across / width; got < 2./3 || got > 4./3 {
			t.Errorf("lines %g channels apart: the square is %.2f as wide as drawn", c.apart, got)
		}
		uneven := slices.ContainsFunc(out.Rhythms, func(r Rhythm) bool { return r.Lost > 0 })
		if uneven == c.even {
			t.Errorf("lines %g channels apart: %+v", c.apart, out.Rhythms)
		}
	}
}
