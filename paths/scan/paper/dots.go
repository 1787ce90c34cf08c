package paper

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/scan/skeleton"
)

const (
	// dotMM is how far from its middle a printed dot reaches at most.
	dotMM = 0.6
	// leastGap and mostGap are how far apart dots are, in mm.
	leastGap, mostGap = 2.0, 16.0
	// fewestDots is how many a page has at least, and mostMarks how many small marks
	// are looked at.
	fewestDots, mostMarks = 60, 40_000
	// leastThere is the share of the places of a lattice that have a dot: a drawing may
	// cover some.
	leastThere = 0.55
)

// dotted looks for small marks at the corners of squares all over the page, and takes
// them out. It returns nil where there are none.
func dotted(plane skeleton.Plane, mm, noise float64) *Ruling {
	at := marks(plane, mm, noise)
	if len(at) < fewestDots || len(at) > mostMarks {
		return nil
	}
	points := near.NewPoints(at)
	u, v, ok := squareOf(points, len(at), mm)
	if !ok {
		return nil
	}
	l := grown(points, len(at), u, v)
	if !l.isPrinted(plane) {
		return nil
	}
	l.fit()
	d := dots{places: l.places(plane), reach: min(dotMM/mm+2, u.Len()/3)}
	if !d.measure(plane) {
		return nil
	}
	d.remove(plane, noise)
	return &Ruling{Kind: "dotted", PitchMM: (u.Len() + v.Len()) / 2 * mm, DarkShare: float64(skeleton.Paper-d.profile[0]) / skeleton.Paper}
}

// marks returns the middles of the small marks on a page.
func marks(plane skeleton.Plane, mm, noise float64) []paths.Point {
	level := uint8(skeleton.Paper - max(16, 6*noise))
	mask := skeleton.NewPlane(plane.W, plane.H)
	for i, g := range plane.Pixels {
		if g < level {
			mask.Pixels[i] = skeleton.Strong
		}
	}
	_, list := skeleton.Components(mask, plane, skeleton.Inked, true)
	var out []paths.Point
	for _, c := range list {
		if c.Area() >= 3 && float64(c.Size())*mm <= 2*dotMM {
			out = append(out, c.Middle())
		}
	}
	return out
}

// steps are the steps from marks to their neighbours, those to the left turned round.
type steps struct {
	list []paths.Point
	side float64 // of a cell in which they are counted, pixels
}

func stepsOf(points *near.Points, n int, mm float64) steps {
	s := steps{side: 0.3 / mm}
	for i := range n {
		for _, k := range points.Nearest(points.At(i), 9) {
			d := points.At(k).Sub(points.At(i))
			if l := d.Len() * mm; l >= leastGap && l <= mostGap && (d.X > 0 || d.X == 0 && d.Y > 0) {
				s.list = append(s.list, d)
			}
		}
	}
	return s
}

// usual returns the mean of the steps about one, and how many there are.
func (s steps) usual(about paths.Point) (mean paths.Point, n float64) {
	for _, d := range s.list {
		if d.Dot(about) < 0 {
			d = d.Mul(-1)
		}
		if d.Dist(about) < 1.5*s.side {
			mean, n = mean.Add(d), n+1
		}
	}
	return mean.Mul(1 / max(1, n)), n
}

// squareOf returns the two sides of the squares that most marks are the corners of, in
// pixels: of the most frequent steps from mark to neighbour the shortest, and the one
// square to it.
func squareOf(points *near.Points, n int, mm float64) (u, v paths.Point, ok bool) {
	s := stepsOf(points, n, mm)
	type cell struct{ x, y int }
	count := map[cell]int{}
	most := 0
	for _, d := range s.list {
		c := cell{int(math.Round(d.X / s.side)), int(math.Round(d.Y / s.side))}
		count[c]++
		most = max(most, count[c])
	}
	type side struct {
		step paths.Point
		n    float64
	}
	var sides []side
	var often, short float64
	for c, k := range count {
		if 3*k >= most {
			mean, n := s.usual(paths.Point{X: float64(c.x), Y: float64(c.y)}.Mul(s.side))
			sides = append(sides, side{mean, n})
			often = max(often, n)
		}
	}
	sides = slices.DeleteFunc(sides, func(s side) bool { return s.n < 0.7*often })
	for _, s := range sides {
		if l := s.step.Len(); short == 0 || l < short {
			short = l
		}
	}
	sides = slices.DeleteFunc(sides, func(s side) bool { return s.step.Len() > 1.1*short })
	if len(sides) == 0 {
		return u, v, false
	}
	best := slices.MinFunc(sides, func(a, b side) int {
		return cmp.Or(cmp.Compare(b.n, a.n), cmp.Compare(a.step.X, b.step.X), cmp.Compare(a.step.Y, b.step.Y))
	})
	u, a := best.step, best.n
	v, b := s.usual(u.Left())
	return u, v, min(a, b) > 0.4*float64(n)
}

// corner is a place of a lattice, by how many steps it is from the first along both of
// its sides.
type corner struct{ i, j int }

// lattice is marks at the corners of squares.
type lattice struct {
	u, v paths.Point
	at   map[corner]paths.Point
	// low and high are the corners farthest out.
	low, high corner
	x, y      [10]float64 // polynomials of the corners' places
}

