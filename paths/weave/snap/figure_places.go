package snap

import (
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/weave/holes"
	"weftplot/paths/weave/snap/choice"
	"weftplot/paths/weave/snap/rings"
	"weftplot/paths/weave/snap/web"
)

// settle puts figures of one kind on crossings: with the counts that most of them have
// a place with, and of those the ones that move least. It returns what it costs.
func (p *plaiter) settle(of []*figure) (cost float64) {
	classes, sizes := p.classesOf(of[0])
	most, least := 0, 0.
	var best [][][2]int
	for _, counts := range holes.Counts(sizes) {
		placed, cost := p.tryCounts(of, classes, counts)
		if n := len(of) - placedNone(placed); n > most || n == most && n > 0 && cost < least-1e-9 {
			most, least, best = n, cost, placed
		}
	}
	for i, f := range of {
		if f.at = nil; best != nil && best[i] != nil {
			f.at = best[i]
			p.put(f, best[i])
		}
	}
	return least
}

// classesOf returns the classes of a figure's slants, numbered, and their sizes.
func (p *plaiter) classesOf(f *figure) (classes map[int]int, sizes []float64) {
	classes = map[int]int{}
	for _, k := range f.slants {
		if _, ok := classes[k.class]; !ok {
			classes[k.class] = len(sizes)
			sizes = append(sizes, p.sizes[k.class])
		}
	}
	return classes, sizes
}

func placedNone(placed [][][2]int) (n int) {
	for _, at := range placed {
		if at == nil {
			n++
		}
	}
	return n
}

// tryCounts returns where figures lie with the counts, nil for those that have no place,
// and what it costs. Nothing is moved when it returns.
func (p *plaiter) tryCounts(of []*figure, classes map[int]int, counts []int) (placed [][][2]int, cost float64) {
	placed = make([][][2]int, len(of))
	done := map[*figure]bool{}
	was := map[int]paths.Point{}
	for i, f := range of {
		if done[f] {
			continue
		}
		group := p.images(f)
		ats, c, ok := p.placeAll(group, f, classes, counts)
		for _, g := range group {
			done[g] = true
			for _, v := range g.corners {
				if _, ok := was[v]; !ok {
					was[v] = p.moved[v]
				}
			}
		}
		if !ok {
			continue
		}
		for j, g := range group {
			p.put(g, ats[j])
		}
		fits := !slices.ContainsFunc(group, func(g *figure) bool { return !p.fits(g) })
		for j, g := range group {
			if fits {
				placed[i+indexFrom(of[i:], g)] = ats[j]
			} else {
				for _, v := range g.corners {
					p.moved[v] = was[v]
				}
			}
		}
		if fits {
			cost += c
		}
	}
	for v, q := range was {
		p.moved[v] = q
	}
	return placed, cost
}

// indexFrom returns the index of f in a list that holds it.
func indexFrom(list []*figure, f *figure) int { return slices.Index(list, f) }

// placeAll returns where a figure and its mirror images lie.
func (p *plaiter) placeAll(group []*figure, f *figure, classes map[int]int, counts []int) (ats [][][2]int, cost float64, ok bool) {
	h := p.holesOf(f, classes)
	at, cost, ok := h.Place(counts)
	if !ok {
		return nil, 0, false
	}
	if h.Farthest(at) > f.most {
		return nil, 0, false
	}
	ats = make([][][2]int, len(group))
	ats[0] = at
	for i, g := range group {
		for axis, n := range g.image {
			j := -1
			if n >= 0 {
				j = slices.Index(group, p.figures[n])
			}
			if j > 0 && ats[j] == nil && ats[i] != nil {
				if ats[j], ok = p.reflected(g, ats[i], group[j], axis); !ok {
					return nil, 0, false
				}
			}
		}
	}
	return ats, cost * float64(len(group)), !slices.ContainsFunc(ats, func(at [][2]int) bool { return at == nil })
}

// holesOf states the problem of one figure.
func (p *plaiter) holesOf(f *figure, classes map[int]int) holes.Figure {
	var h holes.Figure
	for _, v := range f.corners {
		at := p.grid.PlaceOf(p.moved[v])
		h.Corners = append(h.Corners, holes.Corner{
			Want: [2]float64{at.Across, at.Along},
			Held: [2]bool{p.on[0][v] != nil, p.on[1][v] != nil},
		})
	}
	h.Lines = f.lines(classes)
	both := f.image[0] >= 0 && f.image[0] == f.image[1] // turned by half it is itself
	for axis, n := range f.image {
		if n >= 0 && (p.figures[n] == f || both) {
			h.Twice[axis] = p.twice[axis]
		}
	}
	return h
}

// lines returns the slants of a figure with their sizes, by class.
func (f *figure) lines(classes map[int]int) (out []holes.Line) {
	for _, k := range f.slants {
		out = append(out, holes.Line{From: f.index[k.from], To: f.index[k.to], Step: k.step, Size: classes[k.class]})
	}
	return out
}

