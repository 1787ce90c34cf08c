package hpgl

import (
	"context"
	"strings"

	"weftplot/paths/cores"
	"weftplot/plot/program"
	"weftplot/profiles"
)

const (
	// aPart is about how many bytes are read ahead of their turn at a time.
	aPart = 64 << 10
	// readIn is about how many bytes before a part are gone through to find the state in
	// which it begins, or else readFar: in a program of ours a whole stroke tells it.
	readIn  = 1 << 10
	readFar = 8 << 10
)

// A part of a text is read as a whole.
type part struct {
	pos, line int // where it begins: how many bytes are before it, and on which line
	leadIn    int // and where what is read before it does
	to        int // where it ends
	lines     int // that end in it
}

// partsOf divides a text, from a place on, into parts of about a size, between two lines
// of which the second is a move with the pen up to a place, as before each stroke of a
// program of ours. Text without such lines is not divided.
func partsOf(text string, pos, size int) []part {
	parts := []part{{pos: pos, line: 1 + strings.Count(text[:pos], "\n")}}
	for len(text)-pos >= 2*size {
		at := moveAfter(text, pos+size, pos+size+size/4)
		if at < 0 {
			break
		}
		leadIn := moveAfter(text, max(pos, at-readIn), at)
		if leadIn < 0 {
			leadIn = moveAfter(text, max(pos, at-readFar), at)
		}
		last := &parts[len(parts)-1]
		last.to, last.lines = at, strings.Count(text[last.pos:at], "\n")
		parts = append(parts, part{pos: at, line: last.line + last.lines, leadIn: leadIn})
		pos = at
	}
	last := &parts[len(parts)-1]
	last.to, last.lines = len(text), strings.Count(text[last.pos:], "\n")
	return parts
}

// moveAfter returns where the first line ends between two places that is followed by a move
// with the pen up to a place: before its line feed. It returns -1 where there is none.
func moveAfter(text string, from, to int) int {
	for from < to {
		n := strings.Index(text[from:to], ";\n")
		if n < 0 {
			return -1
		}
		at := from + n + 1
		next := text[at+1 : min(len(text), at+13)]
		if at < to && (strings.HasPrefix(next, "PUPA") || strings.HasPrefix(next, "PE") && strings.Contains(next, "<=")) {
			return at
		}
		from = at
	}
	return -1
}

// reached is how far a text is read, and the state that leaves.
type reached struct {
	pos, line  int
	terminator byte
	state
}

func (r *reader) reached() reached {
	return reached{r.scanner.pos, r.scanner.line, r.terminator, r.state}
}

// share reads the text, in parts of about so many bytes that are read on all cores. What is
// read and the error are those of one part after the other.
func (r *reader) share(ctx context.Context, m *profiles.Machine, size int) error {
	slots := cores.Slots()
	if slots == 0 || len(r.text) < 4*size {
		return r.readTo(ctx, len(r.text))
	}
	parts := partsOf(r.text, r.pos, size)
	slots = min(slots, len(parts)-1)
	ahead := make([]*reader, slots+1)
	for i := range ahead {
		ahead[i] = newReader(r.text, m)
	}
	return cores.Chain[reached]{
		Slots: slots,
		Turn: func(k int) (reached, error) {
			err := r.readTo(ctx, parts[k].to)
			return r.reached(), err
		},
		Ahead: func(slot, k int, last reached) (before, left reached, ok bool) {
			a, p := ahead[slot], parts[k]
			if p.leadIn < 0 {
				return before, left, false
			}
			last.pos, last.line = p.leadIn, p.line-strings.Count(r.text[p.leadIn:p.pos], "\n")
			a.begin(last, p.lines+p.lines/8)
			if a.readTo(ctx, p.pos) != nil || a.pos != p.pos {
				return before, left, false
			}
			before = a.reached()
			a.begin(before, 0)
			err := a.readTo(ctx, p.to)
			return before, a.reached(), err == nil && a.notes.Silent() && !a.full && a.strays == 0 && len(a.polygon.parts) == 0
		},
		Keep: func(slot int) bool { return r.join(ahead[slot]) },
	}.Run(ctx, len(parts))
}

// begin makes a reader ready to read from a place on, with room for some more blocks.
func (r *reader) begin(p reached, room int) {
	r.pos, r.line, r.terminator, r.state = p.pos, p.line, p.terminator, p.state
	if cap(r.out.Blocks) < room {
		r.out.Blocks = make([]program.Block, 0, room)
	}
	r.out.Blocks, r.notes, r.full = r.out.Blocks[:0], program.Noter{}, false
	r.steps, r.known, r.strays, r.firstStray, r.polygon = 0, 0, 0, 0, polygon{}
}

// join adds what another reader has read of the part that follows, from the state r is in.
// It reports whether that is all that r would have made of it.
func (r *reader) join(a *reader) bool {
	if r.full || r.inPolygon || len(r.polygon.parts) > 0 || r.steps+a.steps > r.most || len(r.out.Blocks)+len(a.out.Blocks) > r.most {
		return false
	}
	r.out.Blocks = append(r.out.Blocks, a.out.Blocks...)
	r.pos, r.line, r.terminator, r.state = a.pos, a.line, a.terminator, a.state
	r.steps, r.known = r.steps+a.steps, r.known+a.known
	return true
}
