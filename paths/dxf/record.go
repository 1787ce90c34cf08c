package dxf

import (
	"math"
	"slices"
	"strconv"

	"weftplot/paths/fault"
)

// record is the groups from one of code 0 up to the next: an entity, a table's
// entry, or the beginning or the end of something.
type record struct {
	data   []byte
	kind   string
	line   int
	groups []group
	// bad is the first value that is not what it should be.
	bad *group
}

// maxGroups bounds the pairs of one record.
const maxGroups = 4_000_000

// embedded is the group code of an object within an entity, whose groups are
// not the entity's.
const embedded = 101

// records calls f with each record until the end of the file or until f returns
// false. The record is only valid within the call.
func (r *reader) records(data []byte, f func(*record) bool) {
	s := scanner{data: data}
	var rec record
	begun, inner := false, false
	for {
		g, ok, bad := s.pair(r.name)
		if bad != nil {
			r.stop = bad
			return
		}
		if !ok {
			break
		}
		switch {
		case g.code == 0:
			r.meter.To(parsed * float64(s.at) / float64(len(data)))
			if begun && !f(&rec) {
				return
			}
			rec = record{data: data, kind: r.intern(s.value(g)), line: int(g.line), groups: rec.groups[:0]}
			begun, inner = true, false
			if rec.kind == "EOF" { // what follows is not part of the drawing
				f(&rec)
				return
			}
		case g.code == comment || inner:
		case g.code == embedded:
			inner = true
		case !r.addGroup(&rec, g):
			return
		}
	}
	if begun && f(&rec) {
		r.stop = fault.Bad(at(r.name, s.line), "save it again from the drawing program", "the file is cut short: it does not end with EOF")
	}
}

// addGroup adds a pair to a record, and returns false when it has too many.
func (r *reader) addGroup(rec *record, g group) bool {
	if len(rec.groups) == maxGroups {
		r.halt(rec.line, rec.kind, "one entity has more than %d groups", maxGroups)
		return false
	}
	if len(rec.groups) == cap(rec.groups) {
		rec.groups = slices.Grow(rec.groups, max(16, len(rec.groups)))
	}
	rec.groups = append(rec.groups, g)
	return true
}

// intern returns b as a string, the same one each time.
func (r *reader) intern(b []byte) string {
	if s, ok := r.names[string(b)]; ok {
		return s
	}
	s := string(b)
	r.names[s] = s
	return s
}

func (e *record) value(g group) []byte { return e.data[g.from:g.to] }

// find returns the first value of a code.
func (e *record) find(code int32) (group, bool) {
	for _, g := range e.groups {
		if g.code == code {
			return g, true
		}
	}
	return group{}, false
}

// text returns the value of a code, nil without one.
func (e *record) text(code int32) []byte {
	if g, ok := e.find(code); ok {
		return e.value(g)
	}
	return nil
}

// times returns how often a code occurs in the record.
func (e *record) times(code int32) int {
	n := 0
	for _, g := range e.groups {
		if g.code == code {
			n++
		}
	}
	return n
}

// float returns the value of a code as a number, def without one.
func (e *record) float(code int32, def float64) float64 {
	if g, ok := e.find(code); ok {
		return e.number(g)
	}
	return def
}

// number reads a finite real number; anything else is marked as bad.
func (e *record) number(g group) float64 {
	v, err := strconv.ParseFloat(string(e.value(g)), 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		e.isBad(g)
		return 0
	}
	return v
}

// whole returns the value of a code as a whole number, def without one.
func (e *record) whole(code int32, def int) int {
	g, ok := e.find(code)
	if !ok {
		return def
	}
	v := e.number(g)
	if v != math.Trunc(v) || math.Abs(v) > math.MaxInt32 {
		e.isBad(g)
		return def
	}
	return int(v)
}

func (e *record) isBad(g group) {
	if e.bad == nil {
		e.bad = &g
	}
}

// vec returns the point whose x has the given code, y and z ten and twenty
// more.
func (e *record) vec(code int32) vec {
	return vec{e.float(code, 0), e.float(code+10, 0), e.float(code+20, 0)}
}

// vecs returns all points whose x has the given code.
func (e *record) vecs(code int32) []vec {
	out := make([]vec, 0, e.times(code))
	for _, g := range e.groups {
		switch g.code {
		case code:
			out = append(out, vec{x: e.number(g)})
		case code + 10:
			if len(out) > 0 {
				out[len(out)-1].y = e.number(g)
			}
		case code + 20:
			if len(out) > 0 {
				out[len(out)-1].z = e.number(g)
			}
		}
	}
	return out
}

// floats returns all values of a code.
func (e *record) floats(code int32) []float64 {
	out := make([]float64, 0, e.times(code))
	for _, g := range e.groups {
		if g.code == code {
			out = append(out, e.number(g))
		}
	}
	return out
}