// fits reports whether a figure keeps to the room, and whether all that is round it lies
// to it as it did: what it crossed it crosses, and nothing else.
func (p *plaiter) fits(f *figure) bool {
	was, is := paths.EmptyRect(), paths.EmptyRect()
	for _, v := range f.corners {
		was, is = was.Union(paths.RectOf(p.Vertices[v])), is.Union(paths.RectOf(p.moved[v]))
	}
	if p.opt.Room != nil {
		room := p.opt.Room.rect(p.grid).Grow(web.Joint)
		if before, _ := room.Excess(was); before <= 0 {
			if after, _ := room.Excess(is); after > 0 {
				return false
			}
		}
	}
	for _, k := range f.slants {
		if !p.slantFits(f, k) {
			return false
		}
	}
	return true
}

// slantFits is fits for one slant, and for the ways of its ends.
func (p *plaiter) slantFits(f *figure, k slant) bool {
	a, b := p.Vertices[k.from], p.Vertices[k.to]
	a2, b2 := p.moved[k.from], p.moved[k.to]
	ok := true
	p.around(paths.RectOf(a, b, a2, b2), func(i int) bool {
		s, j := p.curves[i][0], p.curves[i][1]
		e := p.Ends(s, j)
		if e[0] == k.from || e[0] == k.to || e[1] == k.from || e[1] == k.to {
			return true // it goes with the corner
		}
		w := p.flat(i)
		apart := !w.beforeBox.Grow(2 * shapeTouch).Overlaps(paths.RectOf(a, b))
		if apart && !w.afterBox.Overlaps(paths.RectOf(a2, b2)) {
			return true
		}
		touching := !apart && touchesLine(w.before, a, b)
		if touching && (p.touched[e[0]] || p.touched[e[1]] || p.held(k.from, s, j) || p.held(k.to, s, j)) {
			return true // it is put back there
		}
		p.work -= flatLooks * (len(w.before) + len(w.after))
		if touching {
			ok = touchesLine(w.after, a2, b2)
		} else {
			ok = meets(w.before, a, b) == meets(w.after, a2, b2)
		}
		return ok
	})
	return ok && p.work > 0
}

// flat is a curve before and after as polylines. It is good as long as its ends lie where
// they lay.
type flat struct {
	before, after       []paths.Point
	beforeBox, afterBox paths.Rect
	ends                [2]paths.Point
}

// flat returns a curve of curves.
func (p *plaiter) flat(i int) *flat {
	s, j := p.curves[i][0], p.curves[i][1]
	ends := [2]paths.Point{p.moved[p.Ends(s, j)[0]], p.moved[p.Ends(s, j)[1]]}
	w := &p.flats[i]
	if w.before == nil {
		w.before = paths.Stroke{p.Strokes[s][j]}.Flatten(shapeFlat)
		w.beforeBox = paths.RectOf(w.before...)
	}
	if w.after == nil || w.ends != ends {
		w.after, w.ends = p.redrawOne(s, j).Flatten(shapeFlat), ends
		w.afterBox = paths.RectOf(w.after...)
		p.work -= flatLooks * len(w.after)
	}
	return w
}

// held reports whether vertex v stays on a curve that is a part of a straight, or on the
// slanting line that it touches.
func (p *plaiter) held(v, stroke, curve int) bool {
	return p.touched[v] || p.isTaken(stroke, curve) && (p.on[0][v] != nil || p.on[1][v] != nil)
}

// meets reports whether a polyline and a segment have a point in common.
func meets(pts []paths.Point, a, b paths.Point) bool {
	for i := 1; i < len(pts); i++ {
		if rings.Cross(pts[i-1], pts[i], a, b) {
			return true
		}
	}
	return false
}

// touchesLine reports whether a polyline ends on a segment, or the segment on it.
func touchesLine(pts []paths.Point, a, b paths.Point) bool {
	l := paths.Line{A: a, B: b}
	for _, q := range []paths.Point{pts[0], pts[len(pts)-1]} {
		if _, d := l.Nearest(q); d <= shapeTouch {
			return true
		}
	}
	for i := 1; i < len(pts); i++ {
		m := paths.Line{A: pts[i-1], B: pts[i]}
		for _, q := range []paths.Point{a, b} {
			if _, d := m.Nearest(q); d <= shapeTouch {
				return true
			}
		}
	}
	return false
}

// around calls g for the curves near a box, until it returns false.
func (p *plaiter) around(box paths.Rect, g func(i int) bool) {
	if p.cells == nil {
		all := paths.EmptyRect()
		for i, k := range p.Strokes {
			for j := range k {
				p.curves = append(p.curves, [2]int{i, j})
				all = all.Union(k[j].Bounds())
			}
		}
		p.flats, p.roundOf = make([]flat, len(p.curves)), make([]int32, len(p.curves))
		p.cells = near.NewCells(all, choice.Reach*p.grid.Across, len(p.curves), func(i int, put func(paths.Rect)) {
			put(p.Strokes[p.curves[i][0]][p.curves[i][1]].Bounds())
		})
	}
	box = box.Grow((p.farthest + mostToHoles) * max(p.grid.Across, p.grid.Along))
	p.round++
	on := true
	for y := box.Min.Y; y <= box.Max.Y+p.cells.Side() && on; y += p.cells.Side() {
		p.cells.Along(paths.Point{X: box.Min.X, Y: y}, paths.Point{X: box.Max.X, Y: y}, 0, func(items []int32) {
			p.work -= len(items)
			on = on && p.work > 0
			for _, i := range items {
				if on && p.roundOf[i] != p.round {
					p.roundOf[i] = p.round
					on = g(int(i))
				}
			}
		})
	}
}
