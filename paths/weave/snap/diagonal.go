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
)

// Diagonal tells of a slanting line that goes through holes: its ends lie where channels
// cross, and it leads over Ratio channels, across and along, from hole to hole.
type Diagonal struct {
	Ratio    [2]int // without signs
	From, To [2]int // channels across and along
	// Moved is how far, in mm, an end moved at most.
	Moved float64
}

// The bounds of what is meant to go through holes, in channels.
const (
	leastHoles  = 4    // a slanting line is at least so long one way
	mostToHoles = 1.25 // an end moves no farther each way, unless its figure is free, and then ...
	mostFree    = 4    // ... no farther than this
	sameLength  = 0.05 // sizes so near each other, by steps, are one
)

// holeWork bounds the looks at curves near others; one at two curves that lie in one
// cell counts as many as flatLooks for each of their points.
const (
	holeWork  = 16_000_000
	flatLooks = 4
)

// slant is a part of a slanting line between two nodes, both corners of its figure.
type slant struct {
	from, to int // vertices
	step     [2]int
	size     float64 // in steps, as drawn
	class    int     // by size, of all slants
	row      int     // of which slanting line
}

// figure is what hangs together by slants.
type figure struct {
	slants  []slant
	corners []int // vertices
	index   map[int]int
	kind    string // the same of figures that are alike
	free    bool   // nothing holds it, and nothing else hangs on it
	image   [2]int // by axis, the figure that is its mirror image, -1 for none
	at      [][2]int
}

// putDiagonals puts the slanting lines that are meant to go through holes on crossings,
// figure by figure, those that are alike with the same counts. A figure that has no
// place near by, or would come upon something else there, is left and told.
func (s *snapper) putDiagonals() {
	s.crossing = map[int]bool{}
	if !s.opt.Diagonals || s.pause.now() {
		return
	}
	p := &plaiter{snapper: s, work: holeWork, steps: map[[2]int][2]int{}}
	rows := p.find()
	if len(p.figures) == 0 {
		return
	}
	p.settleBest(p.mirror())
	s.keepTouching()
	p.tell(rows)
}

// settleBest puts all figures on crossings, the design's middle in one of the channels,
// or midways, given for each axis: where the most are put there, and of those where they
// move least. Where none are, nothing moves.
func (p *plaiter) settleBest(middles [2][]int) {
	start := slices.Clone(p.moved)
	most, least := 0, 0.
	best := [2]*int{}
	twice := p.twice
	for _, across := range choices(middles[0], twice[0]) {
		for _, along := range choices(middles[1], twice[1]) {
			p.twice = [2]*int{across, along}
			p.shift(middles)
			if n, cost := p.settleAll(); n > most || n == most && n > 0 && cost < least-1e-6 {
				most, least, best = n, cost, p.twice
			}
			copy(p.moved, start)
			p.shifted = paths.Point{}
		}
	}
	if most == 0 || p.pause.now() {
		for _, f := range p.figures {
			f.at = nil
		}
		return
	}
	p.twice = best
	p.shift(middles)
	p.settleAll()
	for _, f := range p.figures {
		for _, v := range f.corners {
			p.crossing[v] = p.crossing[v] || f.at != nil
		}
	}
}

// choices returns the middles to try, as they may be kept.
func choices(middles []int, fixed *int) []*int {
	if len(middles) == 0 {
		return []*int{fixed}
	}
	var out []*int
	for i := range middles {
		out = append(out, &middles[i])
	}
	return out
}

// settleAll puts figures on crossings, kind by kind, and returns how many slants are,
// and what it costs.
func (p *plaiter) settleAll() (slants int, cost float64) {
	for from := 0; from < len(p.figures); {
		to := from + 1
		for to < len(p.figures) && p.figures[to].kind == p.figures[from].kind {
			to++
		}
		if p.pause.now() {
			return 0, 0
		}
		cost += p.settle(p.figures[from:to])
		from = to
	}
	for _, f := range p.figures {
		if f.at != nil {
			slants += len(f.slants)
		}
	}
	return slants, cost + p.shifted.Dot(p.shifted)/(p.grid.Across*p.grid.Along)
}

