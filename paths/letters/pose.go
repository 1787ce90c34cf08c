package letters

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/weave"
)

// Pose says how a text lies on the weave. Every pose keeps straight lines in
// channels: what lies on the weave is moved by whole channels, turned by quarters and
// mirrored as a whole.
//
// This is how a name or a number is put beside a rug, on each copy in a load:
//
//	text, err := letters.Set(name, letters.Options{
//		Alphabet: counted, Height: rows,
//		Grid: letters.Pose{Quarters: 1}.Grid(g), // of the load, for a name up its side
//		Most: room,                              // channels; the error names the height that fits
//	})
//	strokes := letters.Pose{At: corner, Quarters: 1, Mirrored: job.Mirrored(craft, transfer)}.Strokes(text)
//
// where corner is the crossing, counted from the load's channel 0, that the start of
// the base line goes to. The strokes are in mm of the drawn frame of the load, ready to
// be joined to its layers; [Pose.Box] says which channels they take.
type Pose struct {
	// At is the crossing that the origin of the text goes to; whole numbers.
	At weave.Place
	// Quarters is how many quarter turns counter-clockwise the text is turned, seen
	// from the side that it reads right on.
	Quarters int
	// Mirrored exchanges left and right after the turn, for a rug that is drawn from
	// its back.
	Mirrored bool
}

// Grid returns the weave that a text in this pose must be set on, to lie on weave g:
// for odd quarters, g with its two pitches exchanged.
func (p Pose) Grid(g weave.Grid) weave.Grid {
	if p.Quarters&1 == 1 {
		return weave.Grid{Across: g.Along, Along: g.Across}
	}
	return g
}

// turn returns the turn and the mirroring without the move: its numbers are 0, 1 and
// -1.
func (p Pose) turn() paths.Affine {
	m := [...]paths.Affine{{A: 1, D: 1}, {B: 1, C: -1}, {A: -1, D: -1}, {B: -1, C: 1}}[p.Quarters&3]
	if p.Mirrored {
		m = m.Then(paths.Scale(-1, 1))
	}
	return m
}

// place returns where a place of the text, in channels, goes.
func (p Pose) place(at weave.Place) weave.Place {
	q := p.turn().Apply(paths.Point{X: at.Across, Y: at.Along})
	return weave.Place{Across: q.X + p.At.Across, Along: q.Y + p.At.Along}
}

// Strokes returns the strokes of a text, in mm from the crossing of the weave's
// channels 0.
func (p Pose) Strokes(t Text) []paths.Stroke {
	g := p.Grid(t.grid) // exchanging twice leads back
	m := p.turn().Then(paths.Translate(g.At(p.At)))
	out := make([]paths.Stroke, len(t.Strokes))
	for i, s := range t.Strokes {
		out[i] = s.Transform(m)
	}
	return out
}

// Box returns the corners of the smallest box on whole channels that holds the
// strokes.
func (p Pose) Box(t Text) (lo, hi weave.Place) {
	a, b := p.place(t.Min), p.place(t.Max)
	return weave.Place{Across: math.Min(a.Across, b.Across), Along: math.Min(a.Along, b.Along)},
		weave.Place{Across: math.Max(a.Across, b.Across), Along: math.Max(a.Along, b.Along)}
}

// Straights returns the lines of a text that lie in channels, as they lie in this
// pose.
func (p Pose) Straights(t Text) []Straight {
	out := make([]Straight, len(t.Straights))
	for i, s := range t.Straights {
		ends := [2]weave.Place{{Across: float64(s.Channel), Along: s.From}, {Across: float64(s.Channel), Along: s.To}}
		if s.Axis == weave.Along {
			ends = [2]weave.Place{{Across: s.From, Along: float64(s.Channel)}, {Across: s.To, Along: float64(s.Channel)}}
		}
		a, b := p.place(ends[0]), p.place(ends[1])
		if a.Across == b.Across {
			out[i] = Straight{weave.Across, int(a.Across), min(a.Along, b.Along), max(a.Along, b.Along), s.Stroke}
		} else {
			out[i] = Straight{weave.Along, int(a.Along), min(a.Across, b.Across), max(a.Across, b.Across), s.Stroke}
		}
	}
	return out
}
