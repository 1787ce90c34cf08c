package paths

import "slices"

// Design is line work as read from a file: frame "design", mm, y up.
type Design struct {
	// Name says where the design came from, a file name as a rule.
	Name string
	// Page is the sheet the file declares, in design mm; empty when it has none.
	Page Rect
	// HasSize reports whether the file states a physical size, so that its
	// millimetres can be believed. Without one the numbers are only proportions.
	HasSize bool
	// Layers are in the order of drawing, none without strokes.
	Layers []Layer
	// Words are the lines of text that are drawn in single-line letters once the
	// weave is known. They are no part of Layers.
	Words []Words
	// Notes list what was not drawn or not certain, one for each kind, the most
	// serious first.
	Notes []Note
}

// Layer is a named group of strokes.
type Layer struct {
	Name    string
	Strokes []DesignStroke
}

// DesignStroke is a stroke with what the file says of it.
type DesignStroke struct {
	Stroke
	// Element is the kind of element it came from, such as "path".
	Element string
	// Line is the line of the file the element starts on, from 1; 0 unknown.
	Line int
	// Width is the painted width in design mm, 0 where only a fill made it.
	Width float64
	// Colour is the paint as written in the file, such as "#000" or "navy".
	Colour string
	// Filled reports that it is the outline of a filled area with no stroke.
	Filled bool
}

// Note is something that the reader could not draw, or that a person should
// check. It stands for all that is of its kind in the file.
type Note struct {
	// Code is a short kebab-case name, such as "text-not-drawn".
	Code string
	// Element is the kind of element, with its id when it has one: "text #title".
	Element string
	// Line is the line of the file, from 1; 0 when unknown.
	Line int
	// Message is a sentence for a person.
	Message string
	// More is a sentence about the others that it stands for, "" where there are none:
	// Element, Line and Message are of the first.
	More string
	// Places are where some of them are, as far as that is known.
	Places []NotePlace
}

// NotePlace is one of what a note stands for, with its place.
type NotePlace struct {
	At      Point // design mm
	Element string
	Line    int
	Message string
}

// Strokes returns the strokes of all layers, in order.
func (d Design) Strokes() []Stroke {
	var out []Stroke
	for _, l := range d.Layers {
		for _, s := range l.Strokes {
			out = append(out, s.Stroke)
		}
	}
	return out
}

// Bounds returns the extent of the line work without the words, empty when there is
// none.
func (d Design) Bounds() Rect { return BoundsOf(d.Strokes()) }

// IsEmpty reports whether the design has nothing to draw.
func (d Design) IsEmpty() bool { return len(d.Layers) == 0 && len(d.Words) == 0 }

// Transform returns the design under m; painted widths follow its mean scale.
func (d Design) Transform(m Affine) Design {
	layers := make([]Layer, len(d.Layers))
	for i, l := range d.Layers {
		layers[i] = Layer{l.Name, make([]DesignStroke, len(l.Strokes))}
		for j, s := range l.Strokes {
			s.Stroke = s.Stroke.Transform(m)
			s.Width *= m.MeanScale()
			layers[i].Strokes[j] = s
		}
	}
	d.Layers = layers
	words := make([]Words, len(d.Words))
	for i, w := range d.Words {
		words[i] = w.Transform(m)
	}
	d.Words = words
	d.Notes = slices.Clone(d.Notes)
	for i := range d.Notes {
		d.Notes[i].Places = slices.Clone(d.Notes[i].Places)
		for k, p := range d.Notes[i].Places {
			d.Notes[i].Places[k].At = m.Apply(p.At)
		}
	}
	if !d.Page.IsEmpty() {
		p, q := d.Page.Min, d.Page.Max
		d.Page = RectOf(m.Apply(p), m.Apply(q), m.Apply(Point{p.X, q.Y}), m.Apply(Point{q.X, p.Y}))
	}
	return d
}
