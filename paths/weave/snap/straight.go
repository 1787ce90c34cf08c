package snap

import (
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/paths/weave/snap/carry"
	"weftplot/paths/weave/snap/slanting"
	"weftplot/paths/weave/snap/web"
)

// A straight is a part of a stroke meant as a straight line on the weave, or a
// fixed line. Its vertices stand in the order of the coordinate along it.
type straight struct {
	axis   weave.Axis
	fixed  bool // a FixedLine: channel is settled
	stroke int  // of which stroke, and which of its curves; none when fixed
	curves []int
	verts  []int // vertex numbers; none when fixed
	at     []carry.Knot
	mean   float64 // of the fixed coordinate, over the length

	channel int
	evened  bool   // it has a part in a size that recurs
	met     bool   // a diagonal ends on it, in a hole
	named   *Named // who said that it goes into its channel, or nil
}

func (r *straight) lo() float64     { return r.at[0].Along }
func (r *straight) hi() float64     { return r.at[len(r.at)-1].Along }
func (r *straight) length() float64 { return r.hi() - r.lo() }

// fixedAt returns the fixed coordinate where the other is v; beyond an end, the
// end's own.
func (r *straight) fixedAt(v float64) float64 { return carry.FixedAt(r.at, v) }

// lean returns how far the ends of r are apart across it, mm.
func (r *straight) lean() float64 { return math.Abs(r.at[len(r.at)-1].Fixed - r.at[0].Fixed) }

// strays returns how far a vertex of r lies from its chord at most, mm.
func (r *straight) strays() float64 {
	ends := []carry.Knot{r.at[0], r.at[len(r.at)-1]}
	worst := 0.
	for _, k := range r.at {
		worst = max(worst, math.Abs(k.Fixed-carry.FixedAt(ends, k.Along)))
	}
	return worst
}

// finder looks for straights along one axis.
type finder struct {
	*web.Web
	axis      weave.Axis
	grid      weave.Grid
	slope     float64 // greatest rise across the axis over the length along it
	least     float64 // least length, mm
	slack     float64 // greatest stray of a vertex from the straight's chord, mm
	straights []*straight
	sense     []int // room for those of the curves of a stroke
	order     []int
}

// The bounds of what is taken for one straight line.
const (
	straySlack = 0.25 // a vertex may lie so many channels off the chord
	bendSlack  = 0.125
	wobble     = 0.1 // a curve under 1.5 channels long may stray so far whatever its angle
	// What strays less from its chord is straight, whatever comes before and after.
	straightStray = 0.01
	// What turns by more than curveTurn as a whole and goes on
	// turning the same way at one of its ends, by no more than cornerTurn, is a
	// part of a curve: the side of a large circle is no line.
	curveTurn  = 1.5 * math.Pi / 180
	cornerTurn = 25 * math.Pi / 180
)

func findStraights(w *web.Web, axis weave.Axis, g weave.Grid, opt Options, pause *pause) []*straight {
	f := &finder{
		Web: w, axis: axis, grid: g,
		slope: math.Tan(opt.Angle * math.Pi / 180),
		least: opt.MinChannels * g.Step(axis),
		slack: straySlack * g.Pitch(axis),
	}
	for i := range w.Strokes {
		if pause.step() {
			break
		}
		if opt.AngleOf != nil {
			angle := opt.AngleOf(i)
			if angle == 0 {
				continue
			}
			f.slope = math.Tan(angle * math.Pi / 180)
		}
		if f.reaches(i) {
			f.stroke(i)
		}
	}
	return f.straights
}

// reaches reports whether a stroke reaches so far along the axis that it may have a
// straight.
func (f *finder) reaches(s int) bool {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, v := range f.Path(s) {
		_, along := f.axis.Split(f.Vertices[v])
		lo, hi = min(lo, along), max(hi, along)
	}
	return f.isLong(hi - lo)
}

// isLong reports whether a straight may be so short, mm.
func (f *finder) isLong(length float64) bool { return length >= f.least*(1-1e-9) }

// stroke finds the straights of stroke s: the longest rows of curves, from its start, or
// from the first place in a closed one where no straight can go across.
func (f *finder) stroke(s int) {
	n := len(f.Strokes[s])
	f.sense = slices.Grow(f.sense[:0], n)[:n]
	f.order = slices.Grow(f.order[:0], n)[:n]
	sense, order := f.sense, f.order
	for i := range sense {
		sense[i] = f.senseOf(f.Strokes[s][i])
	}
	start := 0
	if f.IsClosed(s) {
		for i := range n {
			if sense[i] != sense[(i+n-1)%n] {
				start = i
				break
			}
		}
	}
	for i := range order {
		order[i] = (start + i) % n
	}
	for i := 0; i < n; {
		if sense[order[i]] == 0 {
			i++
			continue
		}
		j := f.extend(s, order, sense, i)
		f.keep(s, order[i:j], sense[order[i]])
		i = j
	}
}

