// Package outline finds the edges that are seen of overlapping painted areas.
// [Seen] is all there is to call.
//
// Filled art is areas laid over one another. What a pen draws of them are the
// edges where the colours seen on the two sides differ: not the edge of an area
// within another of its own colour, not an edge that lies under a later area,
// and an edge that two areas share only once.
//
// The method works on the curves themselves. Every boundary is cut where it
// meets another; the places where that happens are the nodes of a graph, and
// what lies between two is an edge. Of an edge all is seen or none, so one place
// on it tells, by the areas that wind round a point just left and just right of
// it. The edges that are seen are joined to trails. No polygon stands for a curve
// anywhere, so a circle that is not cut is the same circle, and one that is cut
// is arcs of it.
//
// Places within [Options].Near of one another are one node, by the transitive
// closure of [weftplot/paths/near.Clusters]: which places those are does not
// depend on the order in which they are found.
//
// The package is not for joining line work, which is [weftplot/paths/join], nor
// for clipping to a rectangle, which is [paths.Within].
//
// What is hidden costs little. The plane is divided into cells by a quadtree (Finkel
// and Bentley 1974), and the fills are laid into it from the top down: a fill that
// covers a cell closes it for all lower ones, whose boundaries are neither cut nor
// judged there. Boundaries that run beside one another, each in a strip of its own, need
// not be parted by cells, nor are they crossed with one another: a cell of many is swept
// across them, and what is seen beside each is kept. A large fill of many turns is not
// walked through for each point: how often it winds round one is counted by runs of its
// parts. A sheer fill under a sheer one of its colour is left out of the cells that
// that one covers. The time is about
// n log n in the number of curves that go in and come out and of places where edges that are
// seen meet; it is bounded by [Options].Work. It is quadratic in the number of boundaries
// that meet in one place, of those that lie along one another without being copies, and of
// sheer fills of as many colours that lie over one another.
package outline

import (
	"errors"

	"weftplot/paths"
)

// Fill is one painted area. Fills are painted in the order of their list.
type Fill struct {
	// Area are the edges that bound it, in mm. One that does not end where it
	// starts is closed by a line.
	Area []paths.Stroke
	// EvenOdd is the rule that tells the inside: areas wound round an odd number
	// of times, instead of those not wound round zero times (SVG 2, Painting,
	// fill-rule).
	EvenOdd bool
	// Colour is what it is painted with; fills of one Colour are seen as one.
	Colour string
	// Sheer lets what lies under it show through.
	Sheer bool
	// Window is where it is seen at all; nil for everywhere.
	Window *Window
	// Undrawn leaves out its edge, and that of its window; it hides what lies under
	// it all the same.
	Undrawn bool
	// Group keeps lines apart: only those of fills with equal Group and Colour
	// are chained to one stroke.
	Group string
}

// View is what is seen of one fill.
type View struct {
	// Lines are the parts of its edge, and of the edge of its window, at which the
	// colours on the two sides differ.
	Lines []paths.Stroke
	// Hidden says that no part of its edge is seen: its Lines are empty not because
	// another fill, whose edge lies along its own, has them.
	Hidden bool
}

// Options set how exact and how patient to be. The zero value works.
type Options struct {
	// Near is the distance in mm within which points are the same and edges run
	// along one another; 0 means 0.000001.
	Near float64
	// Work bounds the looks at curves; 0 means 20,000,000.
	Work int
	// Spent, unless nil, is increased by the looks that were taken.
	Spent *int
	// Progress, unless nil, is told now and then what share of the work is done, from 0
	// to 1 and never less than before.
	Progress func(share float64)
}

// ErrIntricate says that the fills take more work than the options allow.
var ErrIntricate = errors.New("the fills are too many or too intricate")

// Seen returns what is seen of each fill. A stroke of the result belongs to the
// fill its first curve came from. An edge that several fills share is that of the
// last.
//
// Of gaps and slivers narrower than a few Near the edges may be drawn twice or
// left open.
//
// The error is [ErrIntricate]; the result is then nil.
func Seen(fills []Fill, opt Options) ([]View, error) {
	if !(opt.Near > 0) {
		opt.Near = 1e-6
	}
	if opt.Work <= 0 {
		opt.Work = 20_000_000
	}
	p := newPlane(fills, opt)
	if opt.Spent != nil {
		defer func() { *opt.Spent += opt.Work - p.budget }()
	}
	p.gather()
	for _, step := range []func(){p.plant, p.lay, p.cutAll, p.judge} {
		if step(); p.budget < 0 {
			return nil, ErrIntricate
		}
	}
	views := p.views()
	p.tell(1, 1, 1)
	return views, nil
}

