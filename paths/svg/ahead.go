package svg

import (
	"math"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"

	"weftplot/paths"
	"weftplot/paths/svg/css"
	"weftplot/paths/svg/lex"
	"weftplot/paths/svg/shape"
)

// While one goroutine reads the tokens of a large file, others draw the shapes that it
// has read so far, as they will look unless a style or a copy by use says otherwise. The
// walk takes what was drawn so where it is what it would draw itself, with the same
// counts against the bounds, and else draws the shape itself. So what is read is the same
// for any number of cores.

// sketch is a shape that was drawn ahead.
type sketch struct {
	m            *paths.Affine // that it was drawn under, shared with others
	strokes      []paths.Stroke
	lost, pieces int32 // see [shape.Pen]; how many were taken from the budget
	problem      error // see [node.outline]
}

const (
	// batchSize is how many bytes of shapes are drawn by one goroutine at a time, with
	// shapeSize for each beside its attributes. Smaller files are not drawn ahead.
	batchSize = 1 << 16
	shapeSize = 64
	// largestSketch is how many bytes the attributes of a shape may have to be drawn ahead,
	// so that what goes beyond the bound on all pieces of line stays small.
	largestSketch = 1 << 18
)

// sketcher draws shapes ahead.
type sketcher struct {
	page      paths.Affine // from the root's user units to page mm
	root      *node
	tolerance float64
	batchSize int          // see [batchSize]
	left      atomic.Int64 // pieces of line that may still be drawn ahead
	drawn     atomic.Int64 // shapes that were

	batch   []*node // the next
	size    int     // bytes in it
	batches chan []*node
	workers sync.WaitGroup
}

// newSketcher returns what draws the shapes of a file ahead whose root was read; nil
// where there is nobody to do it, or no page to draw on.
func (r *reader) newSketcher() *sketcher {
	if runtime.GOMAXPROCS(0) < 2 {
		return nil
	}
	root := *r.root // its style is worked out when the style sheets are known
	apart := &reader{name: r.name, opt: r.opt, root: &root}
	apart.css = css.NewCascade(apart)
	pg, bad := apart.page()
	if bad != nil {
		return nil
	}
	s := &sketcher{page: pg.m, root: r.root, tolerance: r.opt.Tolerance, batchSize: r.batchSize}
	s.left.Store(int64(r.opt.MaxCurves))
	return s
}

// add hands over an element, which is not changed any more but for what is in it.
func (s *sketcher) add(n *node) {
	if s == nil || !shapeNames[n.name] || n.size > largestSketch {
		return
	}
	s.batch = append(s.batch, n)
	if s.size += n.size + shapeSize; s.size < s.batchSize {
		return
	}
	full := s.batch
	s.batch, s.size = make([]*node, 0, len(full)+len(full)/4), 0
	if s.batches == nil {
		s.start()
	}
	select {
	case s.batches <- full:
	default: // the others have enough to do
		s.draw(full)
	}
}

// start starts the other goroutines.
func (s *sketcher) start() {
	others := runtime.GOMAXPROCS(0) - 1
	s.batches = make(chan []*node, 4*others)
	for range others {
		s.workers.Go(func() {
			for batch := range s.batches {
				s.draw(batch)
			}
		})
	}
}

// finish draws what is left, and returns when all is drawn, with how many shapes were.
func (s *sketcher) finish() int {
	if s == nil || s.batches == nil {
		return 0
	}
	close(s.batches)
	for batch := range s.batches {
		s.draw(batch)
	}
	s.draw(s.batch)
	s.workers.Wait()
	return int(s.drawn.Load())
}