// plaiter puts figures on crossings.
type plaiter struct {
	*snapper
	figures []*figure
	sizes   []float64 // by class
	twice   [2]*int   // by axis, twice the channel of the mirror
	curves  [][2]int
	flats   []flat // by curve
	cells   *near.Cells
	touches []touch
	touched map[int]bool      // vertices on the middle of a slanting line
	steps   map[[2]int][2]int // by the first two vertices of a row that is meant
	work    int
}

// find finds the figures, those of a kind after one another, and returns the slanting
// lines, as rows of vertices.
func (p *plaiter) find() (rows [][]int) {
	sides, at := p.slantSides()
	all := p.slantRows(sides, at)
	strokes := map[[2]int]int{}
	for _, k := range sides {
		strokes[[2]int{k.from, k.to}], strokes[[2]int{k.to, k.from}] = k.stroke, k.stroke
	}
	for _, row := range all {
		if p.meant(row, strokes, sides, at) {
			rows = append(rows, row)
		}
	}
	if len(rows) == 0 {
		return nil
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
	p.gather(slants)
	return rows
}

// span returns the way from a vertex to another as drawn, in channels.
func (p *plaiter) span(a, b int) [2]float64 {
	d := p.grid.PlaceOf(p.vertices.at[b].Sub(p.vertices.at[a]))
	return [2]float64{d.Across, d.Along}
}

// meant reports whether a slanting line is meant to go through holes, and notes its step.
func (p *plaiter) meant(row []int, strokes map[[2]int]int, sides []side, at map[int][]int) bool {
	a, b := row[0], row[len(row)-1]
	if a == b || len(row) > 2 && p.innerTouches(row) == nil {
		return false
	}
	angle := p.opt.Angle
	for i := 1; i < len(row) && p.opt.AngleOf != nil; i++ {
		angle = min(angle, p.opt.AngleOf(strokes[[2]int{row[i-1], row[i]}]))
	}
	d := p.span(a, b)
	if max(math.Abs(d[0]), math.Abs(d[1])) < leastHoles || p.bends(row[1], a, sides, at) || p.bends(row[len(row)-2], b, sides, at) {
		return false
	}
	step, _, ok := holes.Meant(d, angle)
	p.steps[[2]int{row[0], row[1]}] = step
	return ok && angle > 0
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

// bends reports whether a line to v goes on there as a part of a curve.
func (p *plaiter) bends(from, v int, sides []side, at map[int][]int) bool {
	heading := p.vertices.at[v].Sub(p.vertices.at[from])
	return slices.ContainsFunc(at[v], func(j int) bool {
		w := sides[j].from + sides[j].to - v
		return w != from && math.Abs(turnOf(heading, p.vertices.at[w].Sub(p.vertices.at[v]))) <= cornerTurn
	})
}

// partRows parts rows where other slanting lines that are meant to go through holes end
// on them, and where they pass a crossing of lines on the weave. The vertices of a row
// between are left out.
func (p *plaiter) partRows(rows [][]int) [][]int {
	ends := map[int]bool{}
	for _, row := range rows {
		ends[row[0]], ends[row[len(row)-1]] = true, true
	}
	for v := range p.vertices.at {
		if p.on[weave.Across][v] != nil && p.on[weave.Along][v] != nil {
			ends[v] = true
		}
	}
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
	sets := near.NewSets(len(p.vertices.at))
	ends := map[int]int{} // by vertex, how many ends of slants it is
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
			ends[v]++
			if _, ok := f.index[v]; !ok {
				f.index[v] = len(f.corners)
				f.corners = append(f.corners, v)
			}
		}
	}
	all := map[int]int{}
	for i := range p.strokes {
		for _, e := range p.ends[i] {
			all[e[0]]++
			all[e[1]]++
		}
	}
	for _, f := range p.figures {
		f.free = true
		var classes []int
		for _, k := range f.slants {
			classes = append(classes, k.class)
		}
		for _, v := range f.corners {
			f.free = f.free && all[v] == ends[v] && p.on[0][v] == nil && p.on[1][v] == nil
		}
		slices.Sort(classes)
		f.kind = fmt.Sprint(classes)
	}
	slices.SortStableFunc(p.figures, func(a, b *figure) int {
		return cmp.Or(cmp.Compare(len(b.slants), len(a.slants)), cmp.Compare(a.kind, b.kind))
	})
}

