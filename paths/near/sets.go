package near

import "slices"

// Sets is a partition of 0..n-1 into disjoint sets that can be joined. The
// least member names its set, so that the names do not depend on the order of
// joining. Any m operations take O(m·α(n)) time, α the inverse of Ackermann's
// function (path halving and union by size: R. Tarjan and J. van Leeuwen, J. ACM
// 31 (1984) 245-281). The zero value is a partition of nothing.
type Sets struct {
	parent []int32
	size   []int32 // by root
	least  []int32 // by root, the least member
}

// NewSets returns the partition of 0..n-1 into sets of one.
func NewSets(n int) *Sets {
	s := &Sets{make([]int32, 0, n), make([]int32, 0, n), make([]int32, 0, n)}
	for range n {
		s.Add()
	}
	return s
}

// Add adds a set of one, and returns its member: the number of members before.
func (s *Sets) Add() int {
	i := int32(len(s.parent))
	s.parent, s.size, s.least = append(s.parent, i), append(s.size, 1), append(s.least, i)
	return int(i)
}

// Len returns the number of members of all sets.
func (s *Sets) Len() int { return len(s.parent) }

// Find returns the name of the set that i is in: its least member.
func (s *Sets) Find(i int) int { return int(s.least[s.root(i)]) }

// Same reports whether i and j are in one set.
func (s *Sets) Same(i, j int) bool { return s.root(i) == s.root(j) }

func (s *Sets) root(i int) int32 {
	p, r := s.parent, int32(i)
	for p[r] != r {
		p[r] = p[p[r]]
		r = p[r]
	}
	return r
}

// Join makes the sets of i and j one, and reports whether they were two.
func (s *Sets) Join(i, j int) bool {
	a, b := s.root(i), s.root(j)
	if a == b {
		return false
	}
	if s.size[a] < s.size[b] {
		a, b = b, a
	}
	s.parent[b] = a
	s.size[a] += s.size[b]
	s.least[a] = min(s.least[a], s.least[b])
	return true
}

// Clone returns a copy that can be joined apart from s.
func (s *Sets) Clone() *Sets {
	return &Sets{slices.Clone(s.parent), slices.Clone(s.size), slices.Clone(s.least)}
}

// Numbers numbers the sets from 0 in the order of their least members. It
// returns the number of each member's set, and how many sets there are.
func (s *Sets) Numbers() (number []int, count int) {
	number = make([]int, s.Len())
	for i := range number {
		if name := s.Find(i); name < i {
			number[i] = number[name]
		} else {
			number[i] = count
			count++
		}
	}
	return number, count
}
