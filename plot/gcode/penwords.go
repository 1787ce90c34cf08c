package gcode

import (
	"fmt"
	"slices"
	"strings"

	"weftplot/profiles"
)

// pen is what a machine's own pen lines say of what moves its pen. The zero value
// knows nothing.
type pen struct {
	known    bool
	up, down []string // the lines, squeezed
	// hasZ tells that Z moves it: from low to high, down at bottom and up at top, mm.
	hasZ                   bool
	low, high, bottom, top float64
	// words are those beside Z, by their key, and whether they lower it. A word
	// that both lifting and lowering have is not among them.
	words map[string]bool
	fast  string // how fast a rapid move with the pen down would be, for a message
}

// penOf returns what is known of the pen of a machine; nothing where the machine
// is nil or has lines that cannot be read.
func penOf(m *profiles.Machine) pen {
	if m == nil {
		return pen{}
	}
	p := pen{words: map[string]bool{}}
	for _, l := range m.Lift.Up {
		p.up = append(p.up, squeeze(l))
	}
	for _, l := range m.Lift.Down {
		p.down = append(p.down, squeeze(l))
	}
	p.fast = fmt.Sprintf(", at up to %g mm/s; machine %s draws at %g mm/s at most", float64(m.Speed.Travel), m.Name, float64(m.Speed.Draw))
	up, errUp := ReadPenMove(m.Lift.Up, m.Lift.Words, m.GCode.Waits)
	down, errDown := ReadPenMove(m.Lift.Down, m.Lift.Words, m.GCode.Waits)
	if errUp != nil || errDown != nil {
		return p
	}
	p.known, p.hasZ = true, up.Z && down.Z
	p.low, p.high = min(up.Low, down.Low), max(up.High, down.High)
	p.bottom, p.top = down.Last, up.Last
	for _, w := range up.Words {
		if !slices.Contains(down.Words, w) {
			p.words[w] = false
		}
	}
	for _, w := range down.Words {
		if !slices.Contains(up.Words, w) {
			p.words[w] = true
		}
	}
	return p
}

// rule returns the rule for words and heights that are not those of the machine's
// own lines: with a pen on Z it is down where they lower it to and deeper.
func (p pen) rule() penRule {
	if p.hasZ {
		return penRule{kind: byWords, edge: p.bottom, ofMachine: true}
	}
	return usual
}

// heightSlack is how far a height may be off by rounding, mm.
const heightSlack = 1e-3

// judgeHeight judges a height that the program goes to by itself.
func (r *reader) judgeHeight(z float64) {
	// Deeper breaks tips, so there only rounding passes; a lift is rounded to other
	// numbers by those who count in inches, and a little more of it does no harm.
	const slack = heightSlack
	p := r.pen
	if r.own || !p.hasZ {
		return
	}
	switch over, under := z-p.high, p.low-z; {
	case over > (p.top-p.bottom)/5+slack:
		r.notes.Beyond(r.scale.Apply(r.at), "too-high", r.line, "Z%.4g is %.4g mm above the highest that this machine's own pen lines go to, Z%g", z, over, p.high)
	case under > slack:
		r.notes.Beyond(r.scale.Apply(r.at), "too-deep", r.line, "Z%.4g is %.4g mm below the lowest that this machine's own pen lines go to, Z%g", z, under, p.low)
	case z > p.bottom+slack && z < (p.bottom+p.top)/2:
		r.doubt("low-hop", "Z%.4g is less than half as high as this machine lifts its pen; whether the tip is off the cloth there is not known", z)
	}
}

// penKey returns the words of a line that may move a pen beside Z, in one form:
// the M words but those that stop or change a tool, with their S and P; "" if
// there are none.
func penKey(w *words) string {
	s, hasS := w.get('S')
	if len(w.m) == 0 && !hasS {
		return ""
	}
	p, hasP := w.get('P')
	of := penWordsOf{count: len(w.m), s: s, p: p, hasS: hasS, hasP: hasP && !w.hasG(40)}
	if of.count > len(of.m) {
		return of.key(w.m)
	}
	copy(of.m[:], w.m)
	key, ok := w.keys[of]
	if !ok {
		key = of.key(w.m)
		if len(w.keys) == mostKeys || w.keys == nil {
			w.keys = map[penWordsOf]string{}
		}
		w.keys[of] = key
	}
	return key
}

// mostKeys is how many keys are remembered at a time. A program has few, which its pen
// moves repeat.
const mostKeys = 64

// penWordsOf are the words that [penKey] goes by.
type penWordsOf struct {
	m          [4]int // the first of them
	count      int
	s, p       float64
	hasS, hasP bool
}

// key works the key out, with all M words.
func (o penWordsOf) key(ms []int) string {
	var out []string
	for _, m := range ms {
		switch m {
		case m0, m1, m2, m6, m30, m60, 480, 490:
		default:
			out = append(out, fmt.Sprintf("M%g", float64(m)/10))
		}
	}
	slices.Sort(out)
	if o.hasS {
		out = append(out, fmt.Sprintf("S%g", o.s))
	}
	if o.hasP && len(out) > 0 {
		out = append(out, fmt.Sprintf("P%g", o.p))
	}
	return strings.Join(out, " ")
}
