// Package holes puts figures of slanting lines, such as diamonds, chevrons and zigzags,
// on the crossings of the channels of a weave: each line runs one over one, one over two
// or so, its ends lie where channels cross, and a person follows it hole by hole.
//
// # The problem
//
// A figure is a set of corners joined by lines, hanging together. A line from corner a
// to corner b has a step of whole channels (dx, dy), such as (1, 1) or (-1, 2), and a
// size: how many steps it is long as drawn. Lines that are equally long have one size.
// Wanted are whole numbers, a place (x, y) for every corner and a count n for every size,
// so that
//
//	x[b] - x[a] = n·dx,  y[b] - y[a] = n·dy
//
// for every line, and held coordinates, which lie in the channel of some line on the
// weave, stay. With the counts given, the corners lie to each other as they must, and
// only where all of it lies is left: one whole number each way, or none where something
// is held. The sum of squared moves is least for the whole number nearest to the mean
// move, each way by itself. So the counts are all there is to search, and near the drawn
// sizes there are few; [Figure.Place] does the rest exactly.
package holes

import (
	"math"
	"slices"
)

// Corner is an end of slanting lines. Places are in channels, across and along.
type Corner struct {
	Want [2]float64
	// Held are the coordinates that stay: Want is whole there.
	Held [2]bool
}

// Line joins two corners: To lies n steps from From, n being the count of its size.
type Line struct {
	From, To int
	Step     [2]int
	Size     int
}

// Figure is what hangs together by slanting lines.
type Figure struct {
	Corners []Corner
	Lines   []Line
	// Twice, unless nil, is twice the place of the middle of the figure, each way: it is
	// its own mirror image about a line there.
	Twice [2]*int
}

// Place returns where the corners lie with the counts given, by size, and the sum of
// their squared moves in channels². It is not ok where the lines do not close, or what
// is held lies otherwise.
func (f Figure) Place(counts []int) (at [][2]int, cost float64, ok bool) {
	at, ok = f.Shape(counts)
	if !ok {
		return nil, 0, false
	}
	for axis := range 2 {
		by, ok := f.offset(at, axis)
		if !ok {
			return nil, 0, false
		}
		for i := range at {
			at[i][axis] += by
			d := float64(at[i][axis]) - f.Corners[i].Want[axis]
			cost += d * d
		}
	}
	return at, cost, true
}

// Shape returns how the corners lie to the first one with the counts given, by size. It is
// not ok where the lines do not close.
func (f Figure) Shape(counts []int) (at [][2]int, ok bool) {
	at = make([][2]int, len(f.Corners))
	known := make([]bool, len(f.Corners))
	lines := make([][]int, len(f.Corners))
	for i, l := range f.Lines {
		lines[l.From], lines[l.To] = append(lines[l.From], i), append(lines[l.To], i)
	}
	known[0] = true
	for queue := []int{0}; len(queue) > 0; queue = queue[1:] {
		c := queue[0]
		for _, i := range lines[c] {
			l, sign, to := f.Lines[i], 1, f.Lines[i].To
			if to == c {
				sign, to = -1, l.From
			}
			n := sign * counts[l.Size]
			p := [2]int{at[c][0] + n*l.Step[0], at[c][1] + n*l.Step[1]}
			if known[to] {
				if at[to] != p {
					return nil, false
				}
				continue
			}
			at[to], known[to] = p, true
			queue = append(queue, to)
		}
	}
	return at, true
}

// offset returns by how much all corners move along an axis.
func (f Figure) offset(at [][2]int, axis int) (by int, ok bool) {
	held, sum := false, 0.
	lo, hi := at[0][axis], at[0][axis]
	for i, c := range f.Corners {
		sum += c.Want[axis] - float64(at[i][axis])
		lo, hi = min(lo, at[i][axis]), max(hi, at[i][axis])
		if !c.Held[axis] {
			continue
		}
		d := int(math.Round(c.Want[axis])) - at[i][axis]
		if held && d != by {
			return 0, false
		}
		held, by = true, d
	}
	switch {
	case held:
		return by, true
	case f.Twice[axis] != nil:
		twice := *f.Twice[axis] - lo - hi
		return twice / 2, twice%2 == 0
	}
	// What lies midway goes down, wherever rounding in the design puts it.
	const midway = 1e-3
	return int(math.Ceil(sum/float64(len(at)) - 0.5 - midway)), true
}

