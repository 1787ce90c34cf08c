package scan

import (
	"cmp"
	"fmt"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/scan/areas"
	"weftplot/paths/scan/skeleton"
)

// A line is darker than the paper at both of its sides. One that is darker by
// less than pale, as a share of the darkness of most lines, is doubtful. It is
// the edge of a shadow, and not a line, when one side is more than half as dark
// as it is, or when it is hardly darker than either.
const (
	pale   = 0.45
	hardly = 0.35
)

// contrast returns how dark a line is at point i, and by how much darker than
// the darker of its two sides, as shares of the usual darkness of lines.
func (k ink) contrast(pts []paths.Point, i int) (dark, rise float64) {
	n := direction(pts, i, 4, false).Left().Mul(k.width)
	p := pts[i]
	dark = (k.dark(p) + k.dark(p.Add(n.Mul(0.15))) + k.dark(p.Sub(n.Mul(0.15)))) / 3
	if k.rim != nil {
		if _, ok := k.rim.shift(p, n.Unit(), 0.1*k.width, k.rim.breadth); ok {
			return dark / k.level, dark / k.level // an edge of the pen beside it
		}
	}
	// A whole width away may lie the next line; a shadow is as dark nearer by.
	side := func(n paths.Point) float64 { return min(k.dark(p.Add(n)), k.dark(p.Add(n.Mul(0.75)))) }
	return dark / k.level, (dark - max(side(n), side(n.Mul(-1)))) / k.level
}

// sample is the contrast of a line, averaged over about a width of it.
type sample struct{ dark, rise float64 }

func (s sample) isShadow() bool { return s.rise < hardly || s.isEdge() }

// isEdge reports whether one side is more than half as dark.
func (s sample) isEdge() bool { return s.rise < pale && s.rise < s.dark/2 }

// samples returns the contrast of a line at points that are every places apart.
func (k ink) samples(pts []paths.Point, every int) []sample {
	var raw []sample
	for i := 0; i < len(pts); i += every {
		dark, rise := k.contrast(pts, i)
		raw = append(raw, sample{dark, rise})
	}
	out := make([]sample, len(raw))
	for i := range raw {
		from, to := max(0, i-4), min(len(raw), i+5)
		for _, s := range raw[from:to] {
			out[i].dark += s.dark / float64(to-from)
			out[i].rise += s.rise / float64(to-from)
		}
	}
	return out
}

// verdict is what the contrast of a chain says of it.
type verdict int

const (
	isLine verdict = iota
	isPale
	isTone  // the edge of a shadow
	isFaint // hardly darker than paper
)

// dropShadows removes from the free ends of a chain the edges of shadows that
// the line ran into, and says what the chain is.
func (k ink) dropShadows(c chain) (kept chain, what verdict) {
	every := max(1, int(k.width/4))
	shadow, doubtful := true, true
	edges, all := 0, 0
	kept = chain{closed: c.closed}
	for i, r := range c.runs {
		list := k.samples(r.pts, every)
		shadow = shadow && !slices.ContainsFunc(list, func(s sample) bool { return !s.isShadow() })
		all, edges = all+len(list), edges+edgesOf(list)
		doubtful = doubtful && !slices.ContainsFunc(list, func(s sample) bool { return s.rise >= pale })
		from, to := 0, len(list)
		if i == 0 && !c.closed && !r.a.fixed {
			from = leadingShadow(list)
		}
		if i == len(c.runs)-1 && !c.closed && !r.b.fixed {
			to -= trailingShadow(list[from:])
		}
		if to > from {
			r.pts = r.pts[from*every : min(len(r.pts), to*every)]
		}
		kept.runs = append(kept.runs, r)
	}
	return kept, verdictOf(shadow, 2*edges > all, doubtful)
}

// edgesOf counts the samples with one side more than half as dark.
func edgesOf(list []sample) (n int) {
	for _, s := range list {
		if s.isEdge() {
			n++
		}
	}
	return n
}

