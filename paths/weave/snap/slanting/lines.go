package slanting

import (
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/weave/snap/web"
)

// Side is a line of a stroke from one vertex to another.
type Side struct{ From, To, Stroke int32 }

// other returns the end of a side that is not v.
func (k Side) other(v int) int { return int(k.From) + int(k.To) - v }

// StraightTurn is how much a line may turn from one to the next that it goes straight on as,
// in radians.
const StraightTurn = 0.5 * math.Pi / 180

// Lines are slanting lines and the vertices that they end at.
type Lines struct {
	points []paths.Point // by vertex
	sides  []Side
	at     web.Lists    // by vertex, the numbers of the sides there, ascending
	fans   map[int]*fan // of the vertices with many sides, when asked for
	used   []bool       // by side: it belongs to a row
}

// New returns sides between vertices that lie at points; no side starts where it ends.
func New(points []paths.Point, sides []Side) *Lines {
	return &Lines{points: points, sides: sides, fans: map[int]*fan{}, used: make([]bool, len(sides)),
		at: web.NewLists(len(points), func(put func(v, side int)) {
			for i, k := range sides {
				put(int(k.From), i)
				put(int(k.To), i)
			}
		})}
}

// Sides calls f with each side.
func (l *Lines) Sides(f func(from, to, stroke int)) {
	for _, k := range l.sides {
		f(int(k.From), int(k.To), int(k.Stroke))
	}
}

// way returns the way from a vertex to the other end of a side.
func (l *Lines) way(v, side int) paths.Point {
	return l.points[l.sides[side].other(v)].Sub(l.points[v])
}

// fan returns the fan of a vertex, nil where few sides end.
func (l *Lines) fan(v int) *fan {
	if l.at.Len(v) < manySides {
		return nil
	}
	f := l.fans[v]
	if f == nil {
		f = newFan(l, v)
		l.fans[v] = f
	}
	return f
}

// use notes that a side belongs to a row.
func (l *Lines) use(side int) {
	l.used[side] = true
	if len(l.fans) == 0 {
		return
	}
	for _, v := range [2]int32{l.sides[side].From, l.sides[side].To} {
		if f := l.fans[int(v)]; f != nil {
			f.use(side)
		}
	}
}

// next returns the first side at v, other than side i, that goes on within StraightTurn of
// a heading and belongs to no row; noSide where there is none.
func (l *Lines) next(i, v int, heading paths.Point) int {
	goesOn := func(j int) bool {
		return j != i && !l.used[j] && turnsWithin(heading, l.way(v, j), StraightTurn)
	}
	if f := l.fan(v); f != nil {
		switch j := f.first(heading.Angle(), StraightTurn+raySlack); {
		case j == noSide:
			return noSide
		case goesOn(j):
			return j
		}
	}
	for _, j := range l.at.Of(v) {
		if goesOn(int(j)) {
			return int(j)
		}
	}
	return noSide
}

// follow goes straight on from side i beyond its vertex v and adds the vertices it comes to
// to a row.
func (l *Lines) follow(row []int, i, v int) []int {
	far := l.sides[i].other(v)
	for {
		i = l.next(i, v, l.points[v].Sub(l.points[far]))
		if i == noSide {
			return row
		}
		l.use(i)
		v, far = l.sides[i].other(v), v
		row = append(row, v)
	}
}

// Rows calls f with the rows of vertices of lines, each of which goes straight on, though it
// be drawn as several. A row holds until f returns. It is to be called once.
func (l *Lines) Rows(f func(row []int)) {
	var row []int
	for i, k := range l.sides {
		if l.used[i] {
			continue
		}
		row = l.follow(row[:0], i, int(k.From))
		slices.Reverse(row)
		l.use(i)
		f(l.follow(append(row, int(k.From), int(k.To)), i, int(k.To)))
	}
}

// Bends reports whether a line to v goes on there as a part of a curve: it turns by no more
// than an angle in radians.
func (l *Lines) Bends(from, v int, most float64) bool {
	heading := l.points[v].Sub(l.points[from])
	goesOn := func(j int) bool {
		return l.sides[j].other(v) != from && turnsWithin(heading, l.way(v, j), most)
	}
	f := l.fan(v)
	if f == nil {
		return slices.ContainsFunc(l.at.Of(v), func(j int32) bool { return goesOn(int(j)) })
	}
	found := false
	f.within(heading.Angle(), most+raySlack, func(lo, hi int) {
		for k := lo; k < hi && !found; k++ { // nearly always the first does
			found = goesOn(f.rays[k].side)
		}
	})
	return found
}

// Turn returns the angle from a to b in radians, positive counter-clockwise.
func Turn(a, b paths.Point) float64 { return math.Atan2(a.Cross(b), a.Dot(b)) }

// turnsWithin reports whether the angle between a and b is no more than most, which is less
// than a right angle.
func turnsWithin(a, b paths.Point, most float64) bool {
	if a.Dot(b) < 0 { // as half of all, and soon seen
		return false
	}
	return math.Abs(Turn(a, b)) <= most
}