// draw draws the shapes of a batch as far as the bounds allow.
func (s *sketcher) draw(batch []*node) {
	f := frames{s.root: {m: s.page, ok: true}}
	budget := 0
	p := shape.Pen{Tolerance: s.tolerance, Budget: &budget}
	for _, n := range batch {
		left := int(s.left.Load())
		around := f.inside(n.parent)
		if left <= 0 || !around.ok || n.isHidden() || n.isRelative() {
			continue
		}
		m, plain := n.ownTransform()
		if !plain {
			continue
		}
		budget = left
		p.Next(m.Then(around.m))
		problem := n.outline(&p, view{})
		s.left.Add(int64(budget - left))
		if p.Spent() {
			continue
		}
		s.drawn.Add(1)
		under := &around.m
		if !sameBits(p.Map, *under) {
			own := p.Map
			under = &own
		}
		n.ahead = &sketch{under, p.Strokes, int32(p.Lost), int32(left - budget), problem}
	}
}

// frames are the maps from within elements to the page, as far as their attributes
// tell; ok is false where what is within is not drawn, or somewhere else.
type frames map[*node]*frame

type frame struct {
	m  paths.Affine
	ok bool
}

// inside returns the frame within n.
func (f frames) inside(n *node) *frame {
	in, known := f[n]
	if known {
		return in
	}
	in = new(frame)
	if n.name == "g" || n.name == "a" || n.name == "switch" {
		around := f.inside(n.parent)
		m, plain := n.ownTransform()
		in.m, in.ok = m.Then(around.m), around.ok && plain && !n.isHidden()
	}
	f[n] = in
	return in
}

// ownTransform returns the map that the attributes of n give it; plain is false where
// they do not suffice.
func (n *node) ownTransform() (m paths.Affine, plain bool) {
	text, given := n.lookup("transform")
	if _, turned := n.lookup("transform-origin"); turned {
		return m, false
	}
	if !given || text == "none" {
		return paths.Identity(), true
	}
	m, _ = shape.ParseTransform(text) // what is wrong with it is noted by the walk
	return m, true
}

// isHidden reports whether the attributes of n hide it.
func (n *node) isHidden() bool {
	return n.attr("display") == "none" || strings.Contains(n.attr("style"), "display:none")
}

// geometryOf are the properties that say where a shape is.
var geometryOf = map[string][]string{
	"path": {"d"}, "line": {"x1", "y1", "x2", "y2"}, "rect": {"x", "y", "width", "height", "rx", "ry"},
	"circle": {"cx", "cy", "r"}, "ellipse": {"cx", "cy", "rx", "ry"},
}

// isRelative reports whether an attribute with a length of n depends on a viewport or a
// font.
func (n *node) isRelative() bool {
	if n.name == "path" {
		return false
	}
	for _, name := range geometryOf[n.name] {
		text := n.attr(name)
		if text == "" || lex.IsDigit(text[len(text)-1]) {
			continue
		}
		if l, _ := css.ParseLength(text); l.IsRelative() {
			return true
		}
	}
	return false
}

// isMoved reports whether a style says where a shape is.
func (n *node) isMoved() bool {
	for _, name := range geometryOf[n.name] {
		if _, ok := n.state.Property(name); ok {
			return true
		}
	}
	return false
}

// outline draws the geometry of n with p, or takes what was drawn ahead. What is taken
// is not kept: its strokes are changed where they lie when the design is placed.
func (r *reader) outline(n *node, p *shape.Pen, v view) error {
	s := n.ahead
	n.ahead = nil
	if s == nil || int(s.pieces) > r.left || !sameBits(*s.m, p.Map) || n.isMoved() {
		return n.outline(p, v)
	}
	r.sketched++
	r.left -= int(s.pieces)
	p.Strokes, p.Lost = s.strokes, int(s.lost)
	return s.problem
}

// sameBits reports whether two maps give the same image to the last bit; one with -0
// in place of 0 may not.
func sameBits(a, b paths.Affine) bool {
	u, v := [6]float64{a.A, a.B, a.C, a.D, a.E, a.F}, [6]float64{b.A, b.B, b.C, b.D, b.E, b.F}
	for i := range u {
		if math.Float64bits(u[i]) != math.Float64bits(v[i]) {
			return false
		}
	}
	return true
}
