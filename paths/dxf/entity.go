package dxf

import (
	"math"

	"weftplot/paths"
)

// entity is one thing in the drawing.
type entity struct {
	kind   string
	line   int
	layer  string
	colour int // its number, or byLayer or byBlock
	rgb    int // true colour, -1 for none
	dashed lineType
	width  float64 // painted width in mm; 0 for the layer's
	// An entity that is invisible or onPaper is not drawn.
	invisible, onPaper bool
	damaged            bool // one of its numbers cannot be read
	// at is the first of its points, where it has one that says where it is.
	at    *vec
	noted bool
	// body is what it draws, nil when it is of a kind that is not drawn.
	body body
}

const (
	byBlock = 0
	byLayer = 256
)

// lineType says whether an entity is dashed.
type lineType int8

const (
	asLayer lineType = iota
	whole
	dashes
)

// body is the geometry of an entity, in the coordinates of its block.
type body interface {
	// count is about how many curves it is made of.
	count() int
	// draw appends its strokes as they are seen from above; m maps to page
	// millimetres.
	draw(d *draught, m space)
}

// common reads what every entity has.
func (p *parser) common(e *record) entity {
	n := entity{
		kind: e.kind, line: e.line, layer: p.intern(e.text(8)),
		colour: e.whole(62, byLayer), rgb: e.whole(420, -1),
		invisible: e.whole(60, 0) == 1, onPaper: e.whole(67, 0) == 1,
	}
	if n.layer == "" {
		n.layer = "0"
	}
	if t := e.text(6); len(t) > 0 && fold(t) != "BYLAYER" {
		n.dashed = whole
		if isDashed(t) {
			n.dashed = dashes
		}
	}
	n.at = placeOf(e)
	const hundredths = 0.01 // line weights are in hundredths of a mm
	n.width = max(0, hundredths*float64(e.whole(370, -1)))
	return n
}

// nowhere are the kinds whose first point is not where they are: an elevation.
var nowhere = map[string]bool{"HATCH": true, "POLYLINE": true, "LWPOLYLINE": true}

// placeOf returns the primary point of an entity, group 10 in the DXF reference. It
// returns nil for one that lies in a plane of its own, and where a number is bad.
func placeOf(e *record) *vec {
	if _, ok := e.find(10); !ok || nowhere[e.kind] {
		return nil
	}
	was := e.bad
	at, normal := e.vec(10), normalOf(e)
	if e.bad != was || normal.unit() != (vec{z: 1}) {
		e.bad = was
		return nil
	}
	return &at
}

// builders read the entities that are drawn. A number that cannot be read is marked
// in the record.
var builders = map[string]func(*record) body{
	"LINE":       func(e *record) body { return chain{e.vec(10), e.vec(11)} },
	"POINT":      func(e *record) body { return dot{e.vec(10)} },
	"CIRCLE":     func(e *record) body { return buildArc(e, 0, 360) },
	"ARC":        func(e *record) body { return buildArc(e, e.float(50, 0), e.float(51, 360)) },
	"ELLIPSE":    buildEllipse,
	"LWPOLYLINE": buildLightPolyline,
	"POLYLINE":   buildPolyline,
	"SPLINE":     buildSpline,
	"INSERT":     buildInsert,
	"TEXT":       buildText,
	"ATTRIB":     buildText,
	"MTEXT":      buildManyLines,
}

// chain is a run of straight lines in space.
type chain []vec

func (c chain) count() int { return len(c) - 1 }

func (c chain) draw(d *draught, m space) {
	at := m.apply(c[0]).fromAbove()
	for _, p := range c[1:] {
		q := m.apply(p).fromAbove()
		if q != at {
			d.add(paths.Line{A: at, B: q})
		}
		at = q
	}
}

// dot is a single point.
type dot struct{ at vec }

func (dot) count() int { return 1 }

func (p dot) draw(d *draught, m space) {
	at := m.apply(p.at).fromAbove()
	d.add(paths.Line{A: at, B: at})
}

// flat is line work on a plane in space.
type flat struct {
	plane  space
	stroke paths.Stroke
}

func (f flat) count() int { return len(f.stroke) }

func (f flat) draw(d *draught, m space) {
	onPage := f.plane.then(m).fromAbove()
	for _, c := range f.stroke {
		d.add(c.Transform(onPage)...)
	}
}

// buildArc reads the arc about a centre, in degrees counter-clockwise from one
// angle to the other; the same angle twice is a full turn.
func buildArc(e *record, from, to float64) body {
	sweep := math.Mod(to-from, 360)
	if sweep <= 0 {
		sweep += 360
	}
	c, r := e.vec(10), e.float(40, 0)
	plane := moved(vec{z: c.z}).then(planeOf(normalOf(e)))
	sin, cos := turn(from)
	arc := paths.ArcAround(paths.Point{X: c.x, Y: c.y}, r, math.Atan2(sin, cos), sweep*math.Pi/180)
	if r <= 0 || !finite(arc.From) || !finite(arc.To) {
		return flat{plane: plane}
	}
	return flat{plane, paths.Stroke{arc}}
}

// normalOf returns the normal of the plane that an entity lies in.
func normalOf(e *record) vec {
	if _, ok := e.find(210); !ok {
		return vec{z: 1}
	}
	return e.vec(210)
}

func finite(p paths.Point) bool { return p.IsFinite() }

// buildEllipse reads an ellipse as the image of the unit circle: its angles are
// parameters, not directions.
func buildEllipse(e *record) body {
	major := e.vec(11)
	normal := normalOf(e).unit()
	from, to := e.float(41, 0), e.float(42, 2*math.Pi)
	sweep := math.Mod(to-from, 2*math.Pi)
	if sweep <= 1e-9 { // rounded numbers may make a full turn a little short
		sweep += 2 * math.Pi
	}
	if to-from >= 2*math.Pi-1e-6 {
		sweep = 2 * math.Pi
	}
	axes := space{x: major, y: normal.cross(major).mul(e.float(40, 1)), z: normal, o: e.vec(10)}
	if major == (vec{}) {
		return flat{plane: axes}
	}
	return flat{axes, paths.Stroke{paths.ArcAround(paths.Point{}, 1, math.Mod(from, 2*math.Pi), sweep)}}
}
