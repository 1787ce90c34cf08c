package inspect

import (
	"math"
	"slices"

	"weftplot/paths"
)

const (
	// maxGapLooks bounds the looks at segments for gaps, beyond some for each end.
	maxGapLooks   = 5_000_000
	leastGapLooks = 400
)

// gaps returns the ends that nearly meet a line and do not, and whether all
// could be looked at.
func (f *drawing) gaps() ([]Found, bool) {
	var out []Found
	whole := true
	all := make([]int32, len(f.segs))
	for i := range all {
		all[i] = int32(i)
	}
	in := f.indexOf(all, f.Gap, 0)
	most := max(leastGapLooks, maxGapLooks/max(1, len(f.closed)))
	seen := map[[2]int][]paths.Point{}
	for i, closed := range f.closed {
		lo, hi := f.first[i], f.first[i+1]
		if closed || lo == hi || f.length[i] == 0 {
			continue
		}
		for _, end := range []segment{f.segs[lo], reversed(f.segs[hi-1], f.length[i])} {
			g, ok, all := f.gap(end, in, most)
			whole = whole && all
			pair := [2]int{min(g.Stroke, g.Other), max(g.Stroke, g.Other)}
			// Two ends that face one another have one gap between them.
			told := func(p paths.Point) bool { return p.Dist(g.At) <= f.Gap }
			if ok && !slices.ContainsFunc(seen[pair], told) {
				seen[pair] = append(seen[pair], g.At)
				out = append(out, g)
			}
		}
	}
	return out, whole
}

// reversed returns the last segment of a stroke with the stroke's end as its
// start; from stays the place of that end along the stroke.
func reversed(s segment, length float64) segment {
	return segment{s.b, s.a, s.u.Mul(-1), s.length, s.stroke, length}
}

// gap returns the gap at the end where s starts, if there is one: what is
// nearest is farther off than where lines meet, and no farther than a gap is
// wide. Where that cannot be told by as many looks as are allowed, whole is false.
func (f *drawing) gap(s segment, in index, most int) (found Found, ok, whole bool) {
	best, meets := Found{Kind: Gap, Length: f.Gap, Stroke: int(s.stroke), Other: -1}, false
	f.ask()
	in.cells.Along(s.a, s.a, f.Gap, func(items []int32) {
		for _, k := range items {
			f.work++
			if most--; meets || most < 0 {
				return
			}
			if j := in.ids[k]; f.meet(j) {
				meets = f.face(s, j, &best, &most)
			}
		}
	})
	whole = meets || most >= 0
	return best, whole && !meets && best.Other >= 0, whole
}

// face reports whether the end where s starts meets segment j. Where it only comes near it,
// and nearer than anything before, it sets best to the gap between them. What it looks at is
// taken off most.
func (f *drawing) face(s segment, j int32, best *Found, most *int) (meets bool) {
	o := f.segs[j]
	foot := min(o.length, max(0, s.a.Sub(o.a).Dot(o.u)))
	q := o.at(foot)
	d := s.a.Dist(q)
	// A line is near its own end; only where it comes back it could meet it.
	if d > f.Gap || o.stroke == s.stroke && f.apart(s.stroke, s.from, o.from+foot) <= 4*max(d, f.Meet) {
		return false
	}
	isDouble := d <= f.Double && math.Abs(s.u.Dot(o.u)) >= math.Cos(twisted)
	if d <= f.Meet || isDouble || f.overshoots(s, j, most) {
		return true
	}
	if best.Other < 0 || d < best.Length || d == best.Length && int(o.stroke) < best.Other {
		best.At, best.Length, best.Other = s.a.Lerp(q, 0.5), d, int(o.stroke)
	}
	return false
}

// overshoots reports whether the line crosses segment j just before its end at s.a.
func (f *drawing) overshoots(s segment, j int32, most *int) bool {
	o := f.segs[j]
	remaining := 2 * f.Gap
	i, step := f.first[s.stroke], int32(1)
	if s.from > 0 {
		i, step = f.first[s.stroke+1]-1, -1
	}
	for ; remaining > 0 && f.first[s.stroke] <= i && i < f.first[s.stroke+1]; i += step {
		t := f.segs[i]
		*most--
		f.work++
		if t.length > remaining { // no more of it than is near the end
			if cut := t.length - remaining; step < 0 {
				t.a, t.from = t.at(cut), t.from+cut
			}
			t.length = remaining
			t.b = t.at(remaining)
		}
		if i != j && !(t.stroke == o.stroke && (t.a == o.b || t.b == o.a)) {
			if d, _, _ := distance(t, o); d <= f.Meet {
				return true
			}
		}
		remaining -= t.length
	}
	return false
}
