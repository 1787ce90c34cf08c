package paper

import (
	"math"
	"slices"
	"sync"

	"weftplot/paths/scan/skeleton"
)

// family is a row of printed lines.
type family struct {
	wave     // in pixels of the reduced plane
	sin, cos float64
	field    field
	k        int     // pixels of the page to one of the reduced plane
	mm       float64 // of a pixel of the page
	w, h     int     // of the page
	pieceMM  float64 // how long a piece of a line is

	first, lines  int // the number of the first line, and how many there may be
	reach         float64
	bins, lengths int
	// profile is the usual grey across each line, in half pixels from -reach.
	profile []uint8
	// local is the usual grey of the middle of each line, piece by piece of it; 255
	// where nothing was seen.
	local []uint8
	// print holds for each piece of a line how dark it is there, in 64ths of the
	// whole line.
	print []uint8
}

// each calls visit for the pixels of a row that lie on a line or near it: which line,
// counted from the first, on which piece of it, and how far across, in pixels of the
// page. It looks at every step-th pixel.
func (f *family) each(y, step int, visit func(x, line, piece int, off float64)) {
	half := float64(f.k-1) / 2
	k, fd := float64(f.k), f.field
	ry := (float64(y) - half) / k
	j := min(fd.h-2, max(0, int(ry/fd.cell)))
	fy := float32(ry/fd.cell) - float32(j)
	phase := func(i int) float64 {
		i = min(i, fd.w-1)
		return float64(fd.phase[j*fd.w+i]*(1-fy) + fd.phase[(j+1)*fd.w+i]*fy)
	}
	pieces := k * f.mm / f.pieceMM
	across, middle := f.pitch*k, float64(f.lengths)/2
	for i := 0; i < fd.w; i++ {
		// Across a cell the number of the line grows evenly.
		from, to := int(math.Ceil(float64(i)*fd.cell*k+half)), int(math.Ceil(float64(i+1)*fd.cell*k+half))
		if i == 0 {
			from = 0
		}
		a := (ry*f.cos)/f.pitch - phase(i)
		slope := -f.sin/f.pitch - (phase(i+1)-phase(i))/fd.cell
		a += float64(i) * fd.cell * -f.sin / f.pitch
		for x := (from + step - 1) / step * step; x < min(to, f.w); x += step {
			rx := (float64(x) - half) / k
			q := a + (rx-float64(i)*fd.cell)*slope
			n := math.Floor(q + 0.5)
			off := (q - n) * across
			if line := int(n) - f.first; off <= f.reach && off >= -f.reach && line >= 0 && line < f.lines {
				visit(x, line, int((rx*f.cos+ry*f.sin)*pieces+middle), off)
			}
		}
	}
}

// wholePieceMM is how long a piece of a line is among many like it.
const wholePieceMM = 12

// profileMM is how far to each side of a ruling its ink reaches at most, without what
// the picture blurs.
const profileMM = 0.3

// familyOf measures a row of lines. plane is the page, evened out. It returns nil where
// their pitch is out of bounds.
func familyOf(plane skeleton.Plane, mm float64, k int, w wave, fd field) *family {
	f := &family{wave: w, field: fd, k: k, mm: mm, w: plane.W, h: plane.H, pieceMM: wholePieceMM}
	if fd.single {
		f.pieceMM = lonerPieceMM
	}
	pitch := w.pitch * float64(k)
	f.reach = math.Floor(min(profileMM/mm+2.5, pitch/2-0.5))
	f.bins = int(4*f.reach) + 1
	f.lengths = 2*int(math.Hypot(float64(plane.W), float64(plane.H))*mm/f.pieceMM) + 2
	low, high := math.Inf(1), math.Inf(-1)
	f.sin, f.cos = math.Sincos(w.angle)
	for j := range fd.h {
		for i := range fd.w {
			x, y := float64(i)*fd.cell, float64(j)*fd.cell
			q := (-x*f.sin+y*f.cos)/w.pitch - float64(fd.phase[j*fd.w+i])
			low, high = min(low, q), max(high, q)
		}
	}
	f.first, f.lines = int(math.Floor(low)), int(high-low)+3
	if f.lines > 3000 || f.bins < 5 {
		return nil
	}
	f.measure(plane)
	return f
}

// steps returns how far apart the pixels are that a row of lines is measured by, across
// and down.
func (f *family) steps() (dx, dy int) {
	skip := max(1, int(0.17/f.mm))
	if math.Abs(f.sin) > math.Abs(f.cos) {
		return 1, skip
	}
	return skip, 1
}