// verdictOf says what a chain is that is shadow all along, mostly beside a dark side, or
// nowhere sure.
func verdictOf(shadow, edge, doubtful bool) verdict {
	switch {
	case shadow && edge:
		return isTone
	case shadow:
		return isFaint
	case doubtful:
		return isPale
	}
	return isLine
}

// leadingShadow returns how many samples at the beginning are shadow.
func leadingShadow(list []sample) int {
	n := slices.IndexFunc(list, func(s sample) bool { return !s.isShadow() })
	if n < 0 {
		return len(list)
	}
	return n
}

// trailingShadow returns how many samples at the end are shadow.
func trailingShadow(list []sample) int {
	n := 0
	for n < len(list) && list[len(list)-1-n].isShadow() {
		n++
	}
	return n
}

// undrawnWidths is how long ink is, in widths of the line, that is listed where nothing
// was drawn along it.
const undrawnWidths = 2.5

// listUndrawn lists the thinned ink that no stroke lies along, by its length, and the
// pale marks, long and thin, that were not taken for ink.
func (t *tracer) listUndrawn(thin skeleton.Plane, pale []skeleton.Component) {
	side := max(1, t.width/2)
	w := int(float64(thin.W)/side) + 1
	drawn := t.toldIn(side, w, int(float64(thin.H)/side)+1)
	for i, v := range thin.Pixels {
		if v == 0 {
			continue
		}
		x, y := i%thin.W, i/thin.W
		thin.Pixels[i] = 1
		if drawn[int(float64(y)/side)*w+int(float64(x)/side)] {
			thin.Pixels[i] = 0
		}
	}
	_, left := skeleton.Components(thin, thin, skeleton.Inked, true)
	for _, c := range left {
		if c.Area() > undrawnWidths*t.width {
			t.undrawn("%.0f mm of ink was not drawn", c, c.Area())
		}
	}
	for _, c := range pale {
		long, wide := float64(c.Size()), c.Area()/float64(c.Size())
		if long > 8*t.width && wide < 2*t.width {
			t.undrawn("a pale mark %.0f mm long was not drawn", c, long)
		}
	}
}

// toldIn returns which cells of a page, w across and h down and side pixels wide, lie
// along a stroke or along what a doubt is about: that is not told again as undrawn.
func (t *tracer) toldIn(side float64, w, h int) []bool {
	drawn := make([]bool, w*h)
	told := slices.Clone(t.out.Strokes)
	for _, f := range t.out.Finds {
		if f.Kind == Doubtful {
			told = append(told, f.Stroke)
		}
	}
	for _, s := range told {
		for _, p := range resample(s.Flatten(0.2), side/2) {
			x, y := int(p.X/side), int(p.Y/side)
			for j := max(0, y-2); j <= y+2; j++ {
				for i := max(0, x-2); i <= min(w-1, x+2); i++ {
					if k := j*w + i; k < len(drawn) {
						drawn[k] = true
					}
				}
			}
		}
	}
	return drawn
}

// undrawn lists what was left undrawn, a length in pixels, at a pixel of it.
func (t *tracer) undrawn(message string, c skeleton.Component, length float64) {
	box := paths.Rect{Min: paths.Point{X: float64(c.X0), Y: float64(c.Y0)}, Max: paths.Point{X: float64(c.X1), Y: float64(c.Y1)}}
	at := box.Centre()
	if mid := c.Middle(); min(box.Width(), box.Height()) < 2*t.width {
		at = mid
	}
	t.out.Finds = append(t.out.Finds, Find{Kind: Doubtful, At: at, Message: fmt.Sprintf(message, length*t.mm), LengthMM: length * t.mm})
}

