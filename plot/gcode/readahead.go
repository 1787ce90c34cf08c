package gcode

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
	// which it begins: in a program of ours that depends on the last place, the last feed and
	// the last pen move.
	readIn = 1 << 10
)

// A part of a text is read as a whole.
type part struct {
	offset, line int // where it begins: how many bytes and lines are before it
	leadIn       int // and where what is read before it does
	to           int // where it ends
	lines        int // that are in it
}

// partsOf divides a text, from an offset on, into parts of about a size, at lines that name
// both coordinates, rapid moves where there are some: no line of a pen move names any. Text
// without such lines is not divided.
func partsOf(text string, offset, size int) []part {
	parts := []part{{offset: offset}}
	for len(text)-offset >= 2*size {
		at, ok := naming(text, offset+size, offset+size+size/4, true)
		if !ok {
			break
		}
		last := &parts[len(parts)-1]
		last.to, last.lines = at, strings.Count(text[last.offset:at], "\n")
		leadIn, _ := naming(text, max(offset, at-readIn), at, false)
		parts = append(parts, part{offset: at, line: last.line + last.lines, leadIn: leadIn})
		offset = at
	}
	last := &parts[len(parts)-1]
	last.to, last.lines = len(text), strings.Count(text[last.offset:], "\n")+1
	return parts
}

// naming returns where the first line that names both coordinates begins between two offsets;
// where rapid moves are preferred, the first that is one, if there is any. Without such a
// line it returns the offset after.
func naming(text string, from, to int, rapid bool) (at int, ok bool) {
	at = to
	for _, offset := lineAt(text, from); offset < to; {
		line, next := lineAt(text, offset)
		if strings.IndexByte(line, 'X') >= 0 && strings.IndexByte(line, 'Y') >= 0 {
			if !rapid || strings.HasPrefix(line, "G0") {
				return offset, true
			}
			at, ok = min(at, offset), true
		}
		offset = next
	}
	return at, ok
}

// share reads a text from r.offset on, in parts of about so many bytes that are read on all
// cores. What is read and the errors are those of one part after the other.
func (r *reader) share(ctx context.Context, name, text string, m *profiles.Machine, size int) error {
	slots := cores.Slots()
	if slots == 0 || len(text) < 4*size {
		return r.readTo(ctx, name, text, len(text))
	}
	parts := partsOf(text, r.offset, size)
	slots = min(slots, len(parts)-1)
	ahead := make([]*reader, slots+1)
	for i := range ahead {
		ahead[i] = newReader(m)
		ahead[i].pen, ahead[i].rule, ahead[i].most = r.pen, r.rule, r.most
	}
	return cores.Chain[state]{
		Slots: slots,
		Turn: func(k int) (state, error) {
			err := r.readTo(ctx, name, text, parts[k].to)
			return r.state, err
		},
		Ahead: func(slot, k int, last state) (before, left state, ok bool) {
			a, p := ahead[slot], parts[k]
			a.begin(last, max(64, p.lines+p.lines/8))
			if !a.lead(ctx, text, p) {
				return before, left, false
			}
			before = a.state
			a.begin(before, 0)
			if err := a.readTo(ctx, name, text, p.to); err != nil {
				return before, left, false
			}
			return before, a.state, a.notes.Silent() && a.illegal == 0
		},
		Keep: func(slot int) bool { return r.join(ahead[slot]) },
	}.Run(ctx, len(parts))
}

// begin makes a reader ready to read from a state on, with room for some more blocks. A line
// before was legal.
func (r *reader) begin(s state, room int) {
	r.state = s
	if cap(r.out.Blocks) < room {
		r.out.Blocks = make([]program.Block, 0, room)
	}
	r.out.Blocks, r.notes, r.full = r.out.Blocks[:0], program.Noter{}, false
	clear(r.vars)
	r.legal, r.illegal, r.bad, r.moves = 1, 0, nil, survey{}
	r.ownUp, r.ownDown = false, false
}

// lead brings a reader, which has the state of an earlier place, into that before a part, as
// far as a few lines before it tell. They may begin where the pen is down. It reports
// whether they end where the part begins.
func (r *reader) lead(ctx context.Context, text string, p part) bool {
	r.offset, r.line = p.leadIn, p.line-strings.Count(text[p.leadIn:p.offset], "\n")
	was := r.state
	if down := strings.Join(r.pen.down, "\n"); down != "" {
		r.lines(down, 0, len(down))
		r.lift(true)
		r.line, r.feed, r.motion = was.line, was.feed, 10
	}
	err := r.readTo(ctx, "", text, p.offset)
	return err == nil && r.offset == p.offset
}

// join adds what another reader has read of the part that follows, from the state r is in.
// It reports whether that is all that r would have made of it.
func (r *reader) join(a *reader) bool {
	if r.legal == 0 || len(r.out.Blocks)+len(a.out.Blocks) > r.most {
		return false
	}
	r.out.Blocks = append(r.out.Blocks, a.out.Blocks...)
	r.state = a.state
	r.legal += a.legal - 1
	r.ownUp, r.ownDown = r.ownUp || a.ownUp, r.ownDown || a.ownDown
	r.moves.join(a.moves)
	return true
}
