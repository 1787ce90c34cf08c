package snap

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/weave"
	"weftplot/paths/weave/holes"
	"weftplot/paths/weave/snap/choice"
	"weftplot/paths/weave/snap/slanting"
)

// find finds the slanting lines and the figures, those of a kind after one another.
func (p *plaiter) find() {
	var rows [][]int
	lines := p.slantLines(p.mayBeMeant)
	strokes := map[[2]int]int{}
	if p.opt.AngleOf != nil {
		lines.Sides(func(from, to, stroke int) {
			strokes[[2]int{from, to}], strokes[[2]int{to, from}] = stroke, stroke
		})
	}
	lines.Rows(func(row []int) {
		if p.meant(row, strokes, lines) {
			rows = append(rows, slices.Clone(row))
		}
	})
	if len(rows) == 0 {
		return
	}
	p.touches, p.touched = p.slantTouches(), map[int]bool{}
	for _, t := range p.touches {
		p.touched[t.vertex] = true
	}
	for n := 0; n != len(rows); {
		n = len(rows)
		rows = p.withoutOthers(rows)
	}
	var slants []slant
	for i, row := range p.partRows(rows) {
		step := p.steps[[2]int{rows[i][0], rows[i][1]}]
		for j := 1; j < len(row); j++ {
			d := p.span(row[j-1], row[j])
			k := slant{from: row[j-1], to: row[j], step: step, row: i}
			x, y := float64(k.step[0]), float64(k.step[1])
			k.size = (d[0]*x + d[1]*y) / (x*x + y*y)
			slants = append(slants, k)
		}
	}
	p.classes(slants)
	p.rows = rows
	p.gather(slants)
}

// mayBeMeant reports whether a stroke lies in a motif that is large enough for a line that is
// meant to go through holes.
func (p *plaiter) mayBeMeant(stroke int) bool {
	const rounding = 1e-3 // channels, and more
	box := p.motifs[p.partOf[stroke]].box
	return max(box.Width()/p.grid.Across, box.Height()/p.grid.Along) >= leastHoles-rounding
}

// span returns the way from a vertex to another as drawn, in channels.
func (p *plaiter) span(a, b int) [2]float64 {
	d := p.grid.PlaceOf(p.Vertices[b].Sub(p.Vertices[a]))
	return [2]float64{d.Across, d.Along}
}

// meant reports whether a slanting line is meant to go through holes, and notes its step.
func (p *plaiter) meant(row []int, strokes map[[2]int]int, lines *slanting.Lines) bool {
	a, b := row[0], row[len(row)-1]
	if a == b || len(row) > 2 && p.innerTouches(row) == nil {
		return false
	}
	angle := p.opt.Angle
	for i := 1; i < len(row) && p.opt.AngleOf != nil; i++ {
		angle = min(angle, p.opt.AngleOf(strokes[[2]int{row[i-1], row[i]}]))
	}
	d := p.span(a, b)
	if max(math.Abs(d[0]), math.Abs(d[1])) < leastHoles || lines.Bends(row[1], a, cornerTurn) || lines.Bends(row[len(row)-2], b, cornerTurn) {
		return false
	}
	p.slanted++
	step, _, ok := holes.Meant(d, angle)
	key := [2]int{row[0], row[1]}
	p.steps[key] = step
	p.surely[key] = ok && p.isNear(step, d, p.Vertices[b].Sub(p.Vertices[a]), angle)
	return ok && angle > 0
}

// isNear reports whether a line lies so near its step, in channels or in mm as a person
// draws on paper, that it hardly is there by chance.
func (p *plaiter) isNear(step [2]int, channels [2]float64, mm paths.Point, angle float64) bool {
	for _, d := range [][2]float64{channels, {mm.X, mm.Y}} {
		if near, _, ok := holes.Meant(d, min(angle, surelyAngle)); ok && near == step {
			return true
		}
	}
	return false
}

