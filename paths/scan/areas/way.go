package areas

import (
	"math"

	"weftplot/paths"
)

// wayOut follows the shortest way from the roomy cells of an area into those of another,
// across no line. It returns the narrowest passage on it, and the other area.
func (a areas) wayOut(area, room int32) (o Open, into int32, ok bool) {
	from := map[int32]int32{}
	var queue []int32
	for i, v := range a.paper {
		if k := a.middle(i); v == area && a.roomy[i] && a.atRim(i) && a.drawn[k] == room {
			from[k] = -1
			queue = append(queue, k)
		}
	}
	w := int32(a.lines.W)
	for n := 0; n < len(queue); n++ {
		i := queue[n]
		if v := a.paper[a.cell(i)]; v != area && v != 0 && a.roomy[a.cell(i)] {
			o, ok = a.passage(i, from)
			return o, v, ok
		}
		for _, k := range [4]int32{i - 1, i + 1, i - w, i + w} {
			if _, seen := from[k]; !seen && a.leadsOut(k, area, room) {
				from[k] = i
				queue = append(queue, k)
			}
		}
	}
	return o, 0, false
}

// leadsOut reports whether a way out of an area may pass through fine cell k: it lies in
// the room, and not farther in the area than its rim.
func (a areas) leadsOut(k, area, room int32) bool {
	if k < 0 || int(k) >= len(a.drawn) || a.drawn[k] != room {
		return false
	}
	c := a.cell(k)
	return a.paper[c] != area || !a.roomy[c] || a.atRim(c)
}

// atRim reports whether a cell beside roomy cell i is not roomy.
func (a areas) atRim(i int) bool {
	for _, k := range [4]int{i - 1, i + 1, i - a.W, i + a.W} {
		if k < 0 || k >= len(a.roomy) || !a.roomy[k] {
			return true
		}
	}
	return false
}

// passage follows a way back from fine cell i and returns the narrowest passage between
// lines on what of it lies in ink.
func (a areas) passage(i int32, from map[int32]int32) (o Open, ok bool) {
	var cells []int32
	for ; i >= 0; i = from[i] {
		if a.paper[a.cell(i)] == 0 {
			cells = append(cells, i)
		}
	}
	if len(cells) == 0 {
		return o, false
	}
	mid := a.at(cells[len(cells)/2])
	o.From, o.To = mid, mid
	least := math.Inf(1)
	for _, c := range cells {
		if p, q, found := a.sides(c); found && p.Dist(q) < least {
			least = p.Dist(q)
			o.From, o.To = p, q
		}
	}
	return o, true
}

// sides returns the nearest place of a line to fine cell i, and the nearest of one at
// the other side of it, if both lie within a width of the line.
func (a areas) sides(i int32) (p, q paths.Point, ok bool) {
	at := a.at(i)
	reach := max(2, int(a.width/float64(a.fine)))
	x, y := int(i)%a.lines.W, int(i)/a.lines.W
	nearest := func(other paths.Point) (best paths.Point, ok bool) {
		least := math.Inf(1)
		for j := max(0, y-reach); j <= min(a.lines.H-1, y+reach); j++ {
			for k := max(0, x-reach); k <= min(a.lines.W-1, x+reach); k++ {
				if a.lines.Pixels[j*a.lines.W+k] != 0 {
					continue
				}
				r := a.at(int32(j*a.lines.W + k))
				if d := r.Sub(at); d.Len() < least && d.Dot(other) <= -0.3*d.Len()*other.Len() {
					least, best = d.Len(), r
				}
			}
		}
		return best, !math.IsInf(least, 1)
	}
	if p, ok = nearest(paths.Point{}); !ok {
		return p, q, false
	}
	q, ok = nearest(p.Sub(at))
	return p, q, ok
}
