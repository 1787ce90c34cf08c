package join

import (
	"math"
	"sync/atomic"

	"weftplot/paths"
	"weftplot/paths/cores"
	"weftplot/paths/near"
)

// heaped is the number of curves in one cell of a survey from which they are not looked at
// one by one: they may all touch.
const heaped = 64

// surveyed is how many curves one core looks at at a time.
const surveyed = 1024

// A survey finds the strokes that have nothing to do with any other, nor with themselves:
// they come out as they went in, and need not be taken apart. It looks only at where curves
// end, since curves that meet, or lie on one another, do so at an end of one of them: at one
// cell of a grid for each curve.
type survey struct {
	strokes []paths.Stroke
	tol     float64
	reach   float64      // no less than the tolerance, and than rounding
	first   []int32      // by stroke: its first curve in the lists below; one more than strokes
	of      []int32      // by curve: its stroke
	boxes   []paths.Rect // by curve, grown by its reach; empty for what is not joined anyway
	side    float64      // of a cell, mm, or less
	cells   *near.Cells  // of curves
	touched []atomic.Bool
	looks   atomic.Int64
}

// untouched tells of each stroke whether it is free: whether joining it with all others would
// bring it out as it went in. It is where no curve of it is met at an end, or lies on
// another, and none comes near a stroke of which that is not so: where those are cut, new
// ends come to be, so that all that hangs together with them by being near counts as
// touched. It also returns what the free strokes are made of.
func untouched(strokes []paths.Stroke, tol float64, w *work) (free []bool, of tally, err error) {
	if w.allTouch {
		return make([]bool, len(strokes)), tally{}, nil
	}
	s := newSurvey(strokes, tol)
	s.enter()
	s.cells.Each(func(items []int32) {
		if len(items) > heaped {
			for _, j := range items {
				s.touched[s.of[j]].Store(true)
			}
		}
	})
	n := len(s.of)
	cores.EachUntil((n+surveyed-1)/surveyed, func() bool { err = w.ask(); return err != nil }, func(k int) {
		s.look(k*surveyed, min(n, (k+1)*surveyed))
	})
	if err == nil {
		err = w.do(int(s.looks.Load()) / boxLooks)
	}
	if err != nil {
		return nil, tally{}, err
	}
	s.spread()
	free = make([]bool, len(strokes))
	for i, k := range strokes {
		if s.isJoined(i) && !s.touched[i].Load() {
			free[i] = true
			of.add(k)
		}
	}
	return free, of, nil
}

// A tally is how many strokes there are, and of how many curves, with how many nodes.
type tally struct{ strokes, curves, nodes, odd int }

// add counts a stroke that meets nothing.
func (t *tally) add(s paths.Stroke) {
	t.strokes++
	t.curves += len(s)
	t.nodes += len(s)
	if !s.IsClosed() {
		t.nodes++
		t.odd += 2
	}
}

func newSurvey(strokes []paths.Stroke, tol float64) *survey {
	s := &survey{
		strokes: strokes, tol: tol, reach: max(tol, rounding) * (1 + 1e-6),
		first: make([]int32, len(strokes)+1), touched: make([]atomic.Bool, len(strokes)),
	}
	for i, k := range strokes {
		s.first[i+1] = s.first[i] + int32(len(k))
	}
	n := int(s.first[len(strokes)])
	s.of, s.boxes = make([]int32, n), make([]paths.Rect, n)
	cores.Ranges(len(strokes), func(lo, hi int) {
		for i := lo; i < hi; i++ {
			boxes, all := s.boxes[s.first[i]:s.first[i+1]], paths.EmptyRect()
			for k, c := range strokes[i] {
				s.of[int(s.first[i])+k] = int32(i)
				boxes[k] = c.Bounds()
				all = all.Union(boxes[k])
			}
			if isAlone(strokes[i], all, tol) {
				for k := range boxes {
					boxes[k] = paths.EmptyRect()
				}
				continue
			}
			for k, c := range strokes[i] {
				boxes[k] = boxes[k].Grow(s.reachOf(c))
			}
		}
	})
	return s
}

// isAlone reports that a stroke with this box is left as it is.
func isAlone(s paths.Stroke, box paths.Rect, tol float64) bool {
	return s.IsDot() || box.Min.Dist(box.Max) <= 2*tol
}

// isJoined reports that a stroke takes part in the joining.
func (s *survey) isJoined(i int) bool {
	return s.first[i] < s.first[i+1] && !s.boxes[s.first[i]].IsEmpty()
}

// reachOf returns how near, in mm, an end of another curve is to c at least where the two
// meet, or lie on one another as [covered] tells. Of arcs, which may differ in their centres
// and radii by twice the tolerance together, ends may be so far past one another too.
func (s *survey) reachOf(c paths.Curve) float64 {
	a, ok := c.(paths.Arc)
	switch {
	case !ok:
		return s.reach
	case a.Radius() < 8*s.reach: // directions from the two centres have little in common
		return 3*s.reach + 2*a.Radius()
	}
	return 3 * s.reach
}

// curve returns curve j of all.
func (s *survey) curve(j int) paths.Curve {
	i := s.of[j]
	return s.strokes[i][j-int(s.first[i])]
}

// enter puts the curves into cells, in pieces no longer than a cell.
func (s *survey) enter() {
	box, length, n := paths.EmptyRect(), 0., 0
	for j, b := range s.boxes {
		if !b.IsEmpty() {
			box, length, n = box.Union(b), length+near.LengthAtMost(s.curve(j)), n+1
		}
	}
	// Cells so small that few curves share one, and no more of them than some for each.
	most := float64(max(1, 4*n))
	side := max(length/(2*most), 4*s.reach, math.Sqrt(box.Width()*box.Height()/most), (box.Width()+box.Height())/most)
	s.side = max(side, 1e-9)
	s.cells = near.NewCells(box, s.side, len(s.boxes), s.pieces)
}

