package join

import (
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
)

// rounding is how close, in mm, two points are that were meant to be the same and
// differ by rounding.
const rounding = 1e-6

// A vertex is a point where parts end, before ends that meet within the
// tolerance are made one.
type vertex struct {
	paths.Point
	loose  bool // some stroke ends here
	stroke int  // the first stroke that comes here, and how far along it
	along  float64
}

// vertices returns the distinct ends of the parts in order, and which of them each part
// starts and ends at.
func vertices(parts []part) (out []vertex, ends [][2]int) {
	at := make(map[paths.Point]int, len(parts)+1)
	add := func(p paths.Point, loose bool, stroke int, along float64) int {
		i, ok := at[p]
		if !ok {
			i = len(out)
			at[p] = i
			out = append(out, vertex{Point: p, stroke: stroke, along: along})
		}
		out[i].loose = out[i].loose || loose
		return i
	}
	out, ends = make([]vertex, 0, len(parts)), make([][2]int, len(parts))
	for i, p := range parts {
		ends[i][0] = add(p.Start(), p.looseStart, p.stroke, p.from)
		ends[i][1] = add(p.End(), p.looseEnd, p.stroke, p.to)
	}
	return out, ends
}

// splitAtEnds cuts the parts where a stroke ends on their middle, and where
// any node lies on it exactly, and returns the pieces, in order, with their [vertices].
// Where there are very many such places only those cuts are made that connect the
// drawing ([connection]).
func splitAtEnds(parts []part, tol float64, w *work) (pieces []part, vs []vertex, ends [][2]int, err error) {
	vs, ends = vertices(parts)
	cuts, err := cutsAtEnds(parts, vs, ends, tol, w)
	if err != nil || cuts == nil {
		return parts, vs, ends, err
	}
	pieces = cutAt(parts, cuts)
	vs, ends = vertices(pieces)
	return pieces, vs, ends, nil
}

// cutsAtEnds returns, by part, the parameters that it is to be cut at; nil where none is.
func cutsAtEnds(parts []part, vs []vertex, ends [][2]int, tol float64, w *work) ([][]float64, error) {
	connected := newConnection(ends, len(vs), w.freeCuts(len(parts)))
	index := near.NewCurves(len(parts), func(i int) paths.Curve { return parts[i].Curve }, max(tol, rounding))
	strangers := newStrangers(connected, index)
	c := cutter{
		connection: connected, parts: parts, tol: tol, cuts: make([][]float64, len(parts)),
		places: cutPlaces{side: max(tol, rounding), at: map[cutCell][]paths.Point{}},
	}
	counted := 0
	for k, v := range vs {
		w.part(k, len(vs))
		if connected.isDone() {
			break
		}
		if err := w.upTo((index.Looks()+strangers.looks)/boxLooks, &counted); err != nil {
			return nil, err
		}
		looks := 0
		strangers.near(k, v.Point, func(i int) bool {
			looks += c.look(i, k, v)
			return true
		})
		if err := w.do(looks); err != nil {
			return nil, err
		}
	}
	if !c.made {
		return nil, nil
	}
	return c.cuts, nil
}

// A cutter notes where parts are to be cut.
type cutter struct {
	*connection
	parts  []part
	tol    float64
	cuts   [][]float64 // by part
	places cutPlaces
	made   bool // any cut
}

// look cuts part i where vertex k lies on its middle, if that is needed. It returns how many
// looks that took.
func (c *cutter) look(i, k int, v vertex) (looks int) {
	curve, tol := c.parts[i].Curve, c.tol
	if l, ok := curve.(paths.Line); ok && l.DistSq(v.Point) > 2*max(tol*tol, 1e-18) {
		return 0
	}
	if !c.needs(i, k) || curve.Start().Dist(v.Point) <= tol || curve.End().Dist(v.Point) <= tol {
		return 1
	}
	reach := min(tol, rounding)
	if v.loose {
		reach = tol
	}
	on := max(reach, 1e-9)
	if _, ok := curve.(paths.Cubic); ok && !near.ComesInto(curve, paths.RectOf(v.Point).Grow(2*on)) {
		return 2
	}
	t, d := near.On(curve, v.Point)
	looks = 1 + looksOn(curve)
	if d > on || t <= 0 || t >= 1 || !c.places.add(i, curve.At(t), v.Point, reach) {
		return looks
	}
	c.cuts[i], c.made = append(c.cuts[i], t), true
	c.cut(i, k)
	return looks + cutLooks
}

// cutAt returns the pieces of the parts that are cut at these parameters.
func cutAt(parts []part, cuts [][]float64) []part {
	out := make([]part, 0, len(parts))
	for i, p := range parts {
		at := 0.
		slices.Sort(cuts[i])
		for _, t := range cuts[i] {
			out = append(out, p.between(at, t, false))
			at = t
		}
		if at == 0 {
			out = append(out, p)
		} else {
			out = append(out, p.between(at, 1, false))
		}
	}
	return out
}

// cutPlaces finds the places where a part is cut already.
type cutPlaces struct {
	side float64 // of a cell, no less than any reach
	at   map[cutCell][]paths.Point
}

type cutCell struct {
	part int
	x, y int64
}

// add notes that a part is cut at a point, for an end at p; it returns false
// where it is cut already within reach of p.
func (c *cutPlaces) add(part int, cut, p paths.Point, reach float64) bool {
	cell := func(p paths.Point) (x, y int64) {
		return int64(math.Floor(p.X / c.side)), int64(math.Floor(p.Y / c.side))
	}
	x, y := cell(p)
	for dx := int64(-1); dx <= 1; dx++ {
		for dy := int64(-1); dy <= 1; dy++ {
			for _, q := range c.at[cutCell{part, x + dx, y + dy}] {
				if q.Dist(p) <= reach {
					return false
				}
			}
		}
	}
	x, y = cell(cut)
	at := cutCell{part, x, y}
	c.at[at] = append(c.at[at], cut)
	return true
}

// meet gives each vertex the node it belongs to, and says where the nodes are.
// Vertices follow leaders ([near.Leaders]): a node is where one of its vertices
// is, so that no end moves by more than the tolerance. Vertices inside strokes
// come first and stay; loose ends go to the nearest node.
func meet(vs []vertex, tol float64) (node []int, at []paths.Point) {
	order := make([]int, 0, len(vs))
	for _, loose := range []bool{false, true} {
		for i := range vs {
			if vs[i].loose == loose {
				order = append(order, i)
			}
		}
	}
	pts := make([]paths.Point, len(vs))
	for k, i := range order {
		pts[k] = vs[i].Point
	}
	number, leaders := near.Leaders(pts, tol, func(i, j int) bool { return !alongside(vs[order[i]], vs[order[j]], tol) })
	node = make([]int, len(vs))
	for k, i := range order {
		node[i] = number[k]
	}
	for _, k := range leaders {
		at = append(at, pts[k])
	}
	return node, at
}

// alongside reports that two vertices follow so closely on one stroke that
// making them one would swallow what lies between. The two sides of one cut are
// not: they lie as far along, and may differ by rounding.
func alongside(a, b vertex, tol float64) bool {
	between := math.Abs(a.along - b.along)
	return a.stroke == b.stroke && rounding < between && between <= 4*tol && a.Point != b.Point
}
