package paper

import (
	"math"
	"slices"

	"weftplot/paths/scan/skeleton"
)

// Loners are printed lines that go from side to side of a ruled sheet and have no
// neighbours at their pitch: that of a margin, or of a head.

// mostLoners is how many are looked for in each direction, among so many dark tracks:
// the sides of a drawing are tracks, too.
const (
	mostLoners = 3
	mostTracks = 6
)

// lonerPieceMM is how long a piece of a single line is: short enough to tell print, which
// runs off the sheet, from the side of a drawing, which keeps a margin.
const lonerPieceMM = 2.5

// removeLoners takes single lines out of a plane that is ruled as f says, along and
// across, and returns how many there were.
func removeLoners(plane skeleton.Plane, f *family, noise float64) int {
	dark, _ := f.isPrinted()
	n := 0
	for _, turn := range []float64{0, math.Pi / 2} {
		w := wave{wrapped(f.angle+turn, math.Pi), 20 / (f.mm * float64(f.k))}
		n += removeLonersAlong(plane, w, f.mm, f.k, 2.5*dark, noise)
	}
	return n
}

// removeLonersAlong takes single lines out that lie along a wave and are no darker than
// most.
func removeLonersAlong(plane skeleton.Plane, w wave, mm float64, k int, most, noise float64) (n int) {
	small := reduced(plane, k)
	s := stripsOf(small, w, mm*float64(k), 1)
	for range mostTracks {
		track, ok := s.track()
		if ok {
			if g := familyOf(plane, mm, k, w, s.fieldAlong(track, small.W, small.H)); g != nil && g.isWhole(most) {
				g.remove(plane, noise)
				if n++; n == mostLoners {
					break
				}
			}
		}
		s.forget(track)
	}
	return n
}

// forgetMM is how far to each side of a track nothing more is looked for.
const forgetMM = 0.9

// forget makes what lies about a track unseen.
func (s strips) forget(track []float64) {
	reach := int(math.Ceil(forgetMM * s.wide / stripMM))
	for i, place := range track {
		mid := int(math.Round(place - s.v0))
		for j := max(0, mid-reach); j <= min(s.m-1, mid+reach); j++ {
			s.count[i*s.m+j] = 0
		}
	}
}

// leastTrack is how much darker than its sides a single line is at least, and
// wholeTrack the share of the strips in which it is so.
const (
	leastTrack = 6
	wholeTrack = 0.85
)

// track finds the line that is darkest, in the mean over all strips in each of which it
// counts no more than clip, and moves by no more than a little from strip to strip. It
// is the shortest way by dynamic programming. Strips that see only a corner of the page
// are passed over.
func (s strips) track() (places []float64, ok bool) {
	const reach = 3 // pixels from strip to strip
	best := make([]float64, s.m)
	from := make([][]int, s.n)
	for i := range s.n {
		now := make([]float64, s.m)
		from[i] = make([]int, s.m)
		for j := range s.m {
			at, top := j, math.Inf(-1)
			for k := max(0, j-reach); k <= min(s.m-1, j+reach); k++ {
				if v := best[k] - 0.2*math.Abs(float64(k-j)); v > top {
					at, top = k, v
				}
			}
			from[i][j] = at
			now[j] = top + s.rise(i, j)
		}
		best = now
	}
	end := 0
	for j, v := range best {
		if v > best[end] {
			end = j
		}
	}
	places = make([]float64, s.n)
	seen, all := 0, 0
	for i, j := s.n-1, end; i >= 0; i-- {
		places[i] = s.middle(i, j) + s.v0
		if _, in := s.value(i, j); in {
			all++
			if s.rise(i, j) >= leastTrack {
				seen++
			}
		}
		j = from[i][j]
	}
	for range 3 { // a printed line bends little
		for i := 1; i+1 < len(places); i++ {
			places[i] = places[i-1]/4 + places[i]/2 + places[i+1]/4
		}
	}
	return places, all > 4 && float64(seen) > wholeTrack*float64(all) && 2*all > s.n
}

// middle returns the centroid of a line about place j of strip i.
func (s strips) middle(i, j int) float64 {
	const reach = 3
	least := math.Inf(1)
	for k := j - reach; k <= j+reach; k++ {
		if d, ok := s.value(i, k); ok {
			least = min(least, d)
		}
	}
	var sum, moment float64
	for k := j - reach; k <= j+reach; k++ {
		if d, ok := s.value(i, k); ok {
			sum, moment = sum+d-least, moment+(d-least)*float64(k-j)
		}
	}
	if sum < 1 {
		return float64(j)
	}
	return float64(j) + moment/sum
}

// rise returns how much darker place j of strip i is than the darker of what lies at
// its two sides, up to a third of the clip.
func (s strips) rise(i, j int) float64 {
	const side = 5
	here, ok := s.value(i, j)
	a, okA := s.value(i, j-side)
	b, okB := s.value(i, j+side)
	if !ok || !okA || !okB {
		return 0
	}
	return min(clip/3, max(0, here-max(a, b)))
}

// fieldAlong returns the phase of one line along a track, as line 0.
func (s strips) fieldAlong(track []float64, w, h int) field {
	f := newField(w, h)
	f.single = true
	for j := range f.h {
		for i := range f.w {
			u, _ := s.of(float64(i)*f.cell, float64(j)*f.cell)
			at := (u-s.u0)/s.wide - 0.5
			a := min(len(track)-1, max(0, int(math.Floor(at))))
			b := min(len(track)-1, a+1)
			share := min(1, max(0, at-float64(a)))
			f.phase[j*f.w+i] = float32((track[a]*(1-share) + track[b]*share) / s.pitch)
		}
	}
	return f
}

// A printed line runs off the sheet: so many pieces at one end of it, and at both ends
// together, may be bare, where the lid of a scanner shows beyond a sheet that lies askew.
const (
	mostBare     = 2
	mostBareEnds = 3
)

// isWhole keeps only line 0 of a row, and reports whether it is no darker than most, and
// goes over the whole page from one side to the other: what was drawn keeps off them.
func (f *family) isWhole(most float64) bool {
	line := -f.first
	if line < 0 || line >= f.lines {
		return false
	}
	for i := range f.print {
		if i/f.lengths != line {
			f.print[i] = 0
		}
	}
	mid := skeleton.Paper - float64(f.profile[line*f.bins+f.bins/2])
	pieces := f.local[line*f.lengths:][:f.lengths]
	pieces = slices.DeleteFunc(slices.Clone(pieces), func(g uint8) bool { return g == unseen })
	isPrint := func(g uint8) bool { return skeleton.Paper-float64(g) > mid/3 }
	head := slices.IndexFunc(pieces, isPrint)
	if head < 0 {
		return false
	}
	tail, printed := 0, 0
	for _, g := range pieces {
		tail++
		if isPrint(g) {
			tail, printed = 0, printed+1
		}
	}
	if max(head, tail) > mostBare || head+tail > mostBareEnds {
		return false
	}
	return mid > 8 && mid < most && float64(printed) > wholeTrack*float64(len(pieces)-head-tail)
}