// What share of the time is past when all fills are laid, when the boundaries are cut, and
// when the edges are judged: about as measured on sheets of thousands of fills.
const (
	laid   = 0.45
	cutUp  = 0.7
	judged = 0.95
)

// tell says that of a step, which takes from one share of the time to another, some of all
// is done.
func (p *plane) tell(from, to float64, share float64) {
	if p.progress != nil {
		p.progress(from + (to-from)*share)
	}
}

func newPlane(fills []Fill, opt Options) *plane {
	return &plane{fills: fills, tol: opt.Near, budget: opt.Work, progress: opt.Progress, crowded: crowded, regions: map[*Region]int{}, windows: map[windowKey]*window{}, areaOf: map[areaKey][]int{}, original: map[int]int{}}
}

// closed returns s with a line back to its start, where it does not end there.
func closed(s paths.Stroke) paths.Stroke {
	if a, b := s.End(), s.Start(); a != b {
		return append(s[:len(s):len(s)], paths.Line{A: a, B: b})
	}
	return s
}

// plane holds one call of Seen.
type plane struct {
	fills      []Fill
	tol        float64
	budget     int // work that may still be done
	progress   func(share float64)
	boundaries []boundary
	parts      []part
	cells      []cell  // the first is the whole plane
	crowded    int     // how many parts a cell holds before it is quartered
	scratch    []piece // those of the cells on the way down
	carriers   []int32 // by part: the number of the line or circle that it lies on
	counted    []int   // by carrier: the count in which it came last
	counts     int
	areaOf     map[areaKey][]int // the fills that hide all lower ones in their areas
	original   map[int]int       // by fill: the higher one that it is a copy of
	places     []place           // where boundaries meet
	nodes      []paths.Point     // the same, each once
	edges      []edge

	shown   []bool   // by fill: some of its edge is seen
	winders []winder // the fills, then the regions of windows
	asked   int      // how many points were looked at
	around  []int32  // the fills that may be seen at the point that is looked at
	through []*window
	regions map[*Region]int // their numbers among the winders
	windows map[windowKey]*window
}

// boundary is a closed stroke that bounds a fill or a region of a window.
type boundary struct {
	stroke   paths.Stroke
	winder   int
	drawn    bool // it may be
	from, to int  // its parts
	tree     tree // of its parts
	cuts     []cut
}

// part is a piece of a curve of a boundary that rises or falls all along, in x and
// in y, so that it cannot meet itself.
type part struct {
	c        paths.Curve
	boundary int
	index    int     // of the curve in the stroke
	t0, t1   float64 // where it lies on the curve
	box      paths.Rect
	falls    bool    // one of x and y falls where the other rises
	bend     float64 // a bound of its second derivative, in mm
}

// newPart returns the part c of a curve, where it lies from one parameter to another.
func newPart(c paths.Curve, boundary, index int, from, to float64) part {
	way := c.End().Sub(c.Start())
	return part{c, boundary, index, from, to, c.Bounds(), way.X*way.Y < 0, bendOf(c)}
}

// gather lists the boundaries and their parts.
func (p *plane) gather() {
	p.winders = make([]winder, len(p.fills))
	p.through, p.shown = make([]*window, len(p.fills)), make([]bool, len(p.fills))
	for i, f := range p.fills {
		w := winder{evenOdd: f.EvenOdd, rank: int32(i), from: len(p.boundaries)}
		for _, s := range f.Area {
			p.addBoundary(s, i, !f.Undrawn)
		}
		w.to = len(p.boundaries)
		p.winders[i] = w
	}
	for i, f := range p.fills {
		p.through[i] = p.windowOf(f.Window, !f.Undrawn)
	}
}

func (p *plane) addBoundary(s paths.Stroke, winder int, drawn bool) {
	if len(s) == 0 || s.IsDot() {
		return
	}
	c := boundary{stroke: closed(s), winder: winder, drawn: drawn, from: len(p.parts)}
	for i, curve := range c.stroke {
		rest, from := curve, 0.
		add := func(one paths.Curve, to float64) {
			p.parts = append(p.parts, newPart(one, len(p.boundaries), i, from, to))
			from = to
		}
		for _, t := range paths.Turns(curve) {
			if t-from > 1e-9 && 1-t > 1e-9 {
				var one paths.Curve
				one, rest = rest.Split((t - from) / (1 - from))
				add(one, t)
			}
		}
		add(rest, 1)
	}
	c.to = len(p.parts)
	p.budget -= c.to - c.from
	p.boundaries = append(p.boundaries, c)
}
