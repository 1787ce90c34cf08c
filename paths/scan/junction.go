package scan

import (
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/scan/skeleton"
)

// junction is a place where lines meet: one node, or several nodes so close
// together that they are one place in the drawing.
type junction struct {
	nodes []int
	arms  []arm
}

// arm is a line that leaves a junction.
type arm struct {
	skeleton.End
	// shared is for how many pixels from the junction its ink merges with that
	// of other lines.
	shared float64
	// apart is how near it still comes to other lines beyond that, in pixels.
	apart float64
	ray
}

// link is how a line continues at one of its ends.
type link struct {
	// to is the end where it continues, if continues is true.
	to        skeleton.End
	continues bool
	// at is the corner between the two, or the place on another line where this
	// one ends. It counts where fixed is true.
	at    paths.Point
	fixed bool
}

// rebuilder reconstructs the lines near junctions, where thinning bends and
// splits them.
type rebuilder struct {
	g         *skeleton.Graph
	k         ink
	junctions []junction
	// lines are the points of each branch that can be trusted, on the middle of the
	// ink; empty for those that are part of a junction.
	lines [][]paths.Point
	links map[skeleton.End]link
	gone  []bool // branches that are part of a junction
	// junctionOf is the junction that each node is in.
	junctionOf map[int]int
}

// rebuild finds the junctions of a graph and how lines go through them.
func rebuild(g *skeleton.Graph, k ink) *rebuilder {
	w := &rebuilder{g: g, k: k, links: map[skeleton.End]link{}, gone: make([]bool, len(g.Branches)), lines: make([][]paths.Point, len(g.Branches))}
	for i, e := range g.Branches {
		w.gone[i] = e.Removed
	}
	w.merge(func(i int) bool { return g.Branches[i].Length() < 1.1*k.width })
	w.measure()
	w.merge(w.crossesFlat)
	for i := range w.junctions {
		w.pair(&w.junctions[i])
	}
	return w
}

// merge joins nodes into junctions: the two nodes of a short branch belong to
// one junction, and nodes that were together stay together.
func (w *rebuilder) merge(short func(int) bool) {
	sets := near.NewSets(len(w.g.Nodes))
	for _, k := range w.junctions {
		for _, n := range k.nodes {
			sets.Join(k.nodes[0], n)
		}
	}
	for i, e := range w.g.Branches {
		if !w.gone[i] && w.isInner(e) && short(i) {
			w.gone[i] = true
			sets.Join(e.A, e.B)
		}
	}
	old := w.rays()
	at := map[int]int{} // junctions by set
	w.junctions, w.junctionOf = nil, map[int]int{}
	for i, n := range w.g.Nodes {
		if len(n.Ends) < 2 {
			continue
		}
		id, ok := at[sets.Find(i)]
		if !ok {
			id = len(w.junctions)
			at[sets.Find(i)] = id
			w.junctions = append(w.junctions, junction{})
		}
		w.junctionOf[i] = id
		w.addNode(&w.junctions[id], i, old)
	}
}

// isInner reports whether other branches meet a branch at both of its ends.
func (w *rebuilder) isInner(e skeleton.Branch) bool {
	return !e.IsRing() && len(w.g.Nodes[e.A].Ends) > 1 && len(w.g.Nodes[e.B].Ends) > 1
}

// addNode adds a node to a junction, with the branches that leave it as arms;
// old holds what is known of each arm, by its end.
func (w *rebuilder) addNode(k *junction, i int, old map[skeleton.End]arm) {
	k.nodes = append(k.nodes, i)
	for _, e := range w.g.Nodes[i].Ends {
		if !w.gone[e.Branch] {
			a := old[e]
			a.End = e
			k.arms = append(k.arms, a)
		}
	}
}

// rays returns the arms of all junctions by their end.
func (w *rebuilder) rays() map[skeleton.End]arm {
	out := map[skeleton.End]arm{}
	for _, k := range w.junctions {
		for _, a := range k.arms {
			out[a.End] = a
		}
	}
	return out
}

// trimTip makes a corner of a junction at an acute tip, where the ink of two
// lines merges before they meet and thinning has made one branch of both.
func (w *rebuilder) trimTip(k *junction) {
	if len(k.arms) != 3 {
		return
	}
	for i, tip := range k.arms {
		far := w.g.Nodes[w.g.NodeAt(tip.Other())]
		if len(far.Ends) != 1 || w.g.Branches[tip.Branch].Length() > 6*w.k.width {
			continue
		}
		a, b := k.arms[(i+1)%3], k.arms[(i+2)%3]
		at, ok := a.meet(b.ray)
		if !ok || turn(a.dir, b.dir.Mul(-1)) < 100*degree || at.Dist(far.At) > 0.8*w.k.width || !w.k.inked(at) {
			continue
		}
		w.gone[tip.Branch], w.lines[tip.Branch] = true, nil
		w.join(a, b, link{at: at, fixed: true})
		k.arms = nil
		return
	}
}

// crossesFlat reports whether a branch is the merged part of two lines that
// touch or cross at a flat angle: each of the two arms at one end is in line
// with one at the other end.
func (w *rebuilder) crossesFlat(id int) bool {
	e := w.g.Branches[id]
	if e.Length() > 10*w.k.width || e.A == e.B {
		return false
	}
	a, b := w.armsBut(e.A, id), w.armsBut(e.B, id)
	if len(a) != 2 || len(b) != 2 {
		return false
	}
	fits := func(r, s ray) bool {
		gap := s.at.Sub(r.at)
		in, out := turn(r.dir, gap), turn(gap, s.dir.Mul(-1))
		return in < 16*degree && out < 16*degree
	}
	return fits(a[0].ray, b[0].ray) && fits(a[1].ray, b[1].ray) || fits(a[0].ray, b[1].ray) && fits(a[1].ray, b[0].ray)
}

// armsBut returns the arms of the junction of node n, except those of branch e.
func (w *rebuilder) armsBut(n, e int) []arm {
	var out []arm
	for _, a := range w.junctions[w.junctionOf[n]].arms {
		if a.Branch != e {
			out = append(out, a)
		}
	}
	return out
}

// breadth returns the width of most of the lines in pixels, at half of their
// darkness.
func (w *rebuilder) breadth() float64 {
	var list []float64
	for _, pts := range w.lines {
		for i := 5; i < len(pts)-5; i += 10 {
			if b, ok := w.k.breadth(pts[i], direction(pts, i, 5, false).Left()); ok {
				list = append(list, b)
			}
		}
	}
	if len(list) == 0 {
		return w.k.width
	}
	slices.Sort(list)
	return list[len(list)/2]
}
