package outside

import (
	"math"
)

type pt struct{ x, y float64 }

func (a pt) to(b pt) float64 { return math.Sqrt((b.x-a.x)*(b.x-a.x) + (b.y-a.y)*(b.y-a.y)) }

type box struct{ x0, y0, x1, y1 float64 }

// cut returns the part of a line inside the box, and false where there is none
// (Liang and Barsky's clipping).
func (r box) cut(a, b pt) (pt, pt, bool) {
	t0, t1 := 0.0, 1.0
	dx, dy := b.x-a.x, b.y-a.y
	for _, e := range [][2]float64{{-dx, a.x - r.x0}, {dx, r.x1 - a.x}, {-dy, a.y - r.y0}, {dy, r.y1 - a.y}} {
		switch {
		case e[0] == 0 && e[1] < 0:
			return a, b, false
		case e[0] < 0:
			t0 = math.Max(t0, e[1]/e[0])
		case e[0] > 0:
			t1 = math.Min(t1, e[1]/e[0])
		}
	}
	return pt{a.x + t0*dx, a.y + t0*dy}, pt{a.x + t1*dx, a.y + t1*dy}, t0 <= t1
}

// cloth keeps every motion of a pen that was down, and how long a pen rested.
type cloth struct {
	ink     [][]pt
	open    bool
	resting float64
	longest float64
	// ready is set when the pen was up for the first time: before that it stood
	// where a person had left it.
	ready bool
}

func (c *cloth) lift() { c.open = false }

func (c *cloth) line(a, b pt, clip *box) {
	if clip != nil {
		var in bool
		if a, b, in = clip.cut(a, b); !in {
			c.open = false
			return
		}
	}
	if a.to(b) == 0 {
		return
	}
	n := len(c.ink)
	if c.open && n > 0 {
		last := c.ink[n-1]
		if last[len(last)-1].to(a) < 1e-6 {
			c.ink[n-1] = append(last, b)
			return
		}
	}
	c.ink = append(c.ink, []pt{a, b})
	c.open = true
}

// rest takes note of the time from a to b, through which the tip rested on the
// cloth or did not.
func (c *cloth) rest(a, b float64, rests bool) {
	if b <= a {
		return
	}
	if !rests {
		c.ready = true
		c.resting = 0
		return
	}
	if !c.ready {
		return
	}
	c.resting += b - a
	c.longest = math.Max(c.longest, c.resting)
}

func (c *cloth) length() float64 {
	sum := 0.0
	for _, l := range c.ink {
		for i := 1; i < len(l); i++ {
			sum += l[i-1].to(l[i])
		}
	}
	return sum
}

// near is how far ink may lie from where it was asked for.
const near = 0.3

// grain is how finely lines are looked at, mm.
const grain = 0.2

type cell struct{ x, y int }

// field answers which lines lie near a place.
type field struct {
	lines [][2]pt
	cells map[cell][]int
}

func fieldOf(strokes [][]pt) *field {
	f := &field{cells: map[cell][]int{}}
	for _, s := range strokes {
		for i := 1; i < len(s); i++ {
			f.add(s[i-1], s[i])
		}
	}
	return f
}

const cellSize = 2.0

func cellOf(p pt) cell {
	return cell{int(math.Floor(p.x / cellSize)), int(math.Floor(p.y / cellSize))}
}

func (f *field) add(a, b pt) {
	k := len(f.lines)
	f.lines = append(f.lines, [2]pt{a, b})
	c0, c1 := cellOf(pt{math.Min(a.x, b.x) - near, math.Min(a.y, b.y) - near}), cellOf(pt{math.Max(a.x, b.x) + near, math.Max(a.y, b.y) + near})
	for x := c0.x; x <= c1.x; x++ {
		for y := c0.y; y <= c1.y; y++ {
			r := box{float64(x)*cellSize - near, float64(y)*cellSize - near, float64(x+1)*cellSize + near, float64(y+1)*cellSize + near}
			if _, _, in := r.cut(a, b); in {
				f.cells[cell{x, y}] = append(f.cells[cell{x, y}], k)
			}
		}
	}
}

