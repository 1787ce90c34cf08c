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
	// leastPiece is how long a piece of another ink is at least, in widths of the
	// line: where lines cross, each runs through the ink of the other. At the end of a
	// line, or between two other inks, half of that is enough.
	leastPiece, leastPieceMM = 4., 2.
	// leastInk is the least length of an ink on a page, in mm: less is a stray tint.
	leastInk = 6.
	// alike is how many hues apart two inks are one.
	alike = 6
)

// Divide cuts strokes where the ink under them changes, and returns the pieces with the
// name of the ink of each. The order stays. width is that of the line, in mm.
func Divide(strokes []paths.Stroke, p Plane, width float64, dark Dark) (pieces []paths.Stroke, names []string) {
	looks := make([]looked, len(strokes))
	for i, s := range strokes {
		looks[i] = p.along(s, width, dark)
	}
	inks := palette{inksOf(looks), shadesOf(looks)}
	within := width + everyMM
	for i, s := range strokes {
		at := cornersOf(s)
		for _, r := range looks[i].runs(inks, width, s.IsClosed()) {
			piece := s
			if !r.whole {
				piece = cut(s, at.near(r.from, within), at.near(r.to, within))
			}
			if len(piece) > 0 {
				pieces, names = append(pieces, piece), append(names, r.ink)
			}
		}
	}
	return pieces, names
}

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

// run is a part of a stroke in one ink, in mm along it. On a closed stroke it may go on
// beyond the end.
type run struct {
	ink      string
	from, to float64
	whole    bool
}

// runs divides a stroke into parts of one ink each. Parts too short to tell go with
// their neighbours.
func (l looked) runs(inks palette, width float64, closed bool) []run {
	var list []run
	for i := range l.tints {
		name := inks.of(l, i)
		from, to := float64(i)*l.every, float64(i+1)*l.every
		if n := len(list); n > 0 && (name == list[n-1].ink || name == "") {
			list[n-1].to = to
			continue
		}
		list = append(list, run{ink: name, from: from, to: to})
	}
	if n := len(list); closed && n > 1 && list[0].ink == list[n-1].ink {
		list[n-1].to += list[0].to
		list = list[1:]
	}
	list = absorbed(list, max(leastPieceMM, leastPiece*width), closed, l.length)
	if len(list) == 1 {
		if list[0].whole = true; list[0].ink == "" {
			list[0].ink = inks.name(0)
		}
	}
	return list
}

// absorbed gives the shortest run to its longer neighbour until none is shorter than
// least, as a share of which short runs between two of one ink count half.
func absorbed(list []run, least float64, closed bool, length float64) []run {
	size := func(i int) float64 { return list[i].to - list[i].from }
	weight := func(i int) float64 {
		n := len(list)
		switch inside := closed || i > 0 && i < n-1; {
		case list[i].ink == "":
			return 0
		case inside && list[(i+n-1)%n].ink == list[(i+1)%n].ink:
			return size(i)
		}
		return 2 * size(i)
	}
	for len(list) > 1 {
		short := 0
		for i := range list {
			if weight(i) < weight(short) {
				short = i
			}
		}
		if weight(short) >= least {
			return list
		}
		give(list, short, closed)
		list = joined(slices.Delete(list, short, short+1), closed)
	}
	if list[0].to-list[0].from > length-1e-9 {
		list[0].from, list[0].to = 0, length
	}
	return list
}

// give gives run i to the longer of its neighbours.
func give(list []run, i int, closed bool) {
	size := func(i int) float64 { return list[i].to - list[i].from }
	n := len(list)
	before, after := i-1, i+1
	if closed {
		before, after = (i+n-1)%n, (i+1)%n
	}
	if before < 0 || after < n && size(after) > size(before) {
		list[after].from -= size(i)
		return
	}
	list[before].to += size(i)
}

// joined makes one run of neighbours in one ink.
func joined(list []run, closed bool) []run {
	var out []run
	for _, r := range list {
		if n := len(out); n > 0 && out[n-1].ink == r.ink {
			out[n-1].to += r.to - r.from
			continue
		}
		out = append(out, r)
	}
	if n := len(out); closed && n > 1 && out[0].ink == out[n-1].ink {
		out[n-1].to += out[0].to - out[0].from
		out = out[1:]
	}
	return out
}

// corners are where a stroke turns, in mm along it, and its length.
type corners struct {
	at     []float64
	length float64
	closed bool
}

// cornersOf finds the corners of a stroke.
func cornersOf(s paths.Stroke) (c corners) {
	const sharp = 15 * math.Pi / 180
	c.closed = s.IsClosed()
	for i, k := range s {
		if next := s[(i+1)%len(s)]; i+1 < len(s) || c.closed {
			u, v := k.Tangent(1), next.Tangent(0)
			if math.Abs(math.Atan2(u.Cross(v), u.Dot(v))) > sharp {
				c.at = append(c.at, c.length+k.Length())
			}
		}
		c.length += k.Length()
	}
	return c
}

// near returns the corner within some length of a place along the stroke, or the place: two
// inks that meet do so in a corner, if there is one. The ends of an open stroke stay: no
// two inks meet there.
func (c corners) near(place, within float64) float64 {
	turns := []float64{0}
	switch {
	case c.closed:
		// The place may lie beyond the end.
		turns = []float64{-c.length, 0, c.length}
	case place < 1e-9 || place > c.length-1e-9:
		return place
	}
	best, far := place, within
	for _, at := range c.at {
		for _, turn := range turns {
			if d := math.Abs(at + turn - place); d < far {
				best, far = at+turn, d
			}
		}
	}
	return best
}

// cut returns the part of a stroke between two places, in mm along it. That of a closed
// stroke may lie across its start.
func cut(s paths.Stroke, from, to float64) paths.Stroke {
	length := s.Length()
	if s.IsClosed() {
		shift := math.Floor(from/length) * length
		from, to = from-shift, to-shift
		if to > length {
			return append(cut(s, from, length), between(s, 0, to-length)...)
		}
	}
	return between(s, from, to)
}

// between is cut within the ends of a stroke.
func between(s paths.Stroke, from, to float64) paths.Stroke {
	const tiny = 1e-6
	var out paths.Stroke
	gone := 0.0
	for _, c := range s {
		l := c.Length()
		a, b := max(0, from-gone), min(l, to-gone)
		gone += l
		if b-a < tiny {
			continue
		}
		if b < l-tiny {
			c, _ = c.Split(paramAt(c, b))
		}
		if a > tiny {
			_, c = c.Split(paramAt(c, a))
		}
		out = append(out, c)
	}
	return out
}

// paramAt returns the parameter of a curve at a length from its start, by halving.
func paramAt(c paths.Curve, length float64) float64 {
	low, high := 0.0, 1.0
	for range 30 {
		mid := (low + high) / 2
		if part, _ := c.Split(mid); part.Length() < length {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}
