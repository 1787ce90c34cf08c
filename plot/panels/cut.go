package panels

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
)

// The kinds of places for a joint, the best first. Each costs one more than the one before.
const (
	wovenNode  = iota // a corner or a crossing of lines in channels
	node              // another corner or crossing
	inChannels        // on a straight line in a channel
	straight          // on another straight line
	curved
	kinds
)

const (
	// jointCost is that of every joint: one more costs more than any place of it.
	jointCost = 100
	// offCost is for where the joint lies in the stretch that both windows hold, at most.
	offCost = 0.9
	// crowdedCost is for a joint whose lap runs into that of the one before.
	crowdedCost = 50
)

// A cutter cuts the strokes of a plan that no window holds.
type cutter struct {
	plan    *Plan
	windows []paths.Rect
	ink     *ink
}

func newCutter(p *Plan, windows []paths.Rect) *cutter {
	return &cutter{p, windows, newInk(p.strokes, p.opt.Grid)}
}

// A reach is a stretch of the stroke that a window holds.
type reach struct {
	stretch
	window int
}

// A cut is where a stroke may be cut: at a distance along it that ends a part in one reach
// and begins one in another. Of a closed stroke the two reaches may count the distance from
// other rounds.
type cut struct {
	from, to     int // reaches
	leave, enter float64
	cost         float64
}

// cut returns the parts of a stroke, in order along it, and adds its joints to the plan.
func (c *cutter) cut(number int) ([]ownPart, error) {
	t := newTrack(c.plan.strokes[number].Stroke)
	var reaches []reach
	for n, w := range c.windows {
		for _, s := range t.within(w.Grow(hair)) {
			reaches = append(reaches, reach{s, n})
		}
	}
	way, ok := c.cheapest(t, number, reaches)
	if !ok {
		at := t.Start()
		return nil, fault.TooBig("", "choose a larger machine or a shorter [lap]", "the stroke that begins at %.1f, %.1f mm cannot be cut so that its parts go past each other by %.1f mm", at.X, at.Y, c.plan.opt.Lap)
	}
	return c.parts(t, number, reaches, way), nil
}

// cheapest returns the cuts of a stroke that cost least.
func (c *cutter) cheapest(t track, number int, reaches []reach) ([]cut, bool) {
	cuts := c.candidates(t, number, reaches)
	if !t.closed {
		return cheapestOpen(cuts, reaches, t.length(), c.plan.opt.Lap)
	}
	var best []cut
	least := math.Inf(1)
	for first := range cuts {
		if way, cost, ok := cheapestRound(cuts, first, t.length(), c.plan.opt.Lap); ok && cost < least-1e-9 {
			best, least = way, cost
		}
	}
	return best, best != nil
}

// candidates returns where a stroke may be cut, rising.
func (c *cutter) candidates(t track, number int, reaches []reach) []cut {
	const slack = 10 * hair
	half := c.plan.opt.Lap / 2
	var out []cut
	for i, a := range reaches {
		for j, b := range reaches {
			for _, round := range t.rounds() {
				lo, hi := b.lo+round+half, a.hi-half
				if lo > hi && lo < hi+slack {
					lo = hi
				}
				if a.window == b.window || lo > hi || b.lo+round < a.lo || b.hi+round < a.hi {
					continue
				}
				farthest := hi
				if b.window < a.window {
					farthest = lo
				}
				for _, s := range c.spots(t, number, stretch{lo, hi}, farthest) {
					out = append(out, cut{i, j, s.at, s.at - round, s.cost})
				}
			}
		}
	}
	slices.SortStableFunc(out, func(a, b cut) int { return cmp.Compare(a.leave, b.leave) })
	return out
}

// rounds are by how much distances along a track may differ that are one place.
func (t track) rounds() []float64 {
	if !t.closed {
		return []float64{0}
	}
	return []float64{-t.length(), 0, t.length()}
}

// crowded returns what it costs that a part between cuts is so short.
func crowded(length, lap float64) float64 {
	if length < lap-hair {
		return crowdedCost
	}
	return 0
}