// parts is how many parts of the page are measured at once, each with tables of its own.
const parts = 2

// inParts calls look for parts of the page, at once: rows y0 to y1, of which every dy-th
// counts. Their tables hold whole numbers, so that their sum does not depend on the parts.
func (f *family) inParts(dy int, look func(part, y0, y1 int)) {
	rows := (f.h + dy - 1) / dy
	var all sync.WaitGroup
	for part := range parts {
		all.Go(func() { look(part, rows*part/parts*dy, min(f.h, rows*(part+1)/parts*dy)) })
	}
	all.Wait()
}

// summed returns the sum of the tables of all parts.
func summed[T uint16 | float32 | float64](list [parts][]T) []T {
	for _, t := range list[1:] {
		for i, v := range t {
			list[0][i] += v
		}
	}
	return list[0]
}

// measure takes the medians of the grey across each line, and along its middle.
func (f *family) measure(plane skeleton.Plane) {
	var across, along [parts][]uint16
	dx, dy := f.steps()
	f.inParts(dy, func(part, y0, y1 int) {
		across, along := &across[part], &along[part]
		*across, *along = make([]uint16, f.lines*f.bins*64), make([]uint16, f.lines*f.lengths*64)
		for y := y0; y < y1; y += dy {
			f.each(y, dx, func(x, line, piece int, off float64) {
				g := plane.Pixels[y*f.w+x] / 4
				(*across)[(line*f.bins+f.bin(off))*64+int(g)]++
				if math.Abs(off) < 0.75 {
					(*along)[(line*f.lengths+piece)*64+int(g)]++
				}
			})
		}
	})
	f.profile, f.local = medians(summed(across)), medians(summed(along))
	for i := range f.lines {
		f.flatten(f.profile[i*f.bins:][:f.bins])
	}
	var cut []int
	if !f.field.single {
		cut = f.unify()
	}
	f.print = make([]uint8, len(f.local))
	for i := range f.print {
		whole := skeleton.Paper - float64(f.profile[i/f.lengths*f.bins+f.bins/2])
		f.print[i] = 64
		if f.local[i] != unseen && whole > 2 {
			share := (skeleton.Paper - float64(f.local[i])) / whole
			if share > mostPrint {
				share = 1 // somebody drew along it there
			}
			f.print[i] = uint8(64 * max(0, share))
		}
	}
	for _, line := range cut {
		for i := range f.lengths {
			f.print[line*f.lengths+i] = 64
		}
	}
	for line := range f.lines {
		f.toEnds(f.print[line*f.lengths:][:f.lengths], f.local[line*f.lengths:][:f.lengths])
	}
}

// filled gives the bins of a profile in which no pixel lies the mean of those beside them:
// across level lines, pixels lie in every second bin.
func filled(p []uint8) {
	for i := 1; i+1 < len(p); i++ {
		if p[i] == unseen && p[i-1] != unseen && p[i+1] != unseen {
			p[i] = uint8((int(p[i-1]) + int(p[i+1])) / 2)
		}
	}
}

// flatten makes the sides of a profile bare paper, and lets it grow lighter outwards.
func (f *family) flatten(p []uint8) {
	filled(p)
	side := max(p[0], p[len(p)-1])
	for i, g := range p {
		if g == unseen {
			g = skeleton.Paper
		}
		p[i] = uint8(min(skeleton.Paper, int(g)+skeleton.Paper-int(min(side, skeleton.Paper))))
	}
	mid := len(p) / 2
	for i := mid + 1; i < len(p); i++ {
		p[i] = max(p[i], p[i-1])
	}
	for i := mid - 1; i >= 0; i-- {
		p[i] = max(p[i], p[i+1])
	}
}

func (f *family) bin(off float64) int {
	return min(f.bins-1, max(0, int(math.Round(2*(off+f.reach)))))
}

// unseen is the median of nothing.
const unseen = 255

// medians returns the medians of histograms of 64 steps of four greys each.
func medians(h []uint16) []uint8 {
	out := make([]uint8, len(h)/64)
	for i := range out {
		c := h[i*64:][:64]
		n := 0
		for _, v := range c {
			n += int(v)
		}
		out[i] = unseen
		if n < 3 {
			continue
		}
		left := n / 2
		for g, v := range c {
			if left < int(v) {
				// Interpolated within the step.
				out[i] = uint8(min(254, 4*g+4*left/int(v)))
				break
			}
			left -= int(v)
		}
	}
	return out
}

// A ruling is printed all over the sheet: this share of the lines between its
// outermost is there, each over this share of the page.
const (
	leastLines  = 0.62
	leastLength = 0.62
	fewest      = 5
)

