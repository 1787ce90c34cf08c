package cores

import (
	"context"
	"slices"
)

// fewestSorted is how many items a part is worth sorting on its own for.
const fewestSorted = 4096

// Sort sorts a list on all cores at once where it is long. compare is as for
// [slices.SortFunc]; it must tell every two items apart, so that the list is the same
// for any number of cores.
func Sort[T any](list []T, compare func(a, b T) int) {
	parts := 1
	for parts < 8 && len(list) >= 2*parts*fewestSorted {
		parts *= 2
	}
	at := func(k, parts int) int { return len(list) * k / parts }
	share := func(parts int, do func(k int)) {
		_ = Each(context.Background(), parts, func(k int) error { do(k); return nil }) // which has no error
	}
	share(parts, func(k int) { slices.SortFunc(list[at(k, parts):at(k+1, parts)], compare) })
	if parts == 1 {
		return
	}
	from, to := list, make([]T, len(list))
	for ; parts > 1; parts /= 2 {
		share(parts/2, func(k int) {
			first, middle, end := at(2*k, parts), at(2*k+1, parts), at(2*k+2, parts)
			merge(to[first:first], from[first:middle], from[middle:end], compare)
		})
		from, to = to, from
	}
	if &from[0] != &list[0] {
		copy(list, from)
	}
}

// merge appends two sorted lists as one to out, which has room for them.
func merge[T any](out, a, b []T, compare func(a, b T) int) {
	for len(a) > 0 && len(b) > 0 {
		if compare(b[0], a[0]) < 0 {
			out, b = append(out, b[0]), b[1:]
		} else {
			out, a = append(out, a[0]), a[1:]
		}
	}
	_ = append(append(out, a...), b...)
}
