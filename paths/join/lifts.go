package join

import (
	"cmp"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
)

// InkPerLift is the least length in mm that merging must save for each stroke more
// that it leaves to be drawn, whatever [Options] say. A pen that is lifted, carried on and set down
// again takes a quarter of a second and more, in which it would draw 5 mm at 20
// mm/s (common practice), and every stroke begins and ends with a blot that
// shows more than so short a stretch drawn twice.
const InkPerLift = 5

// An overlay is a stretch of a stroke that lies on others and was taken away:
// one or several following parts of it.
type overlay struct {
	stroke   int
	from, to float64 // along the stroke
	places   []taken
	inside   bool // the stroke goes on at both ends of it
}

// taken is a stretch of one part, by its parameters.
type taken struct {
	part   int
	lo, hi float64
}

func (o overlay) length() float64 { return o.to - o.from }

// overlays returns the stretches that were taken from the parts to leave rest,
// stroke by stroke.
func overlays(parts []part, rest [][]part, tol float64) []overlay {
	var out []overlay
	begin := 0 // the first part of the stroke
	for i := range parts {
		if parts[i].stroke != parts[begin].stroke {
			out = sealed(out, parts[begin:i])
			begin = i
		}
		for _, t := range takenFrom(parts[i], rest[i], i) {
			p := parts[i]
			lo, hi := p.from+t.lo*(p.to-p.from), p.from+t.hi*(p.to-p.from)
			if n := len(out) - 1; n >= 0 && out[n].stroke == p.stroke && lo-out[n].to <= 2*tol+1e-9 {
				out[n].to, out[n].places = hi, append(out[n].places, t)
				continue
			}
			out = append(out, overlay{p.stroke, lo, hi, []taken{t}, false})
		}
	}
	if len(parts) > 0 {
		out = sealed(out, parts[begin:])
	}
	return out
}

// takenFrom returns what is missing of part i.
func takenFrom(p part, rest []part, i int) []taken {
	kept := slices.Clone(rest)
	slices.SortFunc(kept, func(a, b part) int { return cmp.Compare(a.t0, b.t0) })
	var out []taken
	at := 0.
	for _, k := range append(kept, part{t0: 1, t1: 1}) {
		if k.t0-at > 1e-12 {
			out = append(out, taken{i, at, k.t0})
		}
		at = max(at, k.t1)
	}
	return out
}

// sealed marks which overlays of the stroke made of these parts it goes on at
// both ends of. Round a closed stroke the last may go on in the first.
func sealed(list []overlay, parts []part) []overlay {
	stroke, open := parts[0].stroke, parts[0].looseStart
	first := len(list)
	for first > 0 && list[first-1].stroke == stroke {
		first--
	}
	end := parts[len(parts)-1].to
	mine := list[first:]
	if len(mine) == 0 {
		return list
	}
	atStart, atEnd := mine[0].from <= 1e-9, mine[len(mine)-1].to >= end-1e-9
	for i := range mine {
		mine[i].inside = true
	}
	switch last := len(mine) - 1; {
	case open && atStart:
		mine[0].inside = false
		fallthrough
	case open:
		mine[last].inside = mine[last].inside && !atEnd
	case atStart && atEnd && last == 0:
		mine[0].inside = false
	case atStart && atEnd: // over the seam
		mine[0].from -= mine[last].length()
		mine[0].places = append(mine[0].places, mine[last].places...)
		list = list[:len(list)-1]
	}
	return list
}

// spare gives back, from what was taken to leave rest, the overlays that cost
// more lifts than they save ink: first of those that make two ends where the stroke
// went on, and then of those at an end of their stroke, which may have met the end of
// another there. Where it has the graph of what it returns, it returns that too, else nil.
func spare(parts []part, rest [][]part, tol float64, w *work) ([][]part, *graph, error) {
	rest, g, err := spareThose(parts, rest, nil, tol, w, func(o overlay) bool { return o.inside })
	if err != nil {
		return nil, nil, err
	}
	meet := strokesThatMeet(parts, tol)
	return spareThose(parts, rest, g, tol, w, func(o overlay) bool { return !o.inside && meet[o.stroke] })
}