// isPrinted reports whether the lines go all over the page, in which a part may be
// covered by the drawing, and returns the darkness of the lines in steps of grey.
func (f *family) isPrinted() (dark float64, ok bool) {
	there := make([]bool, f.lines)
	var sum, n float64
	from, to, count := f.lines, -1, 0
	for i := range f.lines {
		mid := skeleton.Paper - float64(f.profile[i*f.bins+f.bins/2])
		var seen, printed float64
		for j := range f.lengths {
			if g := f.local[i*f.lengths+j]; g != unseen {
				seen++
				if d := skeleton.Paper - float64(g); d > 4 && d > mid/3 {
					printed++
				}
			}
		}
		if there[i] = seen > 0 && mid > 4 && printed >= leastLength*seen; there[i] {
			from, to, count = min(from, i), i, count+1
			sum, n = sum+mid, n+1
		}
	}
	if count < fewest || float64(count) < leastLines*float64(to-from+1) {
		return 0, false
	}
	across := float64(to-from) * f.pitch * float64(f.k)
	whole := min(math.Abs(float64(f.h)/f.cos), math.Abs(float64(f.w)/f.sin))
	return sum / n, across > 0.6*whole
}

// remove divides a plane by what the lines let through, so that ink across a line
// keeps its shape, and makes paper of what is left of the print where there is no ink.
func (f *family) remove(plane skeleton.Plane, noise float64) {
	skeleton.Bands(f.h, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			row := plane.Pixels[y*f.w:][:f.w]
			f.each(y, 1, func(x, line, piece int, off float64) {
				// Between two bins of the profile.
				at := 2 * (off + f.reach)
				b := min(f.bins-2, int(at))
				p := f.profile[line*f.bins+b:]
				grey := float64(p[0])*(1-at+float64(b)) + float64(p[1])*(at-float64(b))
				print := (skeleton.Paper - grey) * float64(f.print[line*f.lengths+piece]) / 64
				if print >= 1.5 {
					row[x] = unprinted(float64(row[x]), print, noise)
				}
			})
		}
	})
}

// finer returns the row of lines of which this one is every second to tenth, or nil. It
// looks at what lies across between two lines, in the mean over the page.
func (f *family) finer(plane skeleton.Plane) *family {
	wide := *f
	pitch := f.pitch * float64(f.k)
	wide.reach = pitch / 2
	bins := int(pitch)
	var sums, counts [parts][]float64
	f.inParts(3, func(part, y0, y1 int) {
		sum, count := make([]float64, bins), make([]float64, bins)
		for y := y0; y < y1; y += 3 {
			wide.each(y, 2, func(x, _, _ int, off float64) {
				b := min(bins-1, int((off/pitch+0.5)*float64(bins)))
				sum[b], count[b] = sum[b]+faintness(plane.Pixels[y*f.w+x]), count[b]+1
			})
		}
		sums[part], counts[part] = sum, count
	})
	sum, count := summed(sums), summed(counts)
	at := func(share float64) float64 { // the most about a place, as a share of the pitch
		b := int(math.Round((share + 0.5) * float64(bins)))
		best := 0.0
		for d := -1; d <= 1; d++ {
			i := (b + d + bins) % bins
			best = max(best, sum[i]/max(1, count[i]))
		}
		return best
	}
	for _, n := range []int{10, 5, 4, 3, 2} {
		if f.pitch*float64(f.k)*f.mm/float64(n) < leastPitch || bins < 5*n {
			continue
		}
		least := math.Inf(1)
		for i := range n {
			on, off := at(float64(i)/float64(n)), at((float64(i)+0.5)/float64(n))
			least = min(least, on-off)
		}
		if least < max(leastRise, 0.2*(at(0)-at(0.5/float64(n)))) {
			continue
		}
		fine := field{cell: f.field.cell, w: f.field.w, h: f.field.h, phase: slices.Clone(f.field.phase)}
		for i := range fine.phase {
			fine.phase[i] *= float32(n)
		}
		return familyOf(plane, f.mm, f.k, wave{f.angle, f.pitch / float64(n)}, fine)
	}
	return nil
}

// unprinted returns the grey of a pixel without the print on it, which alone would
// make it darker by print.
func unprinted(g, print, noise float64) uint8 {
	dark := skeleton.Paper - g*skeleton.Paper/(skeleton.Paper-print)
	if least := 2*noise + 0.2*print; dark < 2*least {
		dark *= max(0, dark-least) / least
	}
	return uint8(min(255, max(0, skeleton.Paper-dark+0.5)))
}