// mirror finds the figures that are mirror images of each other, in a design that is its
// own. Without lines on the weave of an axis the design's middle is its mirror; it
// returns where that may go then: twice the channel.
func (p *plaiter) mirror() (middles [2][]int) {
	of := map[int]int{}
	corners := []int{}
	for i, f := range p.figures {
		for _, v := range f.corners {
			of[v] = i
			corners = append(corners, v)
		}
	}
	for axis, m := range p.mirrors {
		a := weave.Axis(axis)
		pitch := p.grid.Pitch(a)
		switch {
		case m != nil:
			if p.pairUp(a, m.before, corners, of) {
				twice := int(math.Round(2 * m.after / pitch))
				p.twice[axis] = &twice
			}
		case len(p.straights[axis]) == 0:
			middle := p.before(axis)
			if !p.boxesMirror(a, middle) || !p.pairUp(a, middle, corners, of) {
				continue
			}
			at := 2 * middle / pitch
			low := int(math.Floor(at + 2*mirrorSlack))
			for _, twice := range []int{low, low + 1} {
				if p.staysInRoom(a, (float64(twice)-at)/2*pitch) {
					middles[axis] = append(middles[axis], twice)
				}
			}
			if len(middles[axis]) == 0 {
				for _, f := range p.figures {
					f.image[axis] = -1
				}
			}
		}
	}
	return middles
}

// staysInRoom reports whether all that is drawn inside the room is when moved across an
// axis.
func (p *plaiter) staysInRoom(axis weave.Axis, by float64) bool {
	room := p.opt.Room.span(axis)
	if room == nil {
		return true
	}
	pitch := p.grid.Pitch(axis)
	slack := 2 * mirrorSlack * pitch
	lo, _ := axis.Split(p.bounds.Min)
	hi, _ := axis.Split(p.bounds.Max)
	return math.Abs(by) <= slack || lo+by >= float64(room.lo)*pitch-joint && hi+by <= float64(room.hi)*pitch+joint
}

// shift moves all of the design so that its middle lies where it is to go.
func (p *plaiter) shift(middles [2][]int) {
	for axis, twice := range p.twice {
		if len(middles[axis]) == 0 {
			continue
		}
		a := weave.Axis(axis)
		p.shifted = p.shifted.Add(a.Point(float64(*twice)/2*p.grid.Pitch(a)-p.before(axis), 0))
	}
	for v := range p.moved {
		p.moved[v] = p.moved[v].Add(p.shifted)
	}
}

// pairUp finds the image of every figure about a line of an axis, and reports whether
// each has one.
func (p *plaiter) pairUp(axis weave.Axis, middle float64, corners []int, of map[int]int) bool {
	cell := 4 * mirrorSlack * p.grid.Pitch(axis)
	key := func(q paths.Point) [2]int { return [2]int{int(math.Floor(q.X / cell)), int(math.Floor(q.Y / cell))} }
	at := map[[2]int][]int{}
	for _, v := range corners {
		at[key(p.vertices.at[v])] = append(at[key(p.vertices.at[v])], v)
	}
	image := func(v int) int {
		fixed, along := axis.Split(p.vertices.at[v])
		q := axis.Point(2*middle-fixed, along)
		c := key(q)
		for dx := -1; dx <= 1; dx++ {
			for dy := -1; dy <= 1; dy++ {
				for _, w := range at[[2]int{c[0] + dx, c[1] + dy}] {
					if p.vertices.at[w].Dist(q) <= 2*mirrorSlack*p.grid.Pitch(axis) {
						return w
					}
				}
			}
		}
		return -1
	}
	images := make([]int, len(p.figures))
	for i, f := range p.figures {
		images[i] = -1
		for _, v := range f.corners {
			w := image(v)
			if w < 0 || images[i] >= 0 && of[w] != images[i] {
				return false
			}
			images[i] = of[w]
		}
	}
	for i, f := range p.figures {
		f.image[axis] = images[i]
	}
	return true
}