// Farthest returns how far a corner is moved at most, in channels one way.
func (f Figure) Farthest(at [][2]int) float64 {
	most := 0.
	for i, c := range f.Corners {
		for axis := range 2 {
			most = max(most, math.Abs(float64(at[i][axis])-c.Want[axis]))
		}
	}
	return most
}

// Ratios are the steps that lines are meant to have, without their signs, the simplest
// first; Share is the part of the angle for lines on the weave within which they are.
var Ratios = []struct {
	Step  [2]int
	Share float64
}{
	{[2]int{1, 1}, 1}, {[2]int{1, 2}, 1}, {[2]int{2, 1}, 1},
	{[2]int{1, 3}, 0.5}, {[2]int{3, 1}, 0.5}, {[2]int{2, 3}, 0.5}, {[2]int{3, 2}, 0.5},
}

// Meant returns the step of a line of so many channels each way, with its signs, and how
// many steps it is long. It is not ok where the line is not within the angle, in degrees,
// of a step that it is meant to have.
func Meant(d [2]float64, angle float64) (step [2]int, size float64, ok bool) {
	best := math.Inf(1)
	x, y := math.Abs(d[0]), math.Abs(d[1])
	for _, r := range Ratios {
		p, q := float64(r.Step[0]), float64(r.Step[1])
		off := math.Abs(math.Atan2(y, x)-math.Atan2(q, p)) * 180 / math.Pi
		if off <= r.Share*angle && off < best {
			best, ok = off, true
			step, size = r.Step, (x*p+y*q)/(p*p+q*q)
		}
	}
	for axis := range 2 {
		if d[axis] < 0 {
			step[axis] = -step[axis]
		}
	}
	return step, size, ok
}

// sameSize is how near a size may be to a multiple of another that it is meant to be.
const sameSize = 0.05

// mostTimes is how often a size may hold another that it is meant as a multiple of.
const mostTimes = 16

// Counts returns counts for sizes to try, each the nearest first: all of them where
// there are few, else the nearest of each size only. A size that is a multiple of another
// gets that multiple of its count.
func Counts(sizes []float64) [][]int {
	const few = 4
	of, times := multiples(sizes)
	near := make([]int, len(sizes))
	out := [][]int{near}
	free := 0
	for i, s := range sizes {
		if near[i] = max(1, int(math.Round(s))); of[i] == i {
			free++
		}
	}
	for i, s := range sizes {
		if of[i] != i || free > few {
			continue
		}
		other := near[i] + 1
		if s < float64(near[i]) {
			other = near[i] - 1
		}
		for _, c := range out[:len(out):len(out)] {
			out = append(out, with(c, i, other), with(c, i, 2*near[i]-other))
		}
	}
	out = slices.DeleteFunc(out, func(c []int) bool { return slices.Min(c) < 1 })
	for _, c := range out {
		for i := range c {
			c[i] = times[i] * c[of[i]]
		}
	}
	return out
}

// with returns counts with another one for size i.
func with(counts []int, i, n int) []int {
	out := slices.Clone(counts)
	out[i] = n
	return out
}

// multiples returns of each size the least one that it is a multiple of, which is itself
// for most, and how often it holds that one.
func multiples(sizes []float64) (of, times []int) {
	of, times = make([]int, len(sizes)), make([]int, len(sizes))
	for i, s := range sizes {
		of[i], times[i] = i, 1
		for j, t := range sizes {
			m := math.Round(s / t)
			if m >= 2 && m <= mostTimes && math.Abs(s-m*t) <= sameSize*m && t < sizes[of[i]] {
				of[i], times[i] = j, int(m)
			}
		}
	}
	for i, j := range of { // of a multiple of a multiple
		if of[j] != j {
			of[i], times[i] = i, 1
		}
	}
	return of, times
}
