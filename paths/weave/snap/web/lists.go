package web

// Lists holds lists of numbers by a key from 0 on, one after the other in one array.
type Lists struct {
	start []int32 // by key, and one more: where its list starts
	items []int32
}

// NewLists returns lists for n keys. It calls each twice, which puts the same numbers by
// the same keys in the same order both times; those of one key keep their order.
func NewLists(n int, each func(put func(key, item int))) Lists {
	l := Lists{start: make([]int32, n+1)}
	each(func(key, _ int) { l.start[key+1]++ })
	for k := range n {
		l.start[k+1] += l.start[k]
	}
	l.items = make([]int32, l.start[n])
	// While the lists are filled each start stands where the next number goes; then it is
	// the end of its list, which is where the next one starts.
	each(func(key, item int) {
		l.items[l.start[key]] = int32(item)
		l.start[key]++
	})
	copy(l.start[1:], l.start[:n])
	l.start[0] = 0
	return l
}

// Of returns the list of a key. The caller must not change it.
func (l Lists) Of(key int) []int32 {
	k := l.start[key]
	return l.items[k:l.start[key+1]:l.start[key+1]]
}

// Len returns how many numbers the list of a key holds.
func (l Lists) Len(key int) int { return int(l.start[key+1] - l.start[key]) }
