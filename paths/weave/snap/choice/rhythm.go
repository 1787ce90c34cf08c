package choice

import (
	"cmp"
	"math"
	"slices"
)

// The bounds of what counts as one size that recurs, in channels.
const (
	evenStep  = 0.02    // from one to the next in size
	evenWidth = 0.05    // from the least to the greatest
	evenShare = 1. / 16 // of a wide size, by which its count may differ from it
	evenNoise = 0.004   // what rounding in a file does to a size

	// A count that makes a row longer or shorter than this share of it, and by more than so
	// many channels, spoils the design's proportions: 150 lines 1.77 channels apart would
	// fill little over half of their room with a channel each.
	mostStretch, freeStretch = 1. / 3, 20
)

// tie is a place where a size stands: the spacing of two variables, or, where v is
// axisOf, of u and its own mirror image.
type tie struct {
	u, v int
	size float64
	a, b int  // a line of each
	sure bool // of equal motifs: not by chance
	edge bool // from a fixed line, such as a border
}

// axisOf stands for the other side of the mirror.
const axisOf = -1

// rhythm is a size that recurs, with the limits of its count.
type rhythm struct {
	size        float64
	least, most int
	places      []tie
}

// recurring returns the sizes that recur among the ties, those with the most
// places first. Of sizes with as many places those of the design itself come before
// its distances from a border: that those differ by a row is seen last.
func recurring(ties []tie) []rhythm {
	slices.SortStableFunc(ties, func(a, b tie) int {
		return cmp.Or(cmp.Compare(a.size, b.size), cmp.Compare(a.u, b.u), cmp.Compare(a.v, b.v))
	})
	var out []rhythm
	for i := 0; i < len(ties); {
		j := i + 1
		for j < len(ties) && ties[j].size-ties[j-1].size <= evenStep && ties[j].size-ties[i].size <= evenWidth {
			j++
		}
		places := distinctPlaces(ties[i:j])
		if len(places) > 1 && (sureOnes(places) > 1 || !byChance(ties, i, j, len(places))) {
			out = append(out, newRhythm(places))
		}
		i = j
	}
	slices.SortStableFunc(out, func(a, b rhythm) int {
		return cmp.Or(cmp.Compare(len(b.places), len(a.places)), cmp.Compare(a.edges(), b.edges()), cmp.Compare(a.size, b.size))
	})
	return out
}

// edges returns how many places of a rhythm begin or end at fixed lines.
func (r rhythm) edges() (n int) {
	for _, t := range r.places {
		if t.edge {
			n++
		}
	}
	return n
}

// newRhythm returns the rhythm of places of one size. Its count may be any whole
// number within a channel of the size, or within a sixteenth of a wide one.
func newRhythm(places []tie) rhythm {
	var sum float64
	for _, t := range places {
		sum += t.size
	}
	size := sum / float64(len(places))
	slack := max(1, size*evenShare) + 1e-6
	r := rhythm{size: size, places: places, least: max(1, int(math.Ceil(size-slack))), most: int(math.Floor(size + slack))}
	for n := r.longest(); r.least < r.most && r.spoils(r.least, n); {
		r.least++
	}
	for n := r.longest(); r.least < r.most && r.spoils(r.most, n); {
		r.most--
	}
	return r
}

// longest returns how many places of a rhythm follow one another at most.
func (r rhythm) longest() (n int) {
	for _, chain := range r.chains() {
		k := len(chain)
		if chain[k-1].v == axisOf {
			k = 2*k - 1 // with its image
		}
		n = max(n, k)
	}
	return n
}

// spoils reports whether a count changes a row of n places too much.
func (r rhythm) spoils(count, n int) bool {
	off := math.Abs(float64(count) - r.size)
	return off*float64(n) > freeStretch && off > mostStretch*r.size+1e-6
}

// distinctPlaces returns the ties with each pair of variables once.
func distinctPlaces(ties []tie) []tie {
	seen := map[[2]int]int{}
	var out []tie
	for _, t := range ties {
		key := [2]int{t.u, t.v}
		if i, ok := seen[key]; ok {
			out[i].sure = out[i].sure || t.sure
			continue
		}
		seen[key] = len(out)
		out = append(out, t)
	}
	return out
}

func sureOnes(places []tie) (n int) {
	for _, t := range places {
		if t.sure {
			n++
		}
	}
	return n
}

