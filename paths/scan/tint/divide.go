package tint

import (
	"slices"

	"weftplot/paths"
)

// leastPiece is how long a piece of another ink is at least, in widths of the line:
// where lines cross, each runs through the ink of the other. At the end of a line, or
// between two other inks, half of that is enough.
const leastPiece, leastPieceMM = 4., 2.

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