// grown gathers the largest lattice that can be walked from mark to mark.
func grown(points *near.Points, n int, u, v paths.Point) lattice {
	var best lattice
	done := make([]bool, n)
	for start := range n {
		if done[start] || 2*len(best.at) > n {
			continue
		}
		l := lattice{u: u, v: v, at: map[corner]paths.Point{{}: points.At(start)}}
		done[start] = true
		todo := []corner{{}}
		for len(todo) > 0 {
			c := todo[0]
			todo = todo[1:]
			for _, d := range [4]corner{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
				next := corner{c.i + d.i, c.j + d.j}
				want := l.at[c].Add(u.Mul(float64(d.i))).Add(v.Mul(float64(d.j)))
				k := points.Nearest(want, 1)
				if _, known := l.at[next]; known || len(k) == 0 || done[k[0]] || points.At(k[0]).Dist(want) > 0.12*u.Len() {
					continue
				}
				done[k[0]] = true
				l.at[next] = points.At(k[0])
				l.low = corner{min(l.low.i, next.i), min(l.low.j, next.j)}
				l.high = corner{max(l.high.i, next.i), max(l.high.j, next.j)}
				todo = append(todo, next)
			}
		}
		if len(l.at) > len(best.at) {
			best = l
		}
	}
	return best
}

// isPrinted reports whether a lattice goes all over the page.
func (l lattice) isPrinted(plane skeleton.Plane) bool {
	if len(l.at) < fewestDots {
		return false
	}
	box := paths.EmptyRect()
	for _, p := range l.at {
		box = box.Union(paths.RectOf(p, p))
	}
	all := (l.high.i - l.low.i + 1) * (l.high.j - l.low.j + 1)
	return box.Width() > 0.6*float64(plane.W) && box.Height() > 0.6*float64(plane.H) && float64(len(l.at)) > leastThere*float64(all)
}

// terms are those of the place of a corner.
func (l lattice) terms(c corner) [10]float64 {
	unit := func(at, low, high int) float64 { return 2*float64(at-low)/float64(max(1, high-low)) - 1 }
	return terms(unit(c.i, l.low.i, l.high.i), unit(c.j, l.low.j, l.high.j))
}

// fit fits polynomials of the third degree to the places of the corners.
func (l *lattice) fit() {
	var mx, my [10][11]float64
	for i := l.low.i; i <= l.high.i; i++ {
		for j := l.low.j; j <= l.high.j; j++ {
			p, seen := l.at[corner{i, j}]
			if !seen {
				continue
			}
			t := l.terms(corner{i, j})
			for a := range t {
				for b := range t {
					mx[a][b] += t[a] * t[b]
					my[a][b] += t[a] * t[b]
				}
				mx[a][10] += t[a] * p.X
				my[a][10] += t[a] * p.Y
			}
		}
	}
	for a := range mx {
		mx[a][a] += 1e-6
		my[a][a] += 1e-6
	}
	l.x, l.y = solved(mx), solved(my)
}

// places returns where dots are on the page: where they were seen, and elsewhere where
// they must be, under ink too.
func (l lattice) places(plane skeleton.Plane) []paths.Point {
	const beyond = 3
	inside := paths.Rect{Min: paths.Point{X: -2, Y: -2}, Max: paths.Point{X: float64(plane.W) + 2, Y: float64(plane.H) + 2}}
	var out []paths.Point
	for i := l.low.i - beyond; i <= l.high.i+beyond; i++ {
		for j := l.low.j - beyond; j <= l.high.j+beyond; j++ {
			c := corner{i, j}
			p, seen := l.at[c]
			if !seen {
				t := l.terms(c)
				p = paths.Point{X: value(l.x, t), Y: value(l.y, t)}
			}
			if inside.Contains(p) {
				out = append(out, p)
			}
		}
	}
	return out
}

// dots are printed at places of a page.
type dots struct {
	places []paths.Point
	reach  float64 // pixels
	// profile is the usual grey at each half pixel from the middle of a dot.
	profile []uint8
}

// each calls visit for the pixels on a dot or near it.
func (d *dots) each(plane skeleton.Plane, visit func(at int, r float64)) {
	for _, p := range d.places {
		for y := max(0, int(p.Y-d.reach)); y <= min(plane.H-1, int(p.Y+d.reach)+1); y++ {
			for x := max(0, int(p.X-d.reach)); x <= min(plane.W-1, int(p.X+d.reach)+1); x++ {
				if r := math.Hypot(float64(x)-p.X, float64(y)-p.Y); r < d.reach {
					visit(y*plane.W+x, r)
				}
			}
		}
	}
}

// measure takes the medians of the grey about all dots, and reports whether they are
// dark at all.
func (d *dots) measure(plane skeleton.Plane) bool {
	rings := int(2*d.reach) + 1
	count := make([]uint16, rings*64)
	d.each(plane, func(at int, r float64) {
		if c := &count[int(2*r)*64+int(plane.Pixels[at]/4)]; *c < math.MaxUint16 {
			*c++
		}
	})
	d.profile = medians(count)
	side := d.profile[rings-1]
	for i, g := range d.profile {
		if g == unseen {
			g = side
		}
		d.profile[i] = uint8(min(skeleton.Paper, int(g)+skeleton.Paper-int(min(side, skeleton.Paper))))
		if i > 0 {
			d.profile[i] = max(d.profile[i], d.profile[i-1])
		}
	}
	return skeleton.Paper-int(d.profile[0]) > 10
}

// remove takes the dots out of a plane.
func (d *dots) remove(plane skeleton.Plane, noise float64) {
	d.each(plane, func(at int, r float64) {
		if print := float64(skeleton.Paper) - float64(d.profile[min(len(d.profile)-1, int(2*r))]); print >= 1.5 {
			// The place is only known to a part of a pixel.
			plane.Pixels[at] = unprinted(float64(plane.Pixels[at]), 1.15*print, noise)
		}
	})
}
