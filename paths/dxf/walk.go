package dxf

import (
	"fmt"
	"math"
	"slices"

	"weftplot/paths"
)

// farthest is the greatest coordinate in mm that is drawn: a thousand
// kilometres, because a drawing may lie at survey coordinates.
const farthest = 1e9

// inked is a stroke with the layer that it is on.
type inked struct {
	paths.DesignStroke
	layer string
}

// context is what an entity inherits from the inserts around it.
type context struct {
	m      space // to page millimetres
	inside bool  // within a block
	layer  string
	colour string
	dashed bool
	depth  int
}

// draught collects the strokes of one entity.
type draught struct {
	r       *reader
	e       *entity
	c       context
	strokes []paths.Stroke
}

// add appends curves: to the stroke that ends where they begin, else as a new
// one.
func (d *draught) add(curves ...paths.Curve) {
	if d.r.left -= len(curves); d.r.left < 0 {
		d.r.halt(d.e.line, d.e.kind, "the drawing has more than %d pieces of line", d.r.opt.MaxCurves)
		return
	}
	for _, c := range curves {
		last := len(d.strokes) - 1
		if last < 0 || d.strokes[last].End() != c.Start() {
			d.strokes = append(d.strokes, nil)
			last++
		}
		d.strokes[last] = append(d.strokes[last], c)
	}
}

// readingParts is into how many parts reading is divided to tell how far it is; parsing
// takes about parsed of the time, drawing the entities the rest.
const (
	readingParts = 1000
	parsed       = 0.5
)

// walk draws the model, one drawing unit being unit mm, and tells the meter each entity.
func (r *reader) walk(unit float64) {
	r.left, r.open = r.opt.MaxCurves, map[*block]bool{}
	c := context{m: scaled(vec{unit, unit, unit}), layer: "0", colour: colourName(7)}
	for i := range r.model {
		r.meter.To(parsed + (1-parsed)*float64(i)/float64(len(r.model)))
		if e := &r.model[i]; e.onPaper {
			r.notes.add("paper", paths.Note{Code: "paper-space", Element: e.kind, Line: e.line}, func(n int) string {
				return fmt.Sprintf("%s on a sheet of paper, not in the model, and not drawn.", are(n, "of the drawing's entities"))
			})
		} else {
			r.entity(e, c)
		}
	}
}

// entity draws e under the context of the inserts around it.
func (r *reader) entity(e *entity, c context) {
	if r.stop != nil {
		return
	}
	if r.visits++; r.visits > r.opt.MaxEntities {
		r.halt(e.line, e.kind, "with every copy the drawing has more than %d entities", r.opt.MaxEntities)
		return
	}
	r.here = c.m
	l, shown := r.shown(e, &c)
	if !shown {
		return
	}
	if !r.drawable(e) {
		return
	}
	c.colour = r.colour(e, l, c)
	c.dashed = c.isDashed(e, l)
	d := draught{r: r, e: e, c: c}
	e.body.draw(&d, c.m)
	switch e.body.(type) {
	case *insert, *lettering:
	default:
		if r.stop == nil {
			r.keep(&d)
		}
	}
}

// drawable reports whether e has something to draw, and notes why not.
func (r *reader) drawable(e *entity) bool {
	switch {
	case e.damaged:
		r.note(e, "entity-damaged", func(n int) string {
			return fmt.Sprintf("%s damaged, with a value that is no number, and not drawn.", are(n, e.kind))
		})
	case e.body == nil || !r.opt.Words && isLettering(e.body):
		r.notDrawn(e)
	case e.kind == "POINT" && r.head.points == "1":
		r.note(e, "points-not-shown", func(n int) string {
			return fmt.Sprintf("%s not drawn: the file says that points do not show.", are(n, e.kind))
		})
	default:
		return true
	}
	return false
}

func isLettering(b body) bool {
	_, ok := b.(*lettering)
	return ok
}

// isDashed reports whether e, on layer l, has a dashed line type: its own, its
// layer's, or, on layer 0 within a block, the insert's.
func (c *context) isDashed(e *entity, l *layer) bool {
	if e.dashed != asLayer {
		return e.dashed == dashes
	}
	return l != nil && l.dashed || c.dashed && c.inside && e.layer == "0"
}

// shown finds the layer that e is on, enters it in the context, and reports
// whether anything on it shows; an entity that does not show is noted.
func (r *reader) shown(e *entity, c *context) (*layer, bool) {
	name := e.layer
	if c.inside && name == "0" {
		name = c.layer // what a block has on layer 0 is on the insert's layer
	}
	c.layer = name
	l := r.layers[fold([]byte(name))]
	switch {
	case e.invisible:
		r.note(e, "hidden", func(n int) string {
			return fmt.Sprintf("%s marked as invisible and not drawn.", are(n, e.kind))
		})
		return l, false
	case l != nil && l.hidden != "":
		if _, copied := e.body.(*insert); copied && !l.frozen {
			return l, true // what it holds may be on other layers
		}
		if !e.noted {
			e.noted = true
			r.notes.add("layer "+fold([]byte(name)), paths.Note{Code: "hidden", Element: e.kind, Line: e.line}, func(n int) string {
				return fmt.Sprintf("%s not drawn: the layer %q %s.", are(n, "of the drawing's entities"), r.decoded(l.name), l.hidden)
			})
		}
		return l, false
	}
	return l, true
}

