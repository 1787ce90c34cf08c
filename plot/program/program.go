// Package program holds what a plotter is to do, in no machine's language: the
// value that plot/gcode and plot/hpgl write and read, that plot/motion times,
// plot/proof draws and device sends.
//
// Positions are in the machine frame: mm, y up, counted from the machine's own
// origin. They are true lengths on the cloth: writers and readers apply the
// machine's calibration. Feeds are mm/s.
//
// Programs are values: no function here changes its argument or fails, and each
// is linear in the number of blocks. The package does not check that a program
// makes sense on a machine; plot/language checks that.
package program

import (
	"math"

	"weftplot/paths"
)

// Kind is what a block does.
type Kind int

// The kinds of blocks.
const (
	// Travel moves with the pen up along Curve, which is a line.
	Travel Kind = iota
	// Draw moves with the pen down along Curve.
	Draw
	// PenUp lifts the pen.
	PenUp
	// PenDown lowers the pen.
	PenDown
	// Pen puts pen number Number in the holder, 0 none.
	Pen
	// Dwell waits Seconds in place.
	Dwell
	// Pause waits for the person at the machine; Text says what for.
	Pause
	// Remark carries Text for a person and does nothing.
	Remark
)

// Down reports whether the pen is down after a block of the kind, where before
// reports whether it was. A change of pen lifts it.
func (k Kind) Down(before bool) bool {
	switch k {
	case PenDown, Draw:
		return true
	case PenUp, Travel, Pen:
		return false
	}
	return before
}

// MostBlocks is how many blocks a program has at most: no more are written, or kept of
// what is read. A stroke takes four and its curves beyond the first, so that there is room
// for 250,000 straight ones.
const MostBlocks = 1 << 20

// Block is one step of a program.
type Block struct {
	Kind Kind
	// Curve is the path of a Travel or Draw.
	Curve paths.Curve
	// Feed is the speed asked for a Draw or Travel in mm/s; 0 leaves it to the
	// machine's own limit.
	Feed float64
	// Spare is how much farther than the program's Tolerance what is written may be
	// from the Curve of a Draw, in mm.
	Spare float64
	// Seconds is the length of a Dwell.
	Seconds float64
	// Number is the pen of a Pen block. Force is its pen force, in the steps of
	// a plotter that has them; 0 leaves it to the machine.
	Number, Force int
	// Text is the words of a Pause or Remark.
	Text string
	// Line is the line of the program text that the block is on, from 1, and
	// End the byte offset just after it; both are 0 before a program is
	// written.
	Line, End int
}

// Note is what a reader reports about a place in a text.
type Note struct {
	Code string // kebab-case
	Line int    // from 1, 0 unknown
	// Words are the words of the text that it is about, cleaned and cut short;
	// "" where the message says everything.
	Words   string
	Message string
	// At is the place it is about, in mm in the machine frame; nil for none.
	At *paths.Point
}

// Program is a whole job for one machine, in order.
type Program struct {
	// Language is "gcode", "hpgl" or "hpgl2".
	Language string
	// Machine names the machine profile the text says it was made for, "" if none.
	Machine string
	// Blocks are the steps. The pen starts up, at the machine's own 0,0.
	Blocks []Block
	// Tolerance is how far a writer may stray from the curves, in mm: by chords
	// where its language has no arcs, by coarser numbers where it has. The
	// rounding of the language's finest step comes on top. 0 means as exact as
	// the language can write.
	Tolerance float64
	// Notes are what a person should check but what does not affect how the
	// program is understood, in order of lines.
	Notes []Note
	// Doubts are what a reader did not wholly understand. Where there is one, the
	// blocks are only what can be shown: a machine may do something else.
	Doubts []Note
	// Beyond are what the text asks for and no machine may be given. The blocks
	// do not show it: a position too large for the language, a height beyond
	// those of the pen, a rapid move with the pen down.
	Beyond []Note
}

