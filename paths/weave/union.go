package weave

// sets is a partition of 0..n-1 into sets that can be joined. The least member
// stands for its set, so the outcome does not depend on the order of joining.
type sets []int

func newSets(n int) sets {
	s := make(sets, n)
	for i := range s {
		s[i] = i
	}
	return s
}

func (s sets) find(i int) int {
	for s[i] != i {
		s[i] = s[s[i]]
		i = s[i]
	}
	return i
}

func (s sets) join(i, j int) {
	i, j = s.find(i), s.find(j)
	if i > j {
		i, j = j, i
	}
	s[j] = i
}