const (
	// mostShutMM bounds how wide a gap in ink is that still closes an area, where lines
	// have no grain.
	mostShutMM = 1.5
	// roomyMM is the radius of a circle that fits between the ink of an area that counts.
	roomyMM = 1.
	// speckledWidths is the least length of ink round an area that counts, in widths of
	// the line, where lines are grainy: smaller ones are bare places in the ink.
	speckledWidths = 3
	// apartMM is how far from each other areas left open are listed.
	apartMM = 1.5
)

// shuts returns how wide gaps in ink are, in pixels, that still close an area. Where lines
// are grainy or the pencil skipped often, an area counts that is closed by either. breaks
// is how many breaks in lines there were.
func (t *tracer) shuts(breaks int) []float64 {
	usual := t.even(areas.ShutWidths*t.width, mostShutMM)
	if t.grainy || breaks >= often {
		return []float64{usual, areas.SkipWidths * t.width}
	}
	return []float64{usual}
}

// listOpen lists the areas that ink closes and the lines drawn leave open.
func (t *tracer) listOpen(p areas.Plan, k ink, shuts []float64) {
	var told []areas.Open
	for i, gap := range shuts {
		for _, o := range p.Open(t.out.Strokes, gap) {
			switch {
			case t.grainy && o.Round < speckledWidths*t.width:
				continue // a bare place in the ink
			case t.isAmong(told, o) || i > 0 && !t.greyed(k, o):
				continue
			}
			told = append(told, o)
			t.found(Doubtful, o.At(), nil, openArea)
			t.out.Finds[len(t.out.Finds)-1].LengthMM = o.Round * t.mm
		}
	}
}

// greyed reports whether some ink lies in a passage: where only a wide gap closes an
// area, bare paper may be meant to be open.
func (t *tracer) greyed(k ink, o areas.Open) bool {
	across := o.To.Sub(o.From).Unit().Left().Mul(0.5 * t.width)
	const places = 8
	var sum float64
	for i := range places + 1 {
		p := o.From.Lerp(o.To, 0.25+0.5*float64(i)/places)
		sum += max(k.dark(p), k.dark(p.Add(across)), k.dark(p.Sub(across)))
	}
	return sum/(places+1) > support*k.level
}

// openArea is what is said of an area that is open. Each has its own place: it is not told
// in one with others.
const openArea = "the ink closes an area that the lines leave open here"

// groupMM is how near doubts of one kind are that become one.
const groupMM = 5

// grouped makes one doubt of those that say the same within groupMM, about the longest
// of them.
func grouped(finds []Find) []Find {
	var out []Find
	kinds := map[string][]int{}
	var order []string
	for i, f := range finds {
		if f.Kind != Doubtful {
			out = append(out, f)
			continue
		}
		key := f.kindOfDoubt()
		if kinds[key] == nil {
			order = append(order, key)
		}
		kinds[key] = append(kinds[key], i)
	}
	for _, key := range order {
		var at []paths.Point
		for _, i := range kinds[key] {
			at = append(at, finds[i].At)
		}
		within := float64(groupMM)
		if key == openArea {
			within = 0
		}
		number, n := near.Clusters(at, within)
		best, count := make([]int, n), make([]int, n)
		for k, i := range kinds[key] {
			c := number[k]
			if count[c] == 0 || finds[i].LengthMM > finds[best[c]].LengthMM {
				best[c] = i
			}
			count[c]++
		}
		for c, i := range best {
			f := finds[i]
			if count[c] > 1 {
				f.Message += fmt.Sprintf(" (and %d more like it about there)", count[c]-1)
			}
			out = append(out, f)
		}
	}
	slices.SortStableFunc(out, func(a, b Find) int { return cmp.Compare(b.At.Y, a.At.Y) })
	return out
}

// kindOfDoubt is what the message says without its numbers.
func (f Find) kindOfDoubt() string {
	var b []rune
	for _, r := range f.Message {
		if r < '0' || r > '9' {
			b = append(b, r)
		}
	}
	return string(b)
}