// settle puts figures of one kind on crossings: with the counts that most of them have
// a place with, and of those the ones that move least. It returns what it costs.
func (p *plaiter) settle(of []*figure) (cost float64) {
	classes, sizes := map[int]int{}, []float64{}
	for _, k := range of[0].slants {
		if _, ok := classes[k.class]; !ok {
			classes[k.class] = len(sizes)
			sizes = append(sizes, p.sizes[k.class])
		}
	}
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

// images returns a figure and its mirror images, itself first.
func (p *plaiter) images(f *figure) []*figure {
	out := []*figure{f}
	for i := 0; i < len(out); i++ {
		for axis := range p.twice {
			if n := out[i].image[axis]; n >= 0 && !slices.Contains(out, p.figures[n]) && p.figures[n].kind == f.kind {
				out = append(out, p.figures[n])
			}
		}
	}
	return out
}

// placeAll returns where a figure and its mirror images lie.
func (p *plaiter) placeAll(group []*figure, f *figure, classes map[int]int, counts []int) (ats [][][2]int, cost float64, ok bool) {
	h := p.holesOf(f, classes)
	at, cost, ok := h.Place(counts)
	if !ok {
		return nil, 0, false
	}
	most := mostToHoles
	if f.free {
		most = mostFree
	}
	if h.Farthest(at) > most {
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
	for _, k := range f.slants {
		h.Lines = append(h.Lines, holes.Line{From: f.index[k.from], To: f.index[k.to], Step: k.step, Size: classes[k.class]})
	}
	both := f.image[0] >= 0 && f.image[0] == f.image[1] // turned by half it is itself
	for axis, n := range f.image {
		if n >= 0 && (p.figures[n] == f || both) {
			h.Twice[axis] = p.twice[axis]
		}
	}
	return h
}

// reflected returns where the image of a figure lies.
func (p *plaiter) reflected(f *figure, at [][2]int, image *figure, axis int) ([][2]int, bool) {
	a := weave.Axis(axis)
	middle := p.before(axis)
	out := make([][2]int, len(image.corners))
	for j, w := range image.corners {
		fixed, along := a.Split(p.vertices.at[w])
		q := a.Point(2*middle-fixed, along)
		i := slices.IndexFunc(f.corners, func(v int) bool {
			return p.vertices.at[v].Dist(q) <= 4*mirrorSlack*p.grid.Pitch(a)
		})
		if i < 0 {
			return nil, false
		}
		out[j] = at[i]
		out[j][axis] = *p.twice[axis] - at[i][axis]
	}
	return out, true
}

// before returns the middle of the design as drawn, mm.
func (p *plaiter) before(axis int) float64 {
	if m := p.mirrors[axis]; m != nil {
		return m.before
	}
	middle, _ := weave.Axis(axis).Split(p.bounds.Centre())
	return middle
}

// put moves the corners of a figure.
func (p *plaiter) put(f *figure, at [][2]int) {
	for i, v := range f.corners {
		p.moved[v] = p.grid.At(weave.Place{Across: float64(at[i][0]), Along: float64(at[i][1])})
	}
}

// fits reports whether a figure keeps to the room, and whether all that is round it lies
// to it as it did: what it crossed it crosses, and nothing else.
func (p *plaiter) fits(f *figure) bool {
	was, is := paths.EmptyRect(), paths.EmptyRect()
	for _, v := range f.corners {
		was, is = was.Union(paths.RectOf(p.vertices.at[v])), is.Union(paths.RectOf(p.moved[v]))
	}
	if p.opt.Room != nil {
		room := p.opt.Room.rect(p.grid).Grow(joint)
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
	a, b := p.vertices.at[k.from], p.vertices.at[k.to]
	a2, b2 := p.moved[k.from], p.moved[k.to]
	ok := true
	p.around(paths.RectOf(a, b, a2, b2), func(i int) bool {
		s, j := p.curves[i][0], p.curves[i][1]
		e := p.ends[s][j]
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
	ends := [2]paths.Point{p.moved[p.ends[s][j][0]], p.moved[p.ends[s][j][1]]}
	w := &p.flats[i]
	if w.before == nil {
		w.before = paths.Stroke{p.strokes[s][j]}.Flatten(shapeFlat)
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
	return p.touched[v] || p.taken[stroke][curve] && (p.on[0][v] != nil || p.on[1][v] != nil)
}

// meets reports whether a polyline and a segment have a point in common.
func meets(pts []paths.Point, a, b paths.Point) bool {
	for i := 1; i < len(pts); i++ {
		if segmentsMeet(pts[i-1], pts[i], a, b) {
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
		for i, k := range p.strokes {
			for j := range k {
				p.curves = append(p.curves, [2]int{i, j})
				all = all.Union(k[j].Bounds())
			}
		}
		p.flats = make([]flat, len(p.curves))
		p.cells = near.NewCells(all, rowChannels*p.grid.Across, len(p.curves), func(i int, put func(paths.Rect)) {
			put(p.strokes[p.curves[i][0]][p.curves[i][1]].Bounds())
		})
	}
	box = box.Grow((mostFree + mostToHoles) * max(p.grid.Across, p.grid.Along))
	seen := map[int32]bool{}
	on := true
	for y := box.Min.Y; y <= box.Max.Y+p.cells.Side() && on; y += p.cells.Side() {
		p.cells.Along(paths.Point{X: box.Min.X, Y: y}, paths.Point{X: box.Max.X, Y: y}, 0, func(items []int32) {
			p.work -= len(items)
			on = on && p.work > 0
			for _, i := range items {
				if on && !seen[i] {
					seen[i] = true
					on = g(int(i))
				}
			}
		})
	}
}

// tell reports the slanting lines that go through holes, and warns of those that do not.
func (p *plaiter) tell(rows [][]int) {
	at := map[int][2]int{}
	left := map[int]bool{}
	steps := map[int][2]int{}
	for _, f := range p.figures {
		for i, v := range f.corners {
			if f.at != nil {
				at[v] = f.at[i]
			}
		}
		for _, k := range f.slants {
			left[k.row] = left[k.row] || f.at == nil
			steps[k.row] = unsigned(k.step)
		}
	}
	n, first := 0, -1
	for i, row := range rows {
		a, b := row[0], row[len(row)-1]
		if left[i] {
			if n++; first < 0 {
				first = i
			}
			continue
		}
		moved := max(p.moved[a].Dist(p.vertices.at[a]), p.moved[b].Dist(p.vertices.at[b]))
		p.diagonals = append(p.diagonals, Diagonal{steps[i], at[a], at[b], moved})
	}
	if n == 0 {
		return
	}
	row, step := rows[first], steps[first]
	d := p.span(row[0], row[len(row)-1])
	p.warn("diagonals-left", p.moved[row[0]].Lerp(p.moved[row[len(row)-1]], 0.5),
		"%d of %d slanting lines that seem meant to go through holes do not end on crossings of channels: the lines they end on, what is round them or their own sizes leave no place near by. The first is meant at %d over %d and goes over %.1f by %.1f channels; [diagonals] off says nothing of them",
		n, len(rows), step[0], step[1], math.Abs(d[0]), math.Abs(d[1]))
}