// keep adds the strokes of one entity to the design.
func (r *reader) keep(d *draught) {
	e := d.e
	if e.kind != "POINT" {
		d.strokes = slices.DeleteFunc(d.strokes, isPoint)
	}
	if len(d.strokes) == 0 {
		r.note(e, "no-extent", func(n int) string {
			return fmt.Sprintf("%s without any extent and not drawn.", are(n, e.kind))
		})
		return
	}
	for _, s := range d.strokes {
		if !inRange(s) {
			r.note(e, "out-of-range", func(n int) string {
				return fmt.Sprintf("%s farther off than %g km and not drawn.", are(n, e.kind), farthest/1e6)
			})
			return
		}
	}
	if d.c.dashed {
		r.note(e, "dashes-drawn-whole", func(n int) string {
			return fmt.Sprintf("%s of a broken line type and drawn whole.", are(n, e.kind))
		})
	}
	for _, s := range d.strokes {
		r.drawn = append(r.drawn, inked{paths.DesignStroke{Stroke: s, Element: e.kind, Line: e.line, Width: e.width, Colour: d.c.colour}, d.c.layer})
	}
}

// isPoint reports whether a stroke has no extent.
func isPoint(s paths.Stroke) bool {
	b := s.Bounds()
	return b.Min == b.Max
}

func inRange(s paths.Stroke) bool {
	if s.Validate() != nil {
		return false
	}
	b := s.Bounds()
	return max(math.Abs(b.Min.X), math.Abs(b.Min.Y), math.Abs(b.Max.X), math.Abs(b.Max.Y)) <= farthest
}

// notDrawn notes an entity of a kind that is not line work.
func (r *reader) notDrawn(e *entity) {
	k, ok := undrawn[e.kind]
	if !ok {
		k = remark{"entity-not-drawn", "not drawn: this kind of entity is not read."}
	}
	r.note(e, k.code, func(n int) string { return are(n, e.kind) + " " + k.words })
}

// remark is the note for a kind of entity; its words follow "3 TEXT are".
type remark struct{ code, words string }

var undrawn = map[string]remark{
	"TEXT": textRemark, "MTEXT": textRemark, "ATTRIB": textRemark, "RTEXT": textRemark, "ARCALIGNEDTEXT": textRemark,
	"DIMENSION":   {"dimension-not-drawn", "not drawn: dimensions are no part of the pattern."},
	"LEADER":      {"dimension-not-drawn", "not drawn: leaders are no part of the pattern."},
	"MULTILEADER": {"dimension-not-drawn", "not drawn: leaders are no part of the pattern."},
	"HATCH":       {"fill-not-drawn", "not drawn: a pen fills no areas. Outlines that are drawn by themselves are there."},
	"SOLID":       {"fill-not-drawn", "not drawn: a pen fills no areas. Explode it to have its outline."},
	"TRACE":       {"fill-not-drawn", "not drawn: a pen fills no areas. Explode it to have its outline."},
	"WIPEOUT":     {"fill-not-drawn", "not drawn: it only hides what lies under it, which is drawn."},
	"IMAGE":       {"image-not-drawn", "not drawn; trace the lines of the picture first."},
	"OLE2FRAME":   {"image-not-drawn", "not drawn: it is of another program."},
	"MLINE":       {"entity-not-drawn", "not drawn; explode it into lines."},
	"HELIX":       {"entity-not-drawn", "not drawn; explode it into lines."},
	"SHAPE":       {"entity-not-drawn", "not drawn: its form is in another file."},
	"XLINE":       {"entity-not-drawn", "not drawn: it has no ends."},
	"RAY":         {"entity-not-drawn", "not drawn: it has no end."},
	"POLYLINE":    {"solid-not-drawn", "not drawn: it is a mesh in space."},
	"3DFACE":      {"solid-not-drawn", "not drawn: it is a face in space."},
	"3DSOLID":     {"solid-not-drawn", "not drawn: it is a solid."},
	"BODY":        {"solid-not-drawn", "not drawn: it is a solid."},
	"REGION":      {"solid-not-drawn", "not drawn; explode it into lines."},
	"MESH":        {"solid-not-drawn", "not drawn: it is a mesh in space."},
	"SURFACE":     {"solid-not-drawn", "not drawn: it is a surface in space."},
}

var textRemark = remark{"text-not-drawn", "not drawn; turn the text into lines in the drawing program."}
