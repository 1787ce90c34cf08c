package choice

// groups are numbers in groups, such as pairs by their first lines.
type groups struct{ first, items []int32 }

// groupsOf puts the numbers from 0 to count-1 into n groups, each into the one that of
// says, in their order.
func groupsOf(count, n int, of func(i int) int) groups {
	g := groups{make([]int32, n+2), make([]int32, count)}
	for i := range count {
		g.first[of(i)+2]++
	}
	for k := range n {
		g.first[k+2] += g.first[k+1]
	}
	for i := range count { // first[k+1] is where the next of group k goes
		next := &g.first[of(i)+1]
		g.items[*next] = int32(i)
		*next++
	}
	return g
}

func (g groups) of(k int) []int32 { return g.items[g.first[k]:g.first[k+1]] }
