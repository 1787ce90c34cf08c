package tint

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
)

// Plane holds the tints of a page, rows from the top, in pixels of MM mm. The lower left
// corner of the page is the origin, y up.
type Plane struct {
	W, H  int
	Tints []Tint
	MM    float64
}

// Dark tells how much of the light a place of the page takes, from 0 to 1; places are in
// mm.
type Dark func(paths.Point) float64

const (
	// everyMM is how far apart a stroke is looked at.
	everyMM = 0.25
	// leastInk is the least length of an ink on a page, in mm: less is a stray tint.
	leastInk = 6.
	// alike is how many hues apart two inks are one.
	alike = 6
)

// looked is what was seen along a stroke, every so often.
type looked struct {
	every  float64 // mm
	length float64
	tints  []Tint
	absorb []float64 // of light, as a natural logarithm
}

// along looks at the ink under a stroke: at each place it takes the tint that most inked
// pixels in the middle half of the line have, and of coloured ones the middle hue.
func (p Plane) along(s paths.Stroke, width float64, dark Dark) looked {
	length := s.Length()
	n := max(1, int(math.Ceil(length/everyMM)))
	l := looked{every: length / float64(n), length: length}
	pts := s.Flatten(0.02)
	at, gone, i := pts[0], 0.0, 0
	for k := range n {
		want := (float64(k) + 0.5) * l.every
		for i+1 < len(pts) {
			d := at.Dist(pts[i+1])
			if gone+d >= want && d > 0 {
				at = at.Lerp(pts[i+1], (want-gone)/d)
				gone = want
				break
			}
			gone, at, i = gone+d, pts[i+1], i+1
		}
		l.tints = append(l.tints, p.about(at, max(0.7*p.MM, 0.25*width)))
		l.absorb = append(l.absorb, -math.Log(1-min(0.99, max(0, dark(at)))))
	}
	l.soften()
	return l
}

// about returns the usual tint of the inked pixels within a distance, in mm.
func (p Plane) about(at paths.Point, within float64) Tint {
	x, y := at.X/p.MM-0.5, float64(p.H)-0.5-at.Y/p.MM
	r := within / p.MM
	plain, dulls := 0, 0
	var list []Tint
	for j := max(0, int(math.Ceil(y-r))); j <= min(p.H-1, int(math.Floor(y+r))); j++ {
		for i := max(0, int(math.Ceil(x-r))); i <= min(p.W-1, int(math.Floor(x+r))); i++ {
			switch t := p.Tints[j*p.W+i]; {
			case t == Plain:
				plain++
			case t != None:
				list = append(list, t)
				if t.isDull() {
					dulls++
				}
			}
		}
	}
	switch {
	case len(list) == 0 && plain == 0:
		return None
	case plain >= len(list):
		return Plain
	}
	t := first + Tint(2*middle(list))
	if 2*dulls > len(list) {
		t++
	}
	return t
}

// middle returns the hue that is nearest to all of some tints.
func middle(list []Tint) int {
	best, least := 0, math.MaxInt
	for _, t := range list {
		sum := 0
		for _, o := range list {
			sum += apart(t.hue(), o.hue())
		}
		if sum < least {
			best, least = t.hue(), sum
		}
	}
	return best
}

// ink is a colour that a good part of the page is drawn in.
type ink struct {
	hue  int
	name string
}

// inksOf finds the inks of a page: the hues round which most of its length lies.
func inksOf(looks []looked) []ink {
	var length, dulls [hues]float64
	for _, l := range looks {
		for _, t := range l.tints {
			if t >= first {
				length[t.hue()] += l.every
				if t.isDull() {
					dulls[t.hue()] += l.every
				}
			}
		}
	}
	about := func(of [hues]float64, h int) (sum float64) {
		for d := -alike; d <= alike; d++ {
			sum += of[(h+d+hues)%hues]
		}
		return sum
	}
	var out []ink
	for {
		best := 0
		for h := range length {
			if about(length, h) > about(length, best) {
				best = h
			}
		}
		whole := about(length, best)
		if whole < leastInk {
			return out
		}
		// The middle of the hump, not an end of its level top.
		var moment float64
		for d := -alike; d <= alike; d++ {
			moment += float64(d) * length[(best+d+hues)%hues]
		}
		mid := (best + int(math.Round(moment/whole)) + hues) % hues
		out = append(out, ink{mid, nameOf(mid, 2*about(dulls, best) > whole)})
		for d := -alike - 2; d <= alike+2; d++ {
			length[(best+d+hues)%hues] = 0
		}
	}
}

// palette are the inks of a page.
type palette struct {
	inks []ink
	shades
}

// of names the ink of place i of a stroke: that with the nearest hue. "" is not to be
// told.
func (p palette) of(l looked, i int) string {
	t := l.tints[i]
	switch {
	case t == None:
		return ""
	case t == Plain || len(p.inks) == 0:
		return p.name(l.absorb[i])
	}
	return slices.MinFunc(p.inks, func(a, b ink) int { return cmp.Compare(apart(a.hue, t.hue()), apart(b.hue, t.hue())) }).name
}
