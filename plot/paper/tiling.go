package paper

import "slices"

// tiling is a choice of columns and rows of sheets by their cells.
type tiling struct {
	*field
	x, y []span
}

// keptSheets are sheets that are kept, row by row from the bottom.
type keptSheets struct {
	is    []bool
	count int
}

// alone is the part of the i-th span that none of its neighbours covers.
func alone(s []span, i int) span {
	out := s[i]
	if i > 0 {
		out.from = max(out.from, s[i-1].to)
	}
	if i+1 < len(s) {
		out.to = min(out.to, s[i+1].from)
	}
	return out
}

// shared is what the i-th span has in common with the next.
func shared(s []span, i int) span { return span{s[i+1].from, s[i].to} }

// forced are the sheets with ink that no other sheet carries.
func (t tiling) forced() keptSheets {
	k := keptSheets{is: make([]bool, len(t.x)*len(t.y))}
	for j := range t.y {
		rows := alone(t.y, j)
		for i := range t.x {
			if t.has(alone(t.x, i), rows) {
				k.is[j*len(t.x)+i] = true
				k.count++
			}
		}
	}
	return k
}

// complete adds the fewest sheets that carry what the forced ones leave: ink in the
// overlaps, which two or four sheets could carry.
func (t tiling) complete(forced keptSheets) (kept []bool, count int, exact bool) {
	kept = slices.Clone(forced.is)
	needs := t.needs(kept)
	if len(needs) == 0 {
		return kept, forced.count, true
	}
	// Each sheet that may help is a set of the needs that it meets.
	sets := map[int]set{}
	for n, sheets := range needs {
		for _, s := range sheets {
			if sets[s] == nil {
				sets[s] = newSet(len(needs))
			}
			sets[s].add(n)
		}
	}
	var index []int
	for s := range sets {
		index = append(index, s)
	}
	slices.Sort(index)
	list := make([]set, len(index))
	for i, s := range index {
		list[i] = sets[s]
	}
	picked, exact := newCover(len(needs), list).fewest(20_000)
	for _, i := range picked {
		kept[index[i]] = true
	}
	return kept, forced.count + len(picked), exact
}

// needs lists, for each overlap with ink that no kept sheet carries, the sheets
// that could.
func (t tiling) needs(kept []bool) [][]int {
	var out [][]int
	need := func(x, y span, sheets ...int) {
		if slices.ContainsFunc(sheets, func(s int) bool { return kept[s] }) || !t.has(x, y) {
			return
		}
		out = append(out, sheets)
	}
	w := len(t.x)
	for j := range t.y {
		for i := range t.x {
			at := j*w + i
			right, above := i+1 < len(t.x), j+1 < len(t.y)
			if right {
				need(shared(t.x, i), alone(t.y, j), at, at+1)
			}
			if above {
				need(alone(t.x, i), shared(t.y, j), at, at+w)
			}
			if right && above {
				need(shared(t.x, i), shared(t.y, j), at, at+1, at+w, at+w+1)
			}
		}
	}
	return out
}
