package snap

import (
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/weave"
)

// Diagonal tells of a slanting line that goes through holes: its ends lie where channels
// cross, and it leads over Ratio channels, across and along, from hole to hole.
type Diagonal struct {
	Ratio    [2]int // without signs
	From, To [2]int // channels across and along
	// Moved is how far, in mm, an end moved at most.
	Moved float64
}

// Slant is a length at which slanting lines surely are meant to go through holes, between
// the ends of others on them.
type Slant struct {
	Size   float64 // in steps of the ratio, as drawn; a whole number goes from hole to hole
	Places int
}

// The bounds of what is meant to go through holes, in channels.
const (
	leastHoles  = 4       // a slanting line is at least so long one way
	mostToHoles = 1.25    // an end moves no farther each way, unless its figure is free, and then ...
	mostFree    = 4       // ... no farther than this
	mostOfSize  = 1. / 12 // ... or than so much of its size, up to choice.MostMoved, if it is surely meant, since counts such as 12 x 13 differ so
	sameLength  = 0.05    // sizes so near each other, by steps, are one
	surelyAngle = 0.5     // degrees from a ratio within which a line is surely meant, if also ...
	surelyShare = 0.5     // ... such a share of the design's slanting lines are
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
	kind    string  // the same of figures that are alike
	most    float64 // by how many channels each way a corner may move
	image   [2]int  // by axis, the figure that is its mirror image, -1 for none
	at      [][2]int
}

// plaiter puts figures on crossings.
type plaiter struct {
	*snapper
	rows     [][]int // the slanting lines that are meant to go through holes, by their vertices
	figures  []*figure
	sizes    []float64 // by class
	twice    [2]*int   // by axis, twice the channel of the mirror
	curves   [][2]int
	flats    []flat  // by curve
	roundOf  []int32 // by curve: the last round of looking around that met it
	round    int32
	cells    *near.Cells
	touches  []slantTouch
	touched  map[int]bool      // vertices on the middle of a slanting line
	steps    map[[2]int][2]int // by the first two vertices of a row that is meant
	surely   map[[2]int]bool   // by the same, whether it lies so near that it is no chance
	slanted  int               // how many slanting lines there are, meant or not
	farthest float64           // the most that a corner of any figure may move
	work     int
}

// putDiagonals puts the slanting lines that are meant to go through holes on crossings,
// figure by figure, those that are alike with the same counts. A figure that has no
// place near by, or would come upon something else there, is left and told.
func (s *snapper) putDiagonals() {
	s.crossing = map[int]bool{}
	p := s.plaiter
	if p == nil || len(p.figures) == 0 || s.pause.now() {
		return
	}
	p.settleBest(p.mirror())
	s.keepTouching()
	p.tell()
}

// findDiagonals finds the slanting lines that are meant to go through holes.
func (s *snapper) findDiagonals() {
	if !s.opt.Diagonals || s.pause.now() {
		return
	}
	s.plaiter = &plaiter{snapper: s, work: holeWork, steps: map[[2]int][2]int{}, surely: map[[2]int]bool{}}
	s.plaiter.find()
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
			n, cost := p.settleAll()
			if !p.remainInRoom(middles) {
				n = 0
			}
			if n > most || n == most && n > 0 && cost < least-1e-6 {
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

// remainInRoom reports whether the slanting lines that have no place in holes stay in the
// room, as all of the design is moved.
func (p *plaiter) remainInRoom(middles [2][]int) bool {
	if !slices.ContainsFunc(p.figures, func(f *figure) bool { return f.at == nil }) {
		return true
	}
	for axis := range middles {
		by, _ := weave.Axis(axis).Split(p.shifted)
		if len(middles[axis]) > 0 && !p.staysInRoom(p.bounds, weave.Axis(axis), by) {
			return false
		}
	}
	return true
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

// put moves the corners of a figure.
func (p *plaiter) put(f *figure, at [][2]int) {
	for i, v := range f.corners {
		p.moved[v] = p.grid.At(weave.Place{Across: float64(at[i][0]), Along: float64(at[i][1])})
	}
}

// tell reports the slanting lines that go through holes, and warns of those that do not,
// if they are surely meant to.
func (p *plaiter) tell() {
	at := map[int][2]int{}
	left := map[int]bool{}
	steps := map[int][2]int{}
	for _, f := range p.figures {
		for i, v := range f.corners {
			if f.at == nil {
				continue
			}
			at[v] = f.at[i]
			for axis := range p.on {
				if r := p.on[axis][v]; r != nil {
					r.met = true
				}
			}
		}
		for _, k := range f.slants {
			left[k.row] = left[k.row] || f.at == nil
			steps[k.row] = unsigned(k.step)
		}
	}
	n, first := 0, -1
	for i, row := range p.rows {
		a, b := row[0], row[len(row)-1]
		if left[i] {
			if p.isSurely(row) {
				if n++; first < 0 {
					first = i
				}
			}
			continue
		}
		moved := max(p.moved[a].Dist(p.Vertices[a]), p.moved[b].Dist(p.Vertices[b]))
		p.diagonals = append(p.diagonals, Diagonal{steps[i], at[a], at[b], moved})
	}
	if !p.areSurely() {
		return
	}
	p.tellSizes()
	if p.missHoles = n; n == 0 {
		return
	}
	row, step := p.rows[first], steps[first]
	d := p.span(row[0], row[len(row)-1])
	p.warn("diagonals-left", p.moved[row[0]].Lerp(p.moved[row[len(row)-1]], 0.5),
		"%d of %d slanting lines that seem meant to go through holes do not end on crossings of channels: the lines they end on, what is round them or their own sizes leave no place near by. The first is meant at %d over %d and goes over %.1f by %.1f channels; [diagonals] off says nothing of them",
		n, p.countSurely(), step[0], step[1], math.Abs(d[0]), math.Abs(d[1]))
}

// tellSizes notes the lengths of the slanting lines that are surely meant.
func (p *plaiter) tellSizes() {
	places := make([]int, len(p.sizes))
	for _, f := range p.figures {
		for _, k := range f.slants {
			if p.isSurely(p.rows[k.row]) {
				places[k.class]++
			}
		}
	}
	for class, n := range places {
		if n > 0 {
			p.slants = append(p.slants, Slant{p.sizes[class], n})
		}
	}
}