func toLine(p pt, l [2]pt) float64 {
	dx, dy := l[1].x-l[0].x, l[1].y-l[0].y
	d2 := dx*dx + dy*dy
	if d2 == 0 {
		return p.to(l[0])
	}
	t := math.Max(0, math.Min(1, ((p.x-l[0].x)*dx+(p.y-l[0].y)*dy)/d2))
	return p.to(pt{l[0].x + t*dx, l[0].y + t*dy})
}

func (f *field) isNear(p pt) bool {
	for _, k := range f.cells[cellOf(p)] {
		if toLine(p, f.lines[k]) <= near {
			return true
		}
	}
	return false
}

func (f *field) distance(p pt) float64 {
	d := math.Inf(1)
	for _, l := range f.lines {
		d = math.Min(d, toLine(p, l))
	}
	return d
}

// samples walks strokes and calls f with each place, the stroke it belongs to,
// and the length that the place stands for.
func samples(strokes [][]pt, f func(stroke int, p pt, mm float64)) {
	for k, s := range strokes {
		for i := 1; i < len(s); i++ {
			d := s[i-1].to(s[i])
			n := int(math.Ceil(d / grain))
			for j := range n {
				t := (float64(j) + 0.5) / float64(n)
				f(k, pt{s[i-1].x + t*(s[i].x-s[i-1].x), s[i-1].y + t*(s[i].y-s[i-1].y)}, d/float64(n))
			}
		}
	}
}

// verdict compares a cloth with what was asked.
type verdict struct {
	missing, stray, farthest, twice float64
	again                           int // strokes of which more than 1 mm was drawn again
}

func compare(asked, ink [][]pt) verdict {
	var v verdict
	af := fieldOf(asked)
	v.missing = missing(asked, ink)
	samples(ink, func(_ int, p pt, mm float64) {
		if !af.isNear(p) {
			v.stray += mm
			v.farthest = math.Max(v.farthest, af.distance(p))
		}
	})
	had, ideal := visits(asked, ink), visits(asked, asked)
	for k := range asked {
		if d := had[k] - ideal[k]; d > 0 {
			v.twice += d
			if d > 1 {
				v.again++
			}
		}
	}
	return v
}

// missing returns how many mm of what was asked no ink covers.
func missing(asked, ink [][]pt) float64 {
	f, sum := fieldOf(ink), 0.0
	samples(asked, func(_ int, p pt, mm float64) {
		if !f.isNear(p) {
			sum += mm
		}
	})
	return sum
}

// visits returns for each asked stroke how many mm of it ink passed again, each
// pass after the first counted.
func visits(asked, ink [][]pt) []float64 {
	type place struct {
		p      pt
		stroke int
		mm     float64
		last   float64
		passes int
	}
	var places []*place
	cells := map[cell][]*place{}
	samples(asked, func(k int, p pt, mm float64) {
		q := &place{p: p, stroke: k, mm: mm, last: -1e9}
		places = append(places, q)
		c := cellOf(p)
		cells[c] = append(cells[c], q)
	})
	run := 0.0
	samples(ink, func(_ int, p pt, mm float64) {
		run += mm
		c0, c1 := cellOf(pt{p.x - near, p.y - near}), cellOf(pt{p.x + near, p.y + near})
		for x := c0.x; x <= c1.x; x++ {
			for y := c0.y; y <= c1.y; y++ {
				for _, q := range cells[cell{x, y}] {
					if q.p.to(p) > near {
						continue
					}
					if run-q.last > 2 {
						q.passes++
					}
					q.last = run
				}
			}
		}
	})
	out := make([]float64, len(asked))
	for _, q := range places {
		if q.passes > 1 {
			out[q.stroke] += q.mm * float64(q.passes-1)
		}
	}
	return out
}
