package join

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths/cores"
	"weftplot/paths/near"
)

// pairAll pairs the ends at every node so that the pen goes on as straight as
// it can, and leaves one end over where their number is odd. It returns the
// partner of each end, -1 for none. Following partners falls into trails, as
// few open ones as can be, and closed ones, which splice then joins to them.
func (g *graph) pairAll() []int {
	next := make([]int, len(g.node))
	for i := range next {
		next[i] = -1
	}
	cores.Ranges(len(g.ends), func(lo, hi int) {
		for _, ends := range g.ends[lo:hi] { // each end is at one node
			if len(ends) <= 10 {
				g.pairBest(ends, next)
			} else {
				g.pairOpposite(ends, next)
			}
		}
	})
	return next
}

// bend returns how much the pen turns from arriving by end a to leaving by end
// b: 0 straight on, 2 back the way it came.
func (g *graph) bend(a, b int) float64 { return 1 + g.dir[a].Dot(g.dir[b]) }

// pairBest finds the pairing with the least sum of bends, by dynamic
// programming over the sets of ends still to be paired.
func (g *graph) pairBest(ends []int, next []int) {
	n := len(ends)
	if n < 2 {
		return
	}
	best := make([]float64, 1<<n)
	pick := make([][2]int8, 1<<n)
	for set := 1; set < 1<<n; set++ {
		best[set] = math.Inf(1)
		count := 0
		for i := range n {
			count += set >> i & 1
		}
		if count == 1 {
			best[set] = 0
			continue
		}
		if count%2 == 1 {
			for i := range n { // leave i over
				if set>>i&1 == 1 && best[set&^(1<<i)] < best[set]-1e-12 {
					best[set], pick[set] = best[set&^(1<<i)], [2]int8{int8(i), int8(i)}
				}
			}
			continue
		}
		i := 0
		for set>>i&1 == 0 {
			i++
		}
		for j := i + 1; j < n; j++ {
			if set>>j&1 == 0 {
				continue
			}
			if c := best[set&^(1<<i)&^(1<<j)] + g.bend(ends[i], ends[j]); c < best[set]-1e-12 {
				best[set], pick[set] = c, [2]int8{int8(i), int8(j)}
			}
		}
	}
	for set := 1<<n - 1; set&(set-1) != 0; {
		i, j := int(pick[set][0]), int(pick[set][1])
		if i != j {
			next[ends[i]], next[ends[j]] = ends[j], ends[i]
		}
		set = set &^ (1 << i) &^ (1 << j)
	}
}

// pairOpposite pairs each end with the one half the way round the node, for
// nodes where many meet.
func (g *graph) pairOpposite(ends []int, next []int) {
	sorted := slices.Clone(ends)
	slices.SortStableFunc(sorted, func(a, b int) int {
		return cmp.Compare(g.dir[a].Angle(), g.dir[b].Angle())
	})
	half := len(sorted) / 2
	for i := range half {
		a, b := sorted[i], sorted[i+half]
		next[a], next[b] = b, a
	}
}

// splice joins the closed trails to the others they meet, at the nodes where
// that bends the pen least, until no closed trail touches another trail.
func (g *graph) splice(next []int, work *work) error {
	s := newSplicer(g, next)
	type place struct {
		node int
		bend float64
	}
	var places []place
	for c := range g.ends {
		if c%asking == 0 {
			if err := work.ask(); err != nil {
				return err
			}
		}
		if w, ok := s.best(c); ok {
			places = append(places, place{c, w.bend})
		}
	}
	slices.SortStableFunc(places, func(a, b place) int { return cmp.Compare(a.bend, b.bend) })
	for i, p := range places {
		if i%asking == 0 {
			if err := work.ask(); err != nil {
				return err
			}
		}
		s.joinInTurn(p.node)
		for {
			w, ok := s.best(p.node)
			if !ok {
				break
			}
			s.join(w)
		}
	}
	return nil
}

// joinInTurn joins the trails at a node where very many meet, each to the one
// before: looking for the best switching anew after each would take as long as
// the square of their number.
func (s *splicer) joinInTurn(node int) {
	passages := s.passages(s.g.ends[node])
	if len(passages) <= manyPassages {
		return
	}
	last := passages[0]
	for _, q := range passages[1:] {
		a, b := s.trail(last[0]), s.trail(q[0])
		if a == b || !s.closed[a] && !s.closed[b] {
			continue
		}
		least := switching{bend: math.Inf(1)}
		for _, w := range s.switchings(last, q) {
			if w.bend < least.bend-1e-12 {
				least = w
			}
		}
		s.join(least)
		last = [2]int{least.a, least.b}
	}
}

