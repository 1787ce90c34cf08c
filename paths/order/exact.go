package order

import (
	"math"

	"weftplot/paths"
)

// mostExact is the number of strokes up to which the best order of all can be
// found by trying every one, and exactWork how long that may take.
const (
	mostExact = 9
	exactWork = 1e8
)

// An option is one way to draw a stroke: where the pen comes down and goes up.
type option struct {
	end     int32 // that it is entered by
	in, out paths.Point
}

// exact returns the shortest tour of a small field, with loops entered at one
// of their listed points, by dynamic programming over the sets of strokes drawn
// (Held and Karp 1962; Bellman 1962), or nil when that would take too long.
func exact(f *field) []int32 {
	n := len(f.loop) - 1
	if n > mostExact {
		return nil
	}
	options, first := f.options(n)
	p := len(options)
	if float64(p)*float64(p)*float64(int(1)<<n) > exactWork {
		return nil
	}
	hops := make([]float64, p*p)
	for i, a := range options {
		for j, b := range options {
			hops[i*p+j] = f.between(a.out, b.in)
		}
	}
	// The least cost from home through a set of strokes, the last of them drawn
	// by an option, and the option before that.
	home, park := f.pos[2*n+1], f.pos[2*n]
	cost := make([]float64, p<<n)
	from := make([]int16, p<<n)
	for i := range cost {
		cost[i] = math.Inf(1)
	}
	for i, o := range options {
		cost[(1<<(o.end>>1))*p+i], from[(1<<(o.end>>1))*p+i] = f.between(home, o.in), -1
	}
	full := 1<<n - 1
	for set := 1; set < full; set++ {
		for i := range p {
			c := cost[set*p+i]
			if math.IsInf(c, 1) {
				continue
			}
			for s := range n {
				if set>>s&1 == 1 {
					continue
				}
				next := (set | 1<<s) * p
				for j := first[s]; j < first[s+1]; j++ {
					if d := c + hops[i*p+j]; d < cost[next+j] {
						cost[next+j], from[next+j] = d, int16(i)
					}
				}
			}
		}
	}
	last := 0
	for i, o := range options {
		if cost[full*p+i]+f.between(o.out, park) < cost[full*p+last]+f.between(options[last].out, park) {
			last = i
		}
	}
	seq := make([]int32, n+1)
	for set, k := full, n-1; k >= 0; k-- {
		o := options[last]
		seq[k] = o.end
		if f.loop[o.end>>1] != nil {
			f.pos[o.end], f.pos[o.end^1] = o.in, o.in
		}
		set, last = set&^(1<<(o.end>>1)), int(from[set*p+last])
	}
	seq[n] = int32(2 * n) // from park to home
	return seq
}

// options returns all options of the first n strokes, and where those of each
// begin.
func (f *field) options(n int) (all []option, first []int) {
	for s := range int32(n) {
		first = append(first, len(all))
		if f.loop[s] != nil {
			for _, p := range f.loop[s] {
				all = append(all, option{2 * s, p, p})
			}
			continue
		}
		a, b := f.pos[2*s], f.pos[2*s+1]
		all = append(all, option{2 * s, a, b})
		if a != b {
			all = append(all, option{2*s + 1, b, a})
		}
	}
	return all, append(first, len(all))
}