// byChance reports whether so many places of the sizes from i to j may be alike by
// chance, as some always are where sizes of all kinds lie thick: whether, with
// sizes strewn as thick as the different ones within half a channel, so many
// alike are to be expected somewhere among all.
func byChance(ties []tie, i, j, places int) bool {
	others := 0
	for k, last := i-1, ties[i].size; k >= 0 && ties[k].size >= ties[i].size-0.5; k-- {
		if last-ties[k].size > evenNoise {
			others, last = others+1, ties[k].size
		}
	}
	for k, last := j, ties[j-1].size; k < len(ties) && ties[k].size <= ties[j-1].size+0.5; k++ {
		if ties[k].size-last > evenNoise {
			others, last = others+1, ties[k].size
		}
	}
	mean := float64(others) * (ties[j-1].size - ties[i].size + evenNoise)
	more := 1. // the share of Poisson's distribution from places-1 on
	for k, p := 0, math.Exp(-mean); k < places-1; k++ {
		more -= p
		p *= mean / float64(k+1)
	}
	return float64(len(ties))*more > 1
}

// counts returns the whole numbers that r may get, the nearest to its size first.
func (r rhythm) counts() []int {
	var out []int
	for q := r.least; q <= r.most; q++ {
		out = append(out, q)
	}
	slices.SortStableFunc(out, func(a, b int) int {
		return cmp.Compare(math.Abs(float64(a)-r.size), math.Abs(float64(b)-r.size))
	})
	return out
}

// ties returns the places whose spacings are compared: between neighbours that
// overlap by half their length or more, across the mirror's axis, and between
// the lines of motifs.
func (c *chooser) ties(seen []Pair, links []Link) []tie {
	var out []tie
	add := func(a, b int, sure bool) {
		u, v, d := c.bundle[a], c.bundle[b], c.Lines[b].At-c.Lines[a].At
		if u == v || d <= Apart || c.settled[u] && c.settled[v] || c.Lines[a].Loose || c.Lines[b].Loose {
			return
		}
		edge := c.Lines[a].Fixed || c.Lines[b].Fixed
		out = append(out, tie{u: u, v: v, size: d, a: a, b: b, sure: sure, edge: edge})
	}
	for _, p := range seen {
		if c.abreast(p) {
			add(p.A, p.B, false)
		}
	}
	for _, l := range links {
		if l.B == axisOf {
			c.tieAtAxis(&out, l.A, l.Sure)
		} else {
			add(l.A, l.B, l.Sure)
		}
	}
	if c.centre != nil {
		for _, p := range c.facing() {
			if it := c.Lines[p.A]; p.Length >= 0.5*(it.Hi-it.Lo) {
				c.tieAtAxis(&out, p.A, false)
			}
		}
	}
	return out
}

// abreast reports whether lines see each other along half the length of one or more.
func (c *chooser) abreast(p Pair) bool {
	a, b := c.Lines[p.A], c.Lines[p.B]
	return p.Length > 0 && p.Length >= 0.5*min(a.Hi-a.Lo, b.Hi-b.Lo)
}

// tieAtAxis adds the place between a line and its own mirror image.
func (c *chooser) tieAtAxis(out *[]tie, a int, sure bool) {
	it := c.Lines[a]
	d := float64(*c.centre) - 2*it.At
	if c.centre == nil || it.Fixed || it.Loose || d <= Apart {
		return
	}
	*out = append(*out, tie{u: c.bundle[a], v: axisOf, size: d, a: a, b: a, sure: sure})
}

// chains orders the places of a rhythm that follow one another into chains, each
// from its first place on. A chain that reaches the mirror's axis ends there.
func (r rhythm) chains() [][]tie {
	next, before := map[int]int{}, map[int]bool{}
	for i, t := range r.places {
		if _, ok := next[t.u]; !ok || t.v == axisOf {
			next[t.u] = i
		}
		before[t.v] = true
	}
	used := make([]bool, len(r.places))
	var out [][]tie
	for i, t := range r.places {
		if before[t.u] || used[i] || next[t.u] != i {
			continue
		}
		var chain []tie
		for j, ok := i, true; ok && !used[j]; {
			used[j] = true
			chain = append(chain, r.places[j])
			if r.places[j].v == axisOf {
				break
			}
			j, ok = next[r.places[j].v]
		}
		out = append(out, chain)
	}
	return out
}