// manyPassages is the number of passages at a node from which the switchings
// are no longer chosen among all.
const manyPassages = 200

// A splicer knows which trail each edge is on while trails are joined.
type splicer struct {
	g      *graph
	next   []int
	trails *near.Sets // of edges
	closed []bool     // by the name of the trail
}

func newSplicer(g *graph, next []int) *splicer {
	s := &splicer{g: g, next: next, trails: near.NewSets(len(g.edges)), closed: make([]bool, len(g.edges))}
	for e := range s.closed {
		s.closed[e] = true
	}
	for end, n := range next {
		if n >= 0 {
			s.trails.Join(end/2, n/2)
		}
	}
	for end, n := range next {
		if n < 0 {
			s.closed[s.trail(end)] = false
		}
	}
	return s
}

// trail returns the name of the trail that an end is on: its first edge.
func (s *splicer) trail(end int) int { return s.trails.Find(end / 2) }

// A switching makes a and b partners, and c and d, of ends that now are
// partners otherwise. In a half switching c is left over and d is -1.
type switching struct {
	a, b, c, d int
	bend       float64
}

// best returns the switching at a node that joins a closed trail to another
// and adds least to the bends, and whether there is one.
func (s *splicer) best(node int) (switching, bool) {
	// One passage of each trail is tried against the next trail's, or all where
	// few meet.
	ends := s.g.ends[node]
	least := switching{bend: math.Inf(1)}
	if len(ends) < 3 {
		return least, false
	}
	passages := s.passages(ends)
	for i, p := range passages {
		others := passages[i+1:]
		if len(passages) > 32 {
			others = others[:min(8, len(others))]
		}
		for _, q := range others {
			if s.trail(p[0]) == s.trail(q[0]) || !s.closed[s.trail(p[0])] && !s.closed[s.trail(q[0])] {
				continue
			}
			for _, w := range s.switchings(p, q) {
				if w.bend < least.bend-1e-12 {
					least = w
				}
			}
		}
	}
	return least, !math.IsInf(least.bend, 1)
}

// passages returns the pairs of ends at a node, with -1 beside an end that is
// left over; sorted by trail where they are many, so that neighbours differ.
func (s *splicer) passages(ends []int) [][2]int {
	var out [][2]int
	for _, a := range ends {
		if b := s.next[a]; b > a || b < 0 {
			out = append(out, [2]int{a, b})
		}
	}
	if len(out) > 32 {
		// A passage of each trail in turn.
		slices.SortStableFunc(out, func(p, q [2]int) int { return cmp.Compare(s.trail(p[0]), s.trail(q[0])) })
		var firsts, rest [][2]int
		for i, p := range out {
			if i == 0 || s.trail(p[0]) != s.trail(out[i-1][0]) {
				firsts = append(firsts, p)
			} else {
				rest = append(rest, p)
			}
		}
		out = append(firsts, rest...)
	}
	return out
}

// switchings returns the switchings of two passages.
func (s *splicer) switchings(p, q [2]int) []switching {
	if p[1] < 0 {
		p, q = q, p
	}
	a, b := p[0], p[1]
	if b < 0 {
		return nil
	}
	bend := s.g.bend
	if q[1] < 0 { // q's trail ends here; it goes on along p instead
		was := bend(a, b)
		return []switching{
			{q[0], a, b, -1, bend(q[0], a) - was},
			{q[0], b, a, -1, bend(q[0], b) - was},
		}
	}
	was := bend(a, b) + bend(q[0], q[1])
	return []switching{
		{a, q[0], b, q[1], bend(a, q[0]) + bend(b, q[1]) - was},
		{a, q[1], b, q[0], bend(a, q[1]) + bend(b, q[0]) - was},
	}
}

// join makes the partners of w partners, and the two trails one.
func (s *splicer) join(w switching) {
	ra, rb := s.trail(w.a), s.trail(w.b)
	if ra == rb { // the other two tell the trails apart
		rb = s.trail(w.c)
	}
	s.next[w.a], s.next[w.b] = w.b, w.a
	s.next[w.c] = w.d
	if w.d >= 0 {
		s.next[w.d] = w.c
	}
	closed := s.closed[ra] && s.closed[rb]
	s.trails.Join(ra, rb)
	s.closed[s.trails.Find(ra)] = closed
}
