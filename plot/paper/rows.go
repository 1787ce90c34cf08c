package paper

import "math"

// row is a row of sheets along one axis: where each begins and ends, and its
// cells.
type row struct {
	from, to  []float64
	cells     []span
	jointCost float64
}

// axis is the ink along one axis, and the sheets that go over it.
type axis struct {
	lo, hi        float64        // of the ink
	size, overlap float64        // of what a sheet carries
	step          float64        // of the shifts
	cell          float64        // of the field
	n             int            // number of cells
	ink           func(span) int // in some cells
	words         [][2]float64   // from where to where lettering goes
}

// rows lists the rows of sheets to try: shifted by whole steps, and with the last
// sheet ending where the ink ends.
func (a axis) rows() []row {
	length := a.hi - a.lo
	if a.size >= length-1e-6 {
		return []row{a.row(a.lo - (a.size-length)/2)}
	}
	pitch := a.size - a.overlap
	var out []row
	for k := 0; float64(k)*a.step < pitch; k++ {
		out = append(out, a.row(a.lo-float64(k)*a.step))
	}
	last := math.Mod(a.hi-a.size-a.lo, pitch)
	return append(out, a.row(a.lo-pitch+last))
}

// row is the row whose first sheet begins at from.
func (a axis) row(from float64) row {
	var r row
	for {
		to := from + a.size
		r.from, r.to = append(r.from, from), append(r.to, to)
		r.cells = append(r.cells, covered(from, to, a.lo, a.hi, a.cell, a.n))
		if n := len(r.from); n > 1 {
			r.jointCost += a.joint(from, r.to[n-2])
		}
		if to >= a.hi-1e-6 || len(r.from) > 4*mostSheets {
			return r
		}
		from += a.size - a.overlap
	}
}

// joint is what it costs to join two sheets in the overlap from lo to hi: the ink
// within a mm of its middle, and far more for lettering.
func (a axis) joint(lo, hi float64) float64 {
	mid := (lo + hi) / 2
	near := span{int((mid - 1 - a.lo) / a.cell), int((mid+1-a.lo)/a.cell) + 1}
	near.from, near.to = min(max(near.from, 0), a.n), min(max(near.to, 0), a.n)
	cost := float64(a.ink(near))
	for _, w := range a.words {
		if w[0] < mid && mid < w[1] {
			cost += 1e6
		}
	}
	return cost
}