// senseOf returns +1 or -1 when c can be a part of a straight that goes up or down its
// axis, 0 when it cannot.
func (f *finder) senseOf(c paths.Curve) int {
	a, b := f.knot(c.Start()), f.knot(c.End())
	d := b.Along - a.Along
	lean := f.slope*math.Abs(d) + web.Joint
	if _, ok := c.(paths.Line); ok && math.Abs(d) < 1.5*f.grid.Step(f.axis) {
		lean = max(lean, wobble*f.grid.Pitch(f.axis)) // a drawn line's, not a direction
	}
	if d == 0 || math.Abs(b.Fixed-a.Fixed) > lean {
		return 0
	}
	sign := 1
	if d < 0 {
		sign = -1
	}
	if !f.isFlat(c, a, b, float64(sign)) {
		return 0
	}
	return sign
}

// isFlat reports whether c keeps near its chord and within the angle.
func (f *finder) isFlat(c paths.Curve, a, b carry.Knot, sign float64) bool {
	if _, ok := c.(paths.Line); ok {
		return true
	}
	for t := 0.; t <= 1; t += 0.125 {
		dFixed, dAlong := f.axis.Split(c.Tangent(t))
		if dAlong*sign <= 0 || math.Abs(dFixed) > f.slope*math.Abs(dAlong) {
			return false
		}
		k := f.knot(c.At(t))
		chord := a.Fixed + (b.Fixed-a.Fixed)*(k.Along-a.Along)/(b.Along-a.Along)
		if math.Abs(k.Fixed-chord) > bendSlack*f.grid.Pitch(f.axis) {
			return false
		}
	}
	return true
}

func (f *finder) knot(p paths.Point) carry.Knot {
	fixed, along := f.axis.Split(p)
	return carry.Knot{Fixed: fixed, Along: along}
}

// extend returns the end of the longest row of curves from order[i] on whose
// vertices keep within the slack of the chord. It keeps the cone of slopes that
// pass every vertex so far, so the work is one step a curve.
func (f *finder) extend(s int, order, sense []int, i int) int {
	start := f.knot(f.Strokes[s][order[i]].Start())
	lo, hi := math.Inf(-1), math.Inf(1)
	end := i
	for j := i; j < len(order) && sense[order[j]] == sense[order[i]]; j++ {
		p := f.knot(f.Strokes[s][order[j]].End())
		d := p.Along - start.Along
		m := (p.Fixed - start.Fixed) / d
		if m >= lo && m <= hi && math.Abs(m) <= f.slope+1e-9 {
			end = j + 1
		} else if lo > hi {
			break
		}
		w := f.slack / math.Abs(d)
		lo, hi = max(lo, m-w), min(hi, m+w)
	}
	return max(end, i+1)
}

// keep makes a straight of the curves, less what belongs to a curve at their ends, if
// they are long enough.
func (f *finder) keep(s int, curves []int, sign int) {
	for {
		head, tail := f.turnsOn(s, curves)
		if !head && !tail {
			break
		}
		if tail {
			curves = curves[:len(curves)-1]
		}
		if head && len(curves) > 0 {
			curves = curves[1:]
		}
		if len(curves) == 0 {
			return
		}
	}
	if !f.isLong(f.lengthOf(s, curves)) {
		return
	}
	r := &straight{axis: f.axis, stroke: s, curves: slices.Clone(curves)}
	add := func(v int) {
		r.verts = append(r.verts, v)
		r.at = append(r.at, f.knot(f.Vertices[v]))
	}
	add(f.Ends(s, curves[0])[0])
	for _, i := range curves {
		add(f.Ends(s, i)[1])
	}
	if sign < 0 {
		slices.Reverse(r.verts)
		slices.Reverse(r.at)
		slices.Reverse(r.curves)
	}
	for i := 1; i < len(r.at); i++ {
		if r.at[i].Along <= r.at[i-1].Along {
			return // curves shorter than a joint
		}
	}
	if f.isCurved(s, curves, r) {
		return
	}
	r.mean = r.meanFixed()
	f.straights = append(f.straights, r)
}

