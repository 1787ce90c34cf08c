package near

// Unused tells which places of a list are not taken yet. It finds the next one
// without stepping over the taken ones one by one, since thousands may lie together.
type Unused struct {
	// Each free place is in one set with the taken ones just before it. A set goes by
	// its least member, so the places are numbered from the end.
	sets *Sets
}

// NewUnused returns a list of n places, none of which is taken.
func NewUnused(n int) Unused { return Unused{NewSets(n + 1)} }

// From returns the first free place at or after i, or the length of the list where
// there is none.
func (u Unused) From(i int) int {
	last := u.sets.Len() - 1
	return last - u.sets.Find(last-i)
}

// Take makes place i taken; it may be so already.
func (u Unused) Take(i int) {
	last := u.sets.Len() - 1
	u.sets.Join(last-i, last-i-1)
}
