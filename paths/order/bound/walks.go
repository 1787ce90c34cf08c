package bound

import "math"

// A walker finds a bound for a few strokes by walks: ways from home to park with as many
// visits as there are strokes, where some strokes may be visited twice and others not at
// all. A walk is paid the price of a stroke at each visit, and a tour is a walk that is paid
// each price once: so what the cheapest walk costs, and the sum of the prices, are together
// a bound, whatever the prices are. Those of strokes that the cheapest walk leaves out are
// raised, and those of strokes that it visits twice lowered.
//
// A walk that comes to a stroke minds some of those it has visited, and does not visit
// them again before it has come to a stroke that does not mind them (the ng-routes of Baldacci,
// Mingozzi and Roberti, Operations Research 59, 2011). Where the cheapest walk comes to a
// stroke again, the strokes between mind that stroke from then on (Roberti and Mingozzi,
// Transportation Science 48, 2014). Parts of loops that are visited are parted, and visits
// that no tour as short as that known has are dropped. In the end the cheapest walk is a
// tour, but for the parts of loops, in which it goes from where it enters to where it leaves
// for nothing.
//
// A walk enters and leaves a loop at one place, whether that is near home or near park, which the
// levels of islands do not see.
type walker struct {
	strokes    int
	loops      []*loop // by stroke; nil for all else
	home, park node
	tour       float64 // travel of a tour that is known, mm

	visits []visit   // by stroke
	first  []int     // by stroke: its first visit; and at last the number of visits
	hop    []float64 // by visit from and visit to: the hop between them, mm
	come   []float64 // by visit: the hop from home, mm
	leave  []float64 // by visit: the hop to park, mm

	price  []float64 // by stroke, mm
	minded []uint64  // by stroke: a bit for itself and each stroke that it minds
	pace   float64   // how far prices are moved, of the step that would do if all went well
	work   int       // hops tried so far
}

// Walks are tried for at most mostWalked strokes, and until mostWork hops have been tried:
// for more strokes, trees give the higher bound by then. A bound that is enough of the tour
// is not raised further.
const (
	mostWalked = 16
	mostWork   = 150e6
	enough     = 0.999
)

// The prices are moved firstMoves times to begin with, and laterMoves times after the
// visits have been refined; by less when the bound does not rise in patience moves.
const (
	firstMoves, laterMoves = 40, 12
	patience               = 5
	leastPace, laterPace   = 0.05, 0.25
)

// lower returns a bound in mm. tick is told how much of the work is done, of 1, and returns
// whether to go on.
func (w *walker) lower(tick func(done float64) bool) float64 {
	var best float64
	w.pace = 1
	for moves := firstMoves; ; moves = laterMoves {
		c := w.ascend(moves, tick)
		best = max(best, c.bound)
		if c.stopped || best >= enough*w.tour || w.work >= mostWork || !w.refine(c) {
			break
		}
		w.pace = max(w.pace, laterPace)
	}
	return max(0, min(best, w.tour)-w.rounding())
}

// A climb is what one ascent has found.
type climb struct {
	bound   float64
	walk    []int  // visits of the last walk
	visited []bool // by visit: some walk had it
	stopped bool   // by the person
}

// ascend moves the prices so many times, unless the cheapest walk visits each stroke once or
// costs as much as the tour, and leaves those that gave the highest bound.
func (w *walker) ascend(moves int, tick func(done float64) bool) climb {
	c := climb{bound: math.Inf(-1), visited: make([]bool, len(w.visits))}
	best := make([]float64, w.strokes)
	for since := 0; moves > 0 && w.work < mostWork && w.pace > leastPace; moves-- {
		if c.stopped = !tick(float64(w.work) / mostWork); c.stopped && c.walk != nil {
			break
		}
		var cost float64
		cost, c.walk = w.cheapest(w.layers())
		for _, v := range c.walk {
			c.visited[v] = true
		}
		if since++; cost > c.bound+1e-4*w.tour {
			since = 0
		}
		if cost > c.bound {
			c.bound = cost
			copy(best, w.price)
		}
		if since == patience {
			w.pace, since = w.pace/2, 0
		}
		if cost >= w.tour || !w.move(c.walk, w.tour-cost) {
			break
		}
	}
	copy(w.price, best)
	return c
}

// move moves the prices by how often a walk visits each stroke: by the pace times the step
// that would raise a linear bound by rise (Polyak, USSR Computational Mathematics and
// Mathematical Physics 9, 1969; the reference is from memory). It returns false if the walk
// visits each once.
func (w *walker) move(walk []int, rise float64) bool {
	left := make([]float64, w.strokes)
	for s := range left {
		left[s] = 1
	}
	for _, v := range walk {
		left[w.visits[v].stroke]--
	}
	var square float64
	for _, n := range left {
		square += n * n
	}
	if square == 0 {
		return false
	}
	for s, n := range left {
		w.price[s] += w.pace * rise / square * n
	}
	return true
}

// refine lets strokes mind what the last walk came to again, divides the parts of loops
// that walks visited, and drops visits that no tour needs. It returns false if nothing was
// left to be minded or divided.
func (w *walker) refine(c climb) bool {
	minds := w.mind(c.walk)
	divided := w.divide(c.visited)
	w.drop()
	return minds || divided
}

// rounding returns how much the sums of a bound may be off because they are rounded.
func (w *walker) rounding() float64 {
	size := w.tour
	for _, p := range w.price {
		size += math.Abs(p)
	}
	return 1e-15 * float64(10*w.strokes) * size
}

// slack is by how much of the tour known a walk may be dearer before it is passed over, because
// its cost is rounded.
const slack = 1e-6