// cheapestOpen finds cuts that lead from the start of an open stroke to its end.
func cheapestOpen(cuts []cut, reaches []reach, length, lap float64) (way []cut, ok bool) {
	const slack = 1e-9
	cost, before := make([]float64, len(cuts)), make([]int, len(cuts))
	least, last := math.Inf(1), -1
	for k, c := range cuts {
		cost[k], before[k] = math.Inf(1), -1
		if reaches[c.from].lo <= slack {
			cost[k] = c.cost
		}
		for m, b := range cuts[:k] {
			if b.to != c.from || b.enter > c.leave {
				continue
			}
			if v := cost[m] + c.cost + crowded(c.leave-b.enter, lap); v < cost[k] {
				cost[k], before[k] = v, m
			}
		}
		if reaches[c.to].hi >= length-slack && cost[k] < least {
			least, last = cost[k], k
		}
	}
	for k := last; k >= 0; k = before[k] {
		way = append(way, cuts[k])
	}
	slices.Reverse(way)
	return way, last >= 0
}

// cheapestRound finds cuts that lead once round a closed stroke, from a first one.
func cheapestRound(cuts []cut, first int, length, lap float64) (way []cut, least float64, ok bool) {
	const slack = 1e-7
	// Cuts by how far they are beyond the first; the first again comes last.
	type step struct {
		cut
		gone   float64
		cost   float64
		before int
	}
	start := cuts[first]
	var steps []step
	for k, c := range cuts {
		gone := math.Mod(c.leave-start.leave+2*length, length)
		if k != first && gone > slack && gone < length-slack {
			steps = append(steps, step{c, gone, math.Inf(1), -1})
		}
	}
	slices.SortStableFunc(steps, func(a, b step) int { return cmp.Compare(a.gone, b.gone) })
	steps = append(steps, step{start, length, math.Inf(1), -1})
	for k := range steps {
		s := &steps[k]
		try := func(from cut, gone, cost float64, before int) {
			took := s.leave - from.enter
			if from.to != s.from || took < 0 || math.Abs(gone+took-s.gone) > slack {
				return
			}
			if v := cost + s.cut.cost + crowded(took, lap); v < s.cost {
				s.cost, s.before = v, before
			}
		}
		try(start, 0, 0, -1)
		for m, b := range steps[:k] {
			try(b.cut, b.gone, b.cost, m)
		}
	}
	last := len(steps) - 1
	if math.IsInf(steps[last].cost, 1) {
		return nil, 0, false
	}
	for k := last; k >= 0; k = steps[k].before {
		way = append(way, steps[k].cut)
	}
	slices.Reverse(way)
	return way, steps[last].cost, true
}

// parts returns the parts between cuts, longer by half the lap at each.
func (c *cutter) parts(t track, number int, reaches []reach, way []cut) []ownPart {
	half := c.plan.opt.Lap / 2
	var out []ownPart
	add := func(load int, from, to float64) {
		out = append(out, ownPart{load, Part{number, t.piece(from, to), from, to}})
	}
	for k, w := range way {
		c.join(t, number, w, reaches)
		switch {
		case k > 0:
			add(reaches[w.from].window, way[k-1].enter-half, w.leave+half)
		case t.closed:
			add(c.round(t, reaches, way[len(way)-1], w))
		default:
			add(reaches[w.from].window, 0, w.leave+half)
		}
	}
	if !t.closed {
		w := way[len(way)-1]
		add(reaches[w.to].window, w.enter-half, t.length())
	}
	return out
}

// round returns the load and the ends of the part of a closed stroke from one cut to
// another.
func (c *cutter) round(t track, reaches []reach, a, b cut) (load int, from, to float64) {
	half := c.plan.opt.Lap / 2
	return reaches[b.from].window, a.enter - half, b.leave + half
}

// join adds the joint at a cut.
func (c *cutter) join(t track, number int, w cut, reaches []reach) {
	i, u := t.place(w.leave)
	c.plan.Joints = append(c.plan.Joints, Joint{
		Stroke: number, At: t.Stroke[i].At(u), Along: t.Stroke[i].Tangent(u),
		Loads:   [2]int{reaches[w.from].window, reaches[w.to].window},
		OnWeave: inChannel(t.Stroke[i], c.plan.opt.Grid),
	})
}

// onWeave is how far a line may lie beside the middle of its channel, in channels.
const onWeave = 1e-6

// inChannel reports whether a curve is a line in a channel.
func inChannel(c paths.Curve, g weave.Grid) bool {
	l, ok := c.(paths.Line)
	if !ok || l.A == l.B {
		return false
	}
	a, b := g.PlaceOf(l.A), g.PlaceOf(l.B)
	return whole(a.Across) && whole(b.Across) && math.Abs(a.Across-b.Across) < onWeave ||
		whole(a.Along) && whole(b.Along) && math.Abs(a.Along-b.Along) < onWeave
}

func whole(v float64) bool { return math.Abs(v-math.Round(v)) < onWeave }