// isSurely reports whether a slanting line is surely meant to go through holes, if others
// are too.
func (p *plaiter) isSurely(row []int) bool { return p.surely[[2]int{row[0], row[1]}] }

// countSurely counts the slanting lines that are.
func (p *plaiter) countSurely() (n int) {
	for _, row := range p.rows {
		if p.isSurely(row) {
			n++
		}
	}
	return n
}

// areSurely reports whether such a share of all slanting lines lies near a ratio that it
// is no chance.
func (p *plaiter) areSurely() bool {
	return float64(p.countSurely()) >= surelyShare*float64(p.slanted)
}

// withoutOthers returns the rows less those that end on the middle of slanting lines
// that are not among them: they are to stay on those.
func (p *plaiter) withoutOthers(rows [][]int) [][]int {
	of := rowsBySide(rows)
	bound := map[int]bool{}
	for _, t := range p.touches {
		if _, ok := of[[2]int{t.from, t.to}]; !ok {
			bound[t.vertex] = true
		}
	}
	return slices.DeleteFunc(rows, func(row []int) bool { return bound[row[0]] || bound[row[len(row)-1]] })
}

// rowsBySide returns the row that each side belongs to, in both directions.
func rowsBySide(rows [][]int) map[[2]int]int {
	of := map[[2]int]int{}
	for i, row := range rows {
		for j := 1; j < len(row); j++ {
			of[[2]int{row[j-1], row[j]}], of[[2]int{row[j], row[j-1]}] = i, i
		}
	}
	return of
}

// partRows parts rows where other slanting lines that are meant to go through holes end
// on them or share a vertex with them, as in a net drawn mesh by mesh, and where they pass
// a crossing of lines on the weave. The vertices of a row between are left out.
func (p *plaiter) partRows(rows [][]int) [][]int {
	ends := p.nodes(rows)
	rowOf := rowsBySide(rows)
	found := make([][]nodeOn, len(rows))
	put := func(i, v int) {
		d := p.span(rows[i][0], rows[i][len(rows[i])-1])
		e := p.span(rows[i][0], v)
		found[i] = append(found[i], nodeOn{v, (d[0]*e[0] + d[1]*e[1]) / (d[0]*d[0] + d[1]*d[1])})
	}
	for i, row := range rows {
		for j, v := range row {
			if j == 0 || j == len(row)-1 || ends[v] {
				put(i, v)
			}
		}
	}
	for _, t := range p.touches {
		if i, ok := rowOf[[2]int{t.from, t.to}]; ok && ends[t.vertex] {
			put(i, t.vertex)
		}
	}
	out := make([][]int, len(rows))
	for i, list := range found {
		out[i] = inOrder(list)
	}
	return out
}

// nodes returns the vertices at which rows are parted.
func (p *plaiter) nodes(rows [][]int) map[int]bool {
	ends, passed := map[int]bool{}, map[int]bool{}
	for _, row := range rows {
		ends[row[0]], ends[row[len(row)-1]] = true, true
		for _, v := range row {
			ends[v] = ends[v] || passed[v]
			passed[v] = true
		}
	}
	for v := range p.Vertices {
		if p.on[weave.Across][v] != nil && p.on[weave.Along][v] != nil {
			ends[v] = true
		}
	}
	return ends
}

// nodeOn is a vertex on a row, at a share of its way.
type nodeOn struct {
	v  int
	at float64
}

// inOrder returns the vertices by their places, each once.
func inOrder(list []nodeOn) (out []int) {
	slices.SortStableFunc(list, func(a, b nodeOn) int { return cmp.Compare(a.at, b.at) })
	for _, o := range list {
		if n := len(out); n == 0 || out[n-1] != o.v {
			out = append(out, o.v)
		}
	}
	return out
}

