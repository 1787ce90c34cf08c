package dxf

import (
	"bytes"
	"strings"

	"weftplot/paths/fault"
)

// header holds the variables of the file that say how to read the rest.
type header struct {
	version     string // $ACADVER
	codepage    string // $DWGCODEPAGE
	units       string // $INSUNITS
	unitsLine   int
	measurement string // $MEASUREMENT
	points      string // $PDMODE
}

// layer is an entry of the table of layers.
type layer struct {
	name   string // as the file has it
	colour int    // its number, never negative
	dashed bool
	// hidden says why nothing on the layer is drawn; "" when it is. A frozen
	// layer also hides the blocks that are inserted on it.
	hidden string
	frozen bool
}

// block is a drawing to be copied by inserts.
type block struct {
	name     string
	line     int
	base     vec
	outside  bool // in a file of its own, which is not read
	entities []entity
}

// parser turns records into the reader's header, layers, blocks and model.
type parser struct {
	*reader
	section string
	block   *block    // being read
	poly    *polyline // being read, with its entity
	into    *entity
}

// parse reads the whole file.
func (r *reader) parse(data []byte) {
	p := &parser{reader: r}
	r.records(data, p.record)
}

// record handles one record, and returns false when reading is to end.
func (p *parser) record(e *record) bool {
	switch e.kind {
	case "EOF":
		return false
	case "SECTION":
		p.section = string(e.text(2))
		if p.section == "HEADER" {
			p.header(e)
		}
		return true
	case "ENDSEC":
		p.section, p.block, p.poly = "", nil, nil
		return true
	}
	switch p.section {
	case "TABLES":
		if e.kind == "LAYER" {
			p.layer(e)
		}
	case "BLOCKS":
		switch e.kind {
		case "BLOCK":
			p.beginBlock(e)
		case "ENDBLK":
			p.block, p.poly = nil, nil
		default:
			if p.block != nil {
				p.block.entities = p.entity(p.block.entities, e)
			}
		}
	case "ENTITIES":
		p.model = p.entity(p.model, e)
	}
	return p.stop == nil
}

// header reads the variables: each is a name under code 9, then its value.
func (p *parser) header(e *record) {
	into := map[string]*string{
		"$ACADVER": &p.head.version, "$DWGCODEPAGE": &p.head.codepage, "$INSUNITS": &p.head.units,
		"$MEASUREMENT": &p.head.measurement, "$PDMODE": &p.head.points,
	}
	for i, g := range e.groups[:max(0, len(e.groups)-1)] {
		if v := into[string(e.value(g))]; g.code == 9 && v != nil && e.groups[i+1].code != 9 {
			*v = string(e.value(e.groups[i+1]))
			if v == &p.head.units {
				p.head.unitsLine = int(g.line)
			}
		}
	}
}

// fold returns a name in the form in which names are compared: their case does not
// matter.
func fold(name []byte) string { return string(bytes.ToUpper(name)) }

func (p *parser) layer(e *record) {
	name := e.text(2)
	colour := e.whole(62, 7)
	l := &layer{name: p.intern(name), colour: max(colour, -colour), dashed: isDashed(e.text(6)), frozen: e.whole(70, 0)&1 != 0}
	switch {
	case l.frozen:
		l.hidden = "is frozen"
	case colour < 0:
		l.hidden = "is switched off"
	case e.whole(290, 1) == 0:
		l.hidden = "is not for plotting"
	}
	p.layers[fold(name)] = l
}

// isDashed reports whether a line type is one with gaps.
func isDashed(name []byte) bool {
	switch strings.ToUpper(string(name)) {
	case "", "CONTINUOUS", "BYLAYER", "BYBLOCK":
		return false
	}
	return true
}

func (p *parser) beginBlock(e *record) {
	const elsewhere = 4 | 8 // a reference to another file, attached or overlaid
	name := e.text(2)
	p.block = &block{name: p.intern(name), line: e.line, base: e.vec(10), outside: e.whole(70, 0)&elsewhere != 0}
	p.poly = nil
	if e.bad != nil {
		p.stop = fault.Bad(at(p.name, int(e.bad.line)), "save it again from the drawing program", "the base point of the block %q is no number", excerpt(name))
		return
	}
	p.blocks[fold(name)] = p.block
}

// entity appends what a record adds to a list of entities.
func (p *parser) entity(list []entity, e *record) []entity {
	switch {
	case p.poly != nil && e.kind == "VERTEX":
		p.poly.vertex(e)
		if e.bad != nil {
			p.into.damaged = true
		}
		if p.curvesRead--; p.curvesRead < 0 {
			p.tooMany(e)
		}
		return list
	case e.kind == "SEQEND":
		p.poly = nil
		return list
	case quiet[e.kind]:
		return list
	}
	p.poly = nil
	if p.entities++; p.entities > p.opt.MaxEntities {
		p.halt(e.line, e.kind, "the file has more than %d entities", p.opt.MaxEntities)
		return list
	}
	list = append(list, p.common(e))
	n := &list[len(list)-1]
	if build, ok := builders[e.kind]; ok {
		n.body = build(e)
	}
	n.damaged = e.bad != nil
	if n.body != nil {
		if p.curvesRead -= n.body.count(); p.curvesRead < 0 {
			p.tooMany(e)
		}
	}
	if poly, ok := n.body.(*polyline); ok && e.kind == "POLYLINE" {
		// Keep the body, not a pointer to the entity: entities move as the list
		// grows. This one stays the last of the list until its vertices end.
		p.poly, p.into = poly, n
	}
	return list
}

func (p *parser) tooMany(e *record) {
	p.halt(e.line, e.kind, "the drawing has more than %d pieces of line", p.opt.MaxCurves)
}

// quiet are records among the entities that draw nothing and need no note.
var quiet = map[string]bool{"VERTEX": true, "VIEWPORT": true, "ENDBLK": true, "ATTDEF": true}