// Strokes returns what is drawn: the curves between a pen-down and the next
// pen-up, a stroke each. A pen lowered and lifted in place is a dot.
func (p Program) Strokes() []paths.Stroke {
	n, curves := p.counts()
	if n == 0 {
		return nil
	}
	out := make([]paths.Stroke, 0, n)
	p.eachStroke(make(paths.Stroke, 0, curves), func(s paths.Stroke, _ int) { out = append(out, s) })
	return out
}

// Travels returns the moves with the pen up.
func (p Program) Travels() []paths.Line {
	n := 0
	for _, b := range p.Blocks {
		if b.Kind == Travel {
			n++
		}
	}
	out := make([]paths.Line, 0, n)
	for _, b := range p.Blocks {
		if l, ok := b.Curve.(paths.Line); ok && b.Kind == Travel {
			out = append(out, l)
		}
	}
	return out
}

// Drawn is a stroke and the number of the pen that draws it, 0 where the program
// does not say.
type Drawn struct {
	paths.Stroke
	Pen int
}

// Drawn returns the strokes as [Program.Strokes] does, with their pens.
func (p Program) Drawn() []Drawn {
	n, curves := p.counts()
	if n == 0 {
		return nil
	}
	out := make([]Drawn, 0, n)
	p.eachStroke(make(paths.Stroke, 0, curves), func(s paths.Stroke, pen int) { out = append(out, Drawn{s, pen}) })
	return out
}

// counts returns how many strokes are drawn, dots included, and how many curves.
func (p Program) counts() (strokes, curves int) {
	for _, b := range p.Blocks {
		if b.Kind == Draw {
			curves++
		}
	}
	p.eachStroke(nil, func(paths.Stroke, int) { strokes++ })
	return strokes, curves
}

// eachStroke calls f with each stroke and its pen. The curves are appended to room, of
// which the strokes are parts; without room f gets no stroke for them, but for a dot.
func (p Program) eachStroke(room paths.Stroke, f func(s paths.Stroke, pen int)) {
	var at paths.Point
	first, pen, drawn, down := 0, 0, false, false
	finish := func() {
		if drawn {
			f(room[first:len(room):len(room)], pen)
		} else if down {
			f(paths.Polyline(at), pen)
		}
		first, drawn, down = len(room), false, false
	}
	for _, b := range p.Blocks {
		switch b.Kind {
		case PenDown:
			down = true
		case Draw:
			if room != nil {
				room = append(room, b.Curve)
			}
			at, drawn = b.Curve.End(), true
		case Travel:
			finish()
			at = b.Curve.End()
		case PenUp:
			finish()
		case Pen:
			finish()
			pen = b.Number
		}
	}
	finish()
}

// Totals are sums and extents over a program.
type Totals struct {
	// Strokes counts the strokes, dots included, and Lifts the lifts of the pen.
	Strokes, Lifts int
	// DrawMM and TravelMM are the lengths moved with the pen down and up, mm.
	DrawMM, TravelMM float64
	// Bounds is the extent of what is drawn; empty when nothing is.
	Bounds paths.Rect
	// Reach is the extent of all motion.
	Reach paths.Rect
	// MaxFeed is the greatest feed asked of a Draw in mm/s.
	MaxFeed float64
}

// Total returns the totals of p.
func Total(p Program) Totals {
	t := Totals{Bounds: paths.EmptyRect(), Reach: paths.EmptyRect()}
	p.eachStroke(nil, func(dot paths.Stroke, _ int) { // the extent of others is that of their curves
		t.Strokes++
		t.Bounds = t.Bounds.Union(dot.Bounds())
	})
	down := false
	for _, b := range p.Blocks {
		switch b.Kind {
		case PenDown:
			down = true
		case PenUp:
			if down {
				t.Lifts++
			}
			down = false
		case Draw:
			t.DrawMM += b.Curve.Length()
			t.MaxFeed = math.Max(t.MaxFeed, b.Feed)
			box := b.Curve.Bounds()
			t.Bounds, t.Reach = t.Bounds.Union(box), t.Reach.Union(box)
		case Travel:
			t.TravelMM += b.Curve.Length()
			t.Reach = t.Reach.Union(b.Curve.Bounds())
		}
	}
	return t
}