// classes gives slants of one step and size one class.
func (p *plaiter) classes(slants []slant) {
	order := make([]int, len(slants))
	for i := range order {
		order[i] = i
	}
	plain := func(i int) [2]int { return unsigned(slants[i].step) }
	slices.SortStableFunc(order, func(a, b int) int {
		x, y := plain(a), plain(b)
		return cmp.Or(slices.Compare(x[:], y[:]), cmp.Compare(slants[a].size, slants[b].size))
	})
	for i := 0; i < len(order); {
		j, sum := i, 0.
		for ; j < len(order) && plain(order[j]) == plain(order[i]) && (j == i || slants[order[j]].size-slants[order[j-1]].size <= sameLength); j++ {
			sum += slants[order[j]].size
			slants[order[j]].class = len(p.sizes)
		}
		p.sizes = append(p.sizes, sum/float64(j-i))
		i = j
	}
}

func unsigned(step [2]int) [2]int { return [2]int{max(step[0], -step[0]), max(step[1], -step[1])} }

// gather makes figures of slants that share vertices.
func (p *plaiter) gather(slants []slant) {
	sets := near.NewSets(len(p.Vertices))
	for _, k := range slants {
		sets.Join(k.from, k.to)
	}
	number := map[int]int{}
	for _, k := range slants {
		root := sets.Find(k.from)
		n, ok := number[root]
		if !ok {
			n = len(p.figures)
			number[root] = n
			p.figures = append(p.figures, &figure{index: map[int]int{}, image: [2]int{-1, -1}})
		}
		f := p.figures[n]
		f.slants = append(f.slants, k)
		for _, v := range []int{k.from, k.to} {
			if _, ok := f.index[v]; !ok {
				f.index[v] = len(f.corners)
				f.corners = append(f.corners, v)
			}
		}
	}
	p.limitMoves()
	for _, f := range p.figures {
		var classes []int
		for _, k := range f.slants {
			classes = append(classes, k.class)
		}
		slices.Sort(classes)
		f.kind = fmt.Sprint(classes)
	}
	slices.SortStableFunc(p.figures, func(a, b *figure) int {
		return cmp.Or(cmp.Compare(len(b.slants), len(a.slants)), cmp.Compare(a.kind, b.kind))
	})
}

// limitMoves says how far figures may move. Those that nothing holds and nothing else hangs
// on, at whose corners only slanting lines end that are meant to go through holes, may
// move far, and those that are surely meant as far as the counts of the cloth ask.
func (p *plaiter) limitMoves() {
	ends, all := map[int]int{}, map[int]int{} // by vertex, of those and of all curves
	for _, row := range p.rows {
		for j := 1; j < len(row); j++ {
			ends[row[j-1]]++
			ends[row[j]]++
		}
	}
	for i, st := range p.Strokes {
		for j := range st {
			e := p.Ends(i, j)
			all[e[0]]++
			all[e[1]]++
		}
	}
	surely := p.areSurely()
	for _, f := range p.figures {
		free := !slices.ContainsFunc(f.corners, func(v int) bool {
			return all[v] != ends[v] || p.on[0][v] != nil || p.on[1][v] != nil
		})
		if f.most = mostToHoles; free {
			f.most = mostFree
		}
		if surely && p.figureSurely(f) {
			f.most = max(f.most, min(choice.MostMoved, mostOfSize*p.sizeOf(f)))
		}
		p.farthest = max(p.farthest, f.most)
	}
}

// figureSurely reports whether all lines of a figure are surely meant to go through holes.
func (p *plaiter) figureSurely(f *figure) bool {
	return !slices.ContainsFunc(f.slants, func(k slant) bool { return !p.isSurely(p.rows[k.row]) })
}

// sizeOf returns the greater of a figure's width and height as drawn, in channels.
func (p *plaiter) sizeOf(f *figure) float64 {
	box := paths.EmptyRect()
	for _, v := range f.corners {
		box = box.Union(paths.RectOf(p.Vertices[v]))
	}
	return max(box.Width()/p.grid.Across, box.Height()/p.grid.Along)
}