// strokesThatMeet tells of which strokes an end lies where one of another does.
func strokesThatMeet(parts []part, tol float64) map[int]bool {
	var ends []paths.Point
	var of []int
	for _, p := range parts {
		if p.looseStart {
			ends, of = append(ends, p.Start()), append(of, p.stroke)
		}
		if p.looseEnd {
			ends, of = append(ends, p.End()), append(of, p.stroke)
		}
	}
	number, count := near.Clusters(ends, 2*tol)
	size := make([]int, count)
	for _, k := range number {
		size[k]++
	}
	meet := map[int]bool{}
	for i, k := range number {
		meet[of[i]] = meet[of[i]] || size[k] > 1
	}
	return meet
}

// spareThose looks at those overlays that are shorter than the ink of a lift. In each
// connected part of the drawing all of them are given back or none. Longer ones cost no
// stroke, or save enough for the one that they may cost. What it returns has the graph g
// where nothing was looked at.
func spareThose(parts []part, rest [][]part, g *graph, tol float64, w *work, those func(overlay) bool) ([][]part, *graph, error) {
	var short []overlay
	for _, o := range overlays(parts, rest, tol) {
		if those(o) && o.length() < w.inkPerLift {
			short = append(short, o)
		}
	}
	if len(short) == 0 {
		return rest, g, nil
	}
	without, err := newGraph(loosened(slices.Concat(rest...)), tol, w)
	if err != nil {
		return nil, nil, err
	}
	restored := restore(parts, rest, short)
	with, err := newGraph(loosened(slices.Concat(restored...)), tol, w)
	if err != nil {
		return nil, nil, err
	}
	groups := near.NewSets(parts[len(parts)-1].stroke + 1) // of strokes that meet in either
	without.group(groups)
	with.group(groups)
	more, saved := map[int]int{}, map[int]float64{}
	without.count(groups, more, 1)
	with.count(groups, more, -1)
	for _, o := range short {
		saved[groups.Find(o.stroke)] += o.length()
	}
	var back []overlay
	for _, o := range short {
		g := groups.Find(o.stroke)
		if more[g] > 0 && saved[g] < w.inkPerLift*float64(more[g]) {
			back = append(back, o)
		}
	}
	switch len(back) {
	case 0:
		return rest, without, nil
	case len(short):
		return restored, with, nil
	}
	return restore(parts, rest, back), nil, nil
}

// restore returns what is left of the parts when the overlays are not taken.
func restore(parts []part, rest [][]part, back []overlay) [][]part {
	out := slices.Clone(rest)
	given := map[int][]taken{}
	for _, o := range back {
		for _, t := range o.places {
			given[t.part] = append(given[t.part], t)
		}
	}
	for i, list := range given {
		var still [][2]float64
		for _, t := range takenFrom(parts[i], rest[i], i) {
			if !slices.Contains(list, t) {
				still = append(still, [2]float64{t.lo, t.hi})
			}
		}
		out[i] = without(parts[i], still, 0)
	}
	return out
}

// group joins the strokes that meet at a node.
func (g *graph) group(strokes *near.Sets) {
	for _, ends := range g.ends {
		for _, e := range ends {
			strokes.Join(g.parts[ends[0]/2].stroke, g.parts[e/2].stroke)
		}
	}
}

// count adds by group of strokes, times a sign, how many strokes come out of it:
// half the odd nodes of each connected part, and one where there are none.
func (g *graph) count(strokes *near.Sets, by map[int]int, sign int) {
	sets := near.NewSets(len(g.ends))
	for e := range g.edges {
		sets.Join(g.node[2*e], g.node[2*e+1])
	}
	odd := map[int]int{}
	for e, p := range g.parts {
		set := sets.Find(g.node[2*e])
		if _, ok := odd[set]; !ok {
			odd[set] = 0
			by[strokes.Find(p.stroke)] += sign
		}
	}
	for node, ends := range g.ends {
		if len(ends)%2 == 0 {
			continue
		}
		set := sets.Find(node)
		if odd[set]++; odd[set] > 2 && odd[set]%2 == 0 {
			by[strokes.Find(g.parts[ends[0]/2].stroke)] += sign
		}
	}
}
