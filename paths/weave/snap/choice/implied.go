package choice

import "math"

// needed returns the bounds, which stand in the order of u, less those that two others
// imply: k[w]-k[u] >= least follows where k[v]-k[u] and k[w]-k[v] are bounded by as much
// together. Where lines lie thick most do. Place is the rank of each variable. Only
// bounds that lead to a higher rank are left out, and only for two that do so as well:
// both span fewer ranks, so that, however many are left out, those that stay imply them.
func needed(bounds []bound, place []int) []bound {
	from := make([][]bound, len(place)) // by u
	for i := 0; i < len(bounds); {
		j, u := i, bounds[i].u
		for j < len(bounds) && bounds[j].u == u {
			j++
		}
		from[u] = bounds[i:j]
		i = j
	}
	const none = math.MinInt
	direct := make([]int, len(place)) // by v, its bound from u that is needed
	for v := range direct {
		direct[v] = none
	}
	out := make([]bound, 0, len(bounds))
	for u, of := range from {
		for _, b := range of {
			direct[b.v] = b.least
		}
		for _, a := range of {
			if place[a.v] <= place[u] {
				continue
			}
			for _, b := range from[a.v] {
				if place[b.v] > place[a.v] && direct[b.v] <= a.least+b.least {
					direct[b.v] = none
				}
			}
		}
		for _, b := range of {
			if direct[b.v] != none {
				out = append(out, b)
			}
			direct[b.v] = none
		}
	}
	return out
}
