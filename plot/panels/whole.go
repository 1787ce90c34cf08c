package panels

import (
	"cmp"
	"math/rand/v2"
	"slices"
)

// A mover moves windows so that more strokes are whole, while every bit stays held. It is a
// search of large neighbourhoods: one, two or three windows are taken away; all but one of
// them are put back anyhow, and the last where it holds most of what the others do not.
type mover struct {
	*field
	rand  *rand.Rand
	sites []site
	zones []wish // bits and strokes; a bit is worth more than all strokes
	held  []int  // by how many windows each is held
	lost  int    // what is held by none
	depth []int  // of sites, for the search of the best
	work  int
}

// moverWork bounds the search, in looks at a zone or at a site.
const moverWork = 30_000_000

// idleMoves is after how many moves in vain the search ends.
const idleMoves = 500

// wholeMost returns windows, as many as given, that hold all bits and cut few strokes.
func (f *field) wholeMost(from []site) []site {
	strokes := 1
	for _, w := range f.wishes {
		strokes += w.strokes
	}
	m := &mover{field: f, rand: rand.New(rand.NewPCG(1, 2)), sites: slices.Clone(from), work: moverWork}
	for _, z := range f.must {
		m.zones = append(m.zones, wish{z, strokes})
	}
	m.zones = append(m.zones, f.wishes...)
	m.held = make([]int, len(m.zones))
	m.depth = make([]int, (len(f.xs)+1)*(len(f.ys)+1))
	for _, z := range m.zones {
		m.lost += z.strokes
	}
	for _, s := range m.sites {
		m.count(s, 1)
	}
	m.search()
	return m.sites
}

// count counts a window in or out.
func (m *mover) count(s site, by int) {
	for i, z := range m.zones {
		if !z.has(s) {
			continue
		}
		m.held[i] += by
		switch {
		case by > 0 && m.held[i] == 1:
			m.lost -= z.strokes
		case by < 0 && m.held[i] == 0:
			m.lost += z.strokes
		}
	}
	m.work -= len(m.zones)
}

// search moves windows until nothing is lost or the work is done.
func (m *mover) search() {
	for i := range m.sites {
		m.move([]int{i})
	}
	// No move loses more, so the last windows are the best.
	idle := 0
	for m.work > 0 && m.lost > 0 && idle < idleMoves {
		before := m.lost
		m.move(m.some())
		if idle++; m.lost < before {
			idle = 0
		}
	}
}

// some returns the numbers of one to three windows: one, and those nearest to it.
func (m *mover) some() []int {
	first := m.sites[m.rand.IntN(len(m.sites))]
	far := func(i int) float64 {
		a, b := m.window(first), m.window(m.sites[i])
		return a.Min.Dist(b.Min) * (1 + 0.5*float64(i%2))
	}
	all := make([]int, len(m.sites))
	for i := range all {
		all[i] = i
	}
	slices.SortStableFunc(all, func(i, j int) int { return cmp.Compare(far(i), far(j)) })
	return all[:min(len(all), 1+m.rand.IntN(3))]
}

// move takes windows away and puts them back elsewhere, unless more would be lost.
func (m *mover) move(some []int) {
	before, lost := slices.Clone(m.sites), m.lost
	for _, i := range some {
		m.count(m.sites[i], -1)
	}
	for k, i := range some {
		if k < len(some)-1 {
			m.sites[i] = m.anyhow(before[i])
		} else {
			m.sites[i] = m.best()
		}
		m.count(m.sites[i], 1)
	}
	if m.lost <= lost {
		return
	}
	for _, i := range some {
		m.count(m.sites[i], -1)
		m.sites[i] = before[i]
		m.count(m.sites[i], 1)
	}
}

// anyhow returns a site that holds something that none does, or one near another.
func (m *mover) anyhow(before site) site {
	z := m.zones[m.rand.IntN(len(m.zones))]
	for range 20 {
		i := m.rand.IntN(len(m.zones))
		if m.held[i] == 0 {
			z = m.zones[i]
			break
		}
	}
	s := site{z.x0 + m.rand.IntN(z.x1-z.x0+1), z.y0 + m.rand.IntN(z.y1-z.y0+1)}
	switch m.rand.IntN(4) { // often only one side moves
	case 0:
		s.x = before.x
	case 1:
		s.y = before.y
	}
	return s
}

// best returns the site that holds most of what no window holds: the place of greatest
// depth among the zones, by sums of differences.
func (m *mover) best() site {
	w := len(m.xs) + 1
	clear(m.depth)
	for i, z := range m.zones {
		if m.held[i] == 0 {
			m.depth[z.y0*w+z.x0] += z.strokes
			m.depth[z.y0*w+z.x1+1] -= z.strokes
			m.depth[(z.y1+1)*w+z.x0] -= z.strokes
			m.depth[(z.y1+1)*w+z.x1+1] += z.strokes
		}
	}
	m.work -= len(m.zones) + len(m.depth)
	var at site
	most, ties := -1, 0
	for y := range m.ys {
		row := 0
		for x := range m.xs {
			row += m.depth[y*w+x]
			v := row
			if y > 0 {
				v += m.depth[(y-1)*w+x]
			}
			m.depth[y*w+x] = v
			switch {
			case v > most:
				at, most, ties = site{x, y}, v, 1
			case v == most:
				if ties++; m.rand.IntN(ties) == 0 {
					at = site{x, y}
				}
			}
		}
	}
	return at
}
