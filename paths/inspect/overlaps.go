package inspect

import (
	"cmp"
	"math"
	"slices"
)

// leastDouble is the length in mm from which a double is reported.
const leastDouble = 1

// doubles returns the overlaps that are drawn twice.
func (p *pairing) doubles() []Found {
	var kept []overlap
	for _, r := range merged(p.double, true, 2*p.Double) {
		if r.isLevel(p.Double / 2) {
			r.offFrom, r.offTo = r.apart, r.apart
			kept = append(kept, r.overlap)
		}
	}
	var out []Found
	for _, r := range merged(kept, false, 2*p.Double) {
		if r.to-r.from >= leastDouble-1e-6 {
			out = append(out, r.found(p.drawing, Double))
		}
	}
	return out
}

// edge is the part of a band at each end in which lines need not be level.
const edge = 0.1

// isLevel reports whether the lines stay as far apart as they are, to within
// most, but for a tenth of the band at each end. Lines that only cross at a flat
// angle, or touch one another, do not.
func (r band) isLevel(most float64) bool {
	const probes = 16
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := range probes {
		at := r.from + (r.to-r.from)*(edge+(1-2*edge)*float64(i)/(probes-1))
		off := math.Inf(1) // of what is nearest here
		for _, t := range r.parts {
			if t.from <= at && at <= t.to {
				here := t.part(at, at).offFrom
				if c := cmp.Compare(math.Abs(here), math.Abs(off)); c < 0 || c == 0 && here > off {
					off = here
				}
			}
		}
		if !math.IsInf(off, 1) {
			lo, hi = min(lo, off), max(hi, off)
		}
	}
	return hi-lo <= most
}

// close returns the overlaps that run so close that no row of loops fits between.
func (p *pairing) close() []Found {
	var out []Found
	limit := min(p.Across, p.Along)
	for _, r := range merged(p.along, false, limit/2) {
		if r.to-r.from < limit {
			continue
		}
		best := r.parts[0]
		for _, t := range r.parts {
			if isCloser(t.apart(), t.other, best.apart(), best.other) {
				best = t
			}
		}
		r.other = best.other
		out = append(out, r.found(p.drawing, Close))
	}
	return out
}

// part returns the part of an overlap between two places along its stroke.
func (t overlap) part(from, to float64) overlap {
	off := func(at float64) float64 {
		return t.offFrom + (t.offTo-t.offFrom)*(at-t.from)/(t.to-t.from)
	}
	return overlap{t.stroke, t.other, from, to, off(from), off(to)}
}

// apart returns how close the lines come in it.
func (t overlap) apart() float64 {
	if t.offFrom*t.offTo < 0 {
		return 0
	}
	return min(math.Abs(t.offFrom), math.Abs(t.offTo))
}

// isLevel reports whether the lines stay as far apart as they are, to within most.
func (t overlap) isLevel(most float64) bool { return math.Abs(t.offTo-t.offFrom) <= most }

// band is a number of overlaps of one stroke that follow or overlap one another.
type band struct {
	overlap
	apart float64   // the least
	parts []overlap // what it is made of
}

// merged puts the overlaps of each stroke together where no more than bridge is
// between them; those beside different strokes stay apart when byOther is set.
func merged(list []overlap, byOther bool, bridge float64) []band {
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(a, b overlap) int {
		if a.stroke == b.stroke && a.other != b.other && byOther {
			return cmp.Compare(a.other, b.other)
		}
		return cmp.Or(cmp.Compare(a.stroke, b.stroke), cmp.Compare(a.from, b.from), cmp.Compare(a.to, b.to))
	})
	var out []band
	first := 0
	for i, t := range list {
		apart := t.apart()
		n := len(out) - 1
		if n >= 0 && out[n].stroke == t.stroke && (!byOther || out[n].other == t.other) && t.from <= out[n].to+bridge {
			r := &out[n]
			r.apart = min(r.apart, apart)
			if t.to > r.to {
				r.to, r.offTo = t.to, t.offTo
			}
		} else {
			first = i
			out = append(out, band{overlap: t, apart: apart})
			n++
		}
		out[n].parts = list[first : i+1]
	}
	return out
}

func (r band) found(f *drawing, k Kind) Found {
	return Found{Kind: k, At: f.place(r.stroke, (r.from+r.to)/2), Length: r.to - r.from, Apart: r.apart, Stroke: int(r.stroke), Other: int(r.other)}
}
