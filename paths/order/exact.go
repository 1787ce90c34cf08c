package order

import (
	"math"

	"weftplot/paths"
)

// mostExact is the greatest number of strokes whose best order is found
// exactly; exactWork bounds the work of that.
const (
	mostExact = 9
	exactWork = 1e8
)

// An option is one way to draw a stroke: where the pen comes down and goes up.
type option struct {
	end     int32 // by which the stroke is entered
	in, out paths.Point
}

// exact returns the shortest tour of a small instance, with loops entered at one
// of their listed points, by dynamic programming over the sets of strokes drawn
// (Held and Karp 1962; Bellman 1962), or nil when that would take too long.
func exact(f *instance) []int32 {
	n := len(f.loop) - 1
	if n > mostExact {
		return nil
	}
	options, first := f.options(n)
	p := len(options)
	if float64(p)*float64(p)*float64(int(1)<<n) > exactWork {
		return nil
	}
	d := subsets{instance: f, n: n, options: options, first: first}
	d.begin()
	for set := 1; set < 1<<n-1; set++ {
		d.extend(set)
	}
	return d.best()
}

// subsets holds, for each set of strokes and each option of one of them, the
// least cost of a way from home through the set that ends with that option. A
// set is a number with a bit for each stroke.
type subsets struct {
	*instance
	n       int
	options []option
	first   []int     // by stroke, where its options begin
	hops    []float64 // from option to option
	cost    []float64 // by set and option
	from    []int16   // the option before, -1 for home
}

// begin fills in the sets of one stroke.
func (d *subsets) begin() {
	p := len(d.options)
	d.hops = make([]float64, p*p)
	for i, a := range d.options {
		for j, b := range d.options {
			d.hops[i*p+j] = d.between(a.out, b.in)
		}
	}
	d.cost, d.from = make([]float64, p<<d.n), make([]int16, p<<d.n)
	for i := range d.cost {
		d.cost[i] = math.Inf(1)
	}
	home := d.pos[2*d.n+1]
	for i, o := range d.options {
		k := (1<<(o.end>>1))*p + i
		d.cost[k], d.from[k] = d.between(home, o.in), -1
	}
}

// extend fills in the sets that have one stroke more than set.
func (d *subsets) extend(set int) {
	p := len(d.options)
	for i := range p {
		so := d.cost[set*p+i]
		if math.IsInf(so, 1) {
			continue
		}
		for s := range d.n {
			if set>>s&1 == 1 {
				continue
			}
			next := (set | 1<<s) * p
			for j := d.first[s]; j < d.first[s+1]; j++ {
				if c := so + d.hops[i*p+j]; c < d.cost[next+j] {
					d.cost[next+j], d.from[next+j] = c, int16(i)
				}
			}
		}
	}
}

// best returns the tour that costs least with the way to the park position, and
// sets the loops' entries to it.
func (d *subsets) best() []int32 {
	p, full, park := len(d.options), 1<<d.n-1, d.pos[2*d.n]
	total := func(i int) float64 { return d.cost[full*p+i] + d.between(d.options[i].out, park) }
	last := 0
	for i := range d.options {
		if total(i) < total(last) {
			last = i
		}
	}
	seq := make([]int32, d.n+1)
	for set, k := full, d.n-1; k >= 0; k-- {
		o := d.options[last]
		seq[k] = o.end
		if d.loop[o.end>>1] != nil {
			d.pos[o.end], d.pos[o.end^1] = o.in, o.in
		}
		set, last = set&^(1<<(o.end>>1)), int(d.from[set*p+last])
	}
	seq[d.n] = int32(2 * d.n) // from park to home
	return seq
}

// options returns all options of the first n strokes, and where those of each
// begin.
func (f *instance) options(n int) (all []option, first []int) {
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