// pieces calls put with the boxes of pieces of curve j no longer than a cell, grown by its
// reach.
func (s *survey) pieces(j int, put func(paths.Rect)) {
	if s.boxes[j].IsEmpty() {
		return
	}
	c := s.curve(j)
	n := int(math.Ceil(near.LengthAtMost(c) / s.side))
	if n <= 1 {
		put(s.boxes[j])
		return
	}
	reach := s.reachOf(c)
	near.Pieces(c, n, func(r paths.Rect) { put(r.Grow(reach)) })
}

// look looks at the ends of the curves from lo to hi-1.
func (s *survey) look(lo, hi int) {
	looks := 0
	for j := lo; j < hi; j++ {
		if s.boxes[j].IsEmpty() {
			continue
		}
		stroke, c := s.of[j], s.curve(j)
		first, last := s.first[stroke], s.first[stroke+1]-1
		closed, curves := s.strokes[stroke].IsClosed(), last-first+1
		if curves > 1 || !closed {
			s.short(stroke, c)
		}
		looks += s.lookAt(s.start(int32(j), closed))
		if int32(j) == last && !closed {
			looks += s.lookAt(end{at: c.End(), loose: true, stroke: stroke, before: int32(j), after: -1})
		}
		if curves == 2 && closed && (s.lie(c, s.curve(int(first))) || s.lie(c, s.curve(int(last)))) {
			s.touched[stroke].Store(true)
		}
	}
	s.looks.Add(int64(looks))
}

// start returns where curve j begins. It marks the stroke where that is not where the curve
// before ends: it is not a stroke then, and left to the joining.
func (s *survey) start(j int32, closed bool) end {
	stroke := s.of[j]
	e := end{at: s.curve(int(j)).Start(), stroke: stroke, before: j - 1, after: j}
	switch {
	case j > s.first[stroke]:
		if s.curve(int(j)-1).End() != e.at {
			s.touched[stroke].Store(true)
		}
	case closed:
		e.before = s.first[stroke+1] - 1
	default:
		e.before, e.loose = -1, true
	}
	return e
}

// short marks a stroke one of whose curves has its ends so near one another that they meet.
func (s *survey) short(stroke int32, c paths.Curve) {
	if c.Start().Dist(c.End()) <= s.reach {
		s.touched[stroke].Store(true)
	}
}

// An end is where a curve of a stroke ends, and the next one begins; of the first and the
// last curve of a stroke that is not closed there is no curve before or after: -1.
type end struct {
	at            paths.Point
	loose         bool
	stroke        int32
	before, after int32
}

// lookAt marks the strokes that meet, or lie on one another, at an end. It returns how many
// curves it looked at.
func (s *survey) lookAt(e end) int {
	items := s.cells.At(e.at)
	if len(items) > heaped {
		return 0 // they are marked already
	}
	for _, j := range items {
		if !s.boxes[j].Contains(e.at) || j == e.before || j == e.after {
			continue
		}
		if s.touched[e.stroke].Load() && s.touched[s.of[j]].Load() {
			continue
		}
		if s.touches(e, s.curve(int(j))) {
			s.touched[e.stroke].Store(true)
			s.touched[s.of[j]].Store(true)
		}
	}
	return len(items)
}

// touches reports whether a curve is met at an end, or one of the curves that end there lies on
// it or under it. What it denies is so; of what it tells, some may not be so.
func (s *survey) touches(e end, c paths.Curve) bool {
	if c.Start().Dist(e.at) <= s.reach || c.End().Dist(e.at) <= s.reach {
		return true
	}
	away := s.away(c, e.at)
	if on := rounding * (1 + 1e-3); away <= on || e.loose && away <= s.reach {
		return true
	}
	for _, j := range [2]int32{e.before, e.after} {
		if j >= 0 && away <= s.reachOf(c) && s.lie(s.curve(int(j)), c) {
			return true
		}
	}
	return false
}

// away returns how far a point is from a curve, in mm, or infinity where that is more than
// the reach of the curve.
func (s *survey) away(c paths.Curve, p paths.Point) float64 {
	if l, ok := c.(paths.Line); ok {
		return l.Dist(p)
	}
	if !near.ComesInto(c, paths.RectOf(p).Grow(s.reachOf(c))) {
		return math.Inf(1)
	}
	_, d := near.On(c, p)
	return d
}

// lie reports whether some of one curve lies on another.
func (s *survey) lie(c, d paths.Curve) bool {
	return c != d && (len(covered(c, d, s.tol)) > 0 || len(covered(d, c, s.tol)) > 0)
}

// spread marks the strokes that come near one that is marked, and those that come
// near those.
func (s *survey) spread() {
	var list []int32
	for i := range s.touched {
		if s.isJoined(i) && s.touched[i].Load() {
			list = append(list, int32(i))
		}
	}
	for len(list) > 0 {
		i := list[len(list)-1]
		list = list[:len(list)-1]
		for j := s.first[i]; j < s.first[i+1]; j++ {
			s.pieces(int(j), func(r paths.Rect) {
				s.cells.In(r, func(items []int32) {
					if len(items) > heaped {
						return // they are marked already
					}
					for _, other := range items {
						if o := s.of[other]; !s.touched[o].Load() && s.boxes[j].Overlaps(s.boxes[other]) {
							s.touched[o].Store(true)
							list = append(list, o)
						}
					}
				})
			})
		}
	}
}
