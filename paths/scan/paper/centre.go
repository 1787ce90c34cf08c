package paper

import (
	"math"
	"slices"

	"weftplot/paths/scan/skeleton"
)

// A row of lines is first laid over the page by a polynomial, which follows a bent sheet,
// and at the sides of the page may leave the lines. So each piece of a line is looked at
// again, and the row is moved to the middle of its print.

const (
	// centrings is how often the row is moved: it sees print only near to it.
	centrings = 2
	// besideMM is how far across lines are that a piece of a line goes with.
	besideMM = 16.0
	// leastCentred is how many pieces agree on how far the row is moved.
	leastCentred = 4
)

// centre moves the lines to the middle of their print.
func (f *family) centre(plane skeleton.Plane) {
	for range centrings {
		f.move(f.agreed(f.offsets(plane)))
	}
	f.measure(plane)
}

// offsets returns how far beside each piece of a line the middle of its print lies, in
// pixels of the page; not a number where there is none to see.
func (f *family) offsets(plane skeleton.Plane) []float64 {
	var sums, counts [parts][]float32
	dx, dy := f.steps()
	f.inParts(dy, func(part, y0, y1 int) {
		sum, count := make([]float32, f.lines*f.lengths*f.bins), make([]float32, f.lines*f.lengths*f.bins)
		for y := y0; y < y1; y += dy {
			f.each(y, dx, func(x, line, piece int, off float64) {
				i := (line*f.lengths+piece)*f.bins + f.bin(off)
				sum[i] += faint[plane.Pixels[y*f.w+x]]
				count[i]++
			})
		}
		sums[part], counts[part] = sum, count
	})
	sum, count := summed(sums), summed(counts)
	out := make([]float64, f.lines*f.lengths)
	for i := range out {
		out[i] = f.middle(sum[i*f.bins:][:f.bins], count[i*f.bins:][:f.bins])
	}
	return out
}

// middle returns the middle of the print across a piece of a line: that of what is more
// than half as dark as its darkest place.
func (f *family) middle(sum, count []float32) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for b := range sum {
		if count[b] == 0 {
			return math.NaN()
		}
		sum[b] /= count[b]
		low, high = min(low, float64(sum[b])), max(high, float64(sum[b]))
	}
	if high-low < 2*leastRise {
		return math.NaN()
	}
	var moment, all float64
	for b, v := range sum {
		if w := float64(v) - (low+high)/2; w > 0 {
			moment, all = moment+w*(float64(b)/2-f.reach), all+w
		}
	}
	return moment / all
}

// agreed returns how far each piece of a line is to be moved: the median of the offsets
// of the pieces beside it, so that what is drawn along a line does not count, and 0 where
// too few are to be seen.
func (f *family) agreed(offsets []float64) []float64 {
	out := make([]float64, len(offsets))
	beside := max(3, int(besideMM/(f.pitch*float64(f.k)*f.mm)))
	for line := range f.lines {
		for piece := range f.lengths {
			var list []float64
			for l := max(0, line-beside); l <= min(f.lines-1, line+beside); l++ {
				if v := offsets[l*f.lengths+piece]; !math.IsNaN(v) {
					list = append(list, v)
				}
			}
			if len(list) >= leastCentred {
				slices.Sort(list)
				out[line*f.lengths+piece] = list[len(list)/2]
			}
		}
	}
	return out
}

// move moves the lines by so much, in pixels of the page, for each piece of them.
func (f *family) move(by []float64) {
	across := f.pitch * float64(f.k)
	pieces, middle := float64(f.k)*f.mm/f.pieceMM, float64(f.lengths)/2
	at := func(line, piece int) float64 {
		return by[min(f.lines-1, max(0, line))*f.lengths+min(f.lengths-1, max(0, piece))]
	}
	for j := range f.field.h {
		for i := range f.field.w {
			x, y := float64(i)*f.field.cell, float64(j)*f.field.cell
			phase := &f.field.phase[j*f.field.w+i]
			line := (-x*f.sin+y*f.cos)/f.pitch - float64(*phase) - float64(f.first)
			piece := (x*f.cos+y*f.sin)*pieces + middle - 0.5
			p := int(math.Floor(piece))
			n, share := int(math.Round(line)), piece-math.Floor(piece)
			*phase += float32((at(n, p)*(1-share) + at(n, p+1)*share) / across)
		}
	}
}
