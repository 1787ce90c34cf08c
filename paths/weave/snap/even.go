package snap

import (
	"cmp"
	"math"
	"slices"
	"weftplot/paths/near"
)

// The bounds of what counts as one spacing that recurs, in channels.
const (
	evenStep  = 0.02 // from one to the next in size
	evenWidth = 0.05 // from the least to the greatest
	evenRoom  = 3    // how far a line may move for evenness
	evenMost  = 24   // wider spacings are not seen as a rhythm
)

// tie is a spacing between two variables that recurs in the design, and the
// count it gets. Where v is axisOf, it is the spacing of u and its own mirror
// image.
type tie struct {
	u, v  int
	size  float64
	count int
}

// axisOf stands for the other side of the mirror.
const axisOf = -1

// evenTies returns the ties whose size recurs, in groups of one size that hang
// together, the largest first. A count is the nearest whole number to the mean
// size, at least 1.
func evenTies(ties []tie, n int) [][]tie {
	slices.SortStableFunc(ties, func(a, b tie) int {
		return cmp.Or(cmp.Compare(a.size, b.size), cmp.Compare(a.u, b.u), cmp.Compare(a.v, b.v))
	})
	var out [][]tie
	for i := 0; i < len(ties); {
		j := i + 1
		for j < len(ties) && ties[j].size-ties[j-1].size <= evenStep && ties[j].size-ties[i].size <= evenWidth {
			j++
		}
		if j-i > 1 {
			out = append(out, connected(counted(ties[i:j]), n)...)
		}
		i = j
	}
	slices.SortStableFunc(out, func(a, b []tie) int {
		return cmp.Or(cmp.Compare(len(b), len(a)), cmp.Compare(a[0].u, b[0].u), cmp.Compare(a[0].v, b[0].v))
	})
	return out
}

// counted gives ties of one size their count.
func counted(ties []tie) []tie {
	var sum float64
	for _, t := range ties {
		sum += t.size
	}
	count := max(1, int(math.Round(sum/float64(len(ties)))))
	for i := range ties {
		ties[i].count = count
	}
	return ties
}

// connected cuts ties of one size into groups that share no variable.
func connected(ties []tie, n int) [][]tie {
	s := make(map[int]int, 2*len(ties)) // variable to local number
	number := func(v int) int {
		if _, ok := s[v]; !ok {
			s[v] = len(s)
		}
		return s[v]
	}
	for _, t := range ties {
		number(t.u)
		number(t.v)
	}
	part := near.NewSets(len(s))
	for _, t := range ties {
		if t.v != axisOf {
			part.Join(s[t.u], s[t.v])
		}
	}
	index := map[int]int{}
	var out [][]tie
	for _, t := range ties {
		root := part.Find(s[t.u])
		i, ok := index[root]
		if !ok {
			i = len(out)
			index[root] = i
			out = append(out, nil)
		}
		out[i] = append(out[i], t)
	}
	return out
}

// fits reports whether the variables of a group, evenly spaced and placed as
// well as can be, stay within evenRoom of where they are wanted.
func fits(group []tie, want func(int) float64) bool {
	at := make(map[int][]tie, 2*len(group))
	for _, t := range group {
		if t.v != axisOf {
			at[t.u] = append(at[t.u], t)
			at[t.v] = append(at[t.v], t)
		}
	}
	first := group[0].u
	off := map[int]int{first: 0} // from the first, evenly spaced
	var lo, hi float64
	for stack := []int{first}; len(stack) > 0; {
		x := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		d := want(x) - want(first) - float64(off[x])
		lo, hi = min(lo, d), max(hi, d)
		for _, t := range at[x] {
			y, o := t.v, off[x]+t.count
			if x == t.v {
				y, o = t.u, off[x]-t.count
			}
			if _, ok := off[y]; !ok {
				off[y] = o
				stack = append(stack, y)
			}
		}
	}
	return hi-lo <= 2*evenRoom
}