// lengthOf returns how far apart the ends of a row of curves lie along the axis, mm.
func (f *finder) lengthOf(s int, curves []int) float64 {
	_, a := f.axis.Split(f.Vertices[f.Ends(s, curves[0])[0]])
	_, b := f.axis.Split(f.Vertices[f.Ends(s, curves[len(curves)-1])[1]])
	return math.Abs(b - a)
}

// meanFixed returns the mean of the fixed coordinate over the length.
func (r *straight) meanFixed() float64 {
	var sum float64
	for i := 1; i < len(r.at); i++ {
		a, b := r.at[i-1], r.at[i]
		sum += (b.Along - a.Along) * (a.Fixed - r.at[0].Fixed + b.Fixed - r.at[0].Fixed) / 2
	}
	return r.at[0].Fixed + sum/r.length()
}

// turnsOn reports whether the curves are a part of a longer curve: they turn,
// and the stroke turns on the same way before or after them.
func (f *finder) turnsOn(s int, curves []int) (before, after bool) {
	i, j := curves[0], curves[len(curves)-1]
	h := f.headings(s, curves)
	turn := slanting.Turn(h.first, h.last)
	if math.Abs(turn) <= curveTurn {
		return false, false
	}
	n, closed := len(f.Strokes[s]), f.IsClosed(s)
	goesOn := func(a, b paths.Point) bool {
		t := slanting.Turn(a, b)
		return math.Abs(t) <= cornerTurn && t*turn >= 0
	}
	return (i > 0 || closed) && goesOn(h.before, h.first), (j < n-1 || closed) && goesOn(h.last, h.after)
}

// headings are directions of travel near a part of a stroke.
type headings struct{ before, first, last, after paths.Point }

// headings returns the tangents at the ends of a few curves and of what comes
// before and after; of many curves, the chords of a third of them, as one curve
// of a wobbling line says little.
func (f *finder) headings(s int, curves []int) headings {
	stroke := f.Strokes[s]
	n, m := len(stroke), len(curves)
	i, j := curves[0], curves[m-1]
	third := m / 3
	if m < 4 {
		return headings{
			stroke[(i+n-1)%n].Tangent(1), stroke[i].Tangent(0),
			stroke[j].Tangent(1), stroke[(j+1)%n].Tangent(0),
		}
	}
	back, on := third, third
	if !f.IsClosed(s) {
		back, on = min(back, i), min(on, n-1-j)
	}
	start, end := stroke[i].Start(), stroke[j].End()
	return headings{
		start.Sub(stroke[(i+n-back)%n].Start()), stroke[curves[third]].Start().Sub(start),
		end.Sub(stroke[curves[m-third]].Start()), stroke[(j+on)%n].End().Sub(end),
	}
}

// isCurved reports whether a row of curves that is not quite straight, whose own turn a
// wobble may hide, lies in a curve: the stroke turns the same way on both sides of it,
// within its own length, and nowhere sharply.
func (f *finder) isCurved(s int, curves []int, r *straight) bool {
	if r.strays() <= straightStray*f.grid.Pitch(f.axis) {
		return false
	}
	i, j := curves[0], curves[len(curves)-1]
	start, end := f.Strokes[s][i].Start(), f.Strokes[s][j].End()
	chord := end.Sub(start)
	back, ok := f.walk(s, i, -1, chord.Len())
	on, ok2 := f.walk(s, j, +1, chord.Len())
	t, u := slanting.Turn(start.Sub(back), chord), slanting.Turn(chord, on.Sub(end))
	bends := func(t float64) bool { return math.Abs(t) > curveTurn/2 && math.Abs(t) <= cornerTurn }
	switch {
	case ok && ok2:
		return bends(t) && bends(u) && t*u > 0
	case ok:
		return bends(t)
	}
	return ok2 && bends(u)
}

// walk follows stroke s from curve i, forwards or back, for about a length, and
// returns where it gets to, and whether it gets half as far.
func (f *finder) walk(s, i, step int, length float64) (paths.Point, bool) {
	stroke := f.Strokes[s]
	n := len(stroke)
	p := stroke[i].Start()
	if step > 0 {
		p = stroke[i].End()
	}
	gone := 0.
	for range n - 1 {
		if i += step; (i < 0 || i >= n) && !f.IsClosed(s) || gone >= length {
			break
		}
		i = (i + n) % n
		q := stroke[i].Start()
		if step > 0 {
			q = stroke[i].End()
		}
		gone += p.Dist(q)
		p = q
	}
	return p, gone >= length/2
}
