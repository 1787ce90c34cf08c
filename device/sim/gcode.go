package sim

import (
	"math"
	"strconv"
	"strings"
	"weftplot/paths"
	"weftplot/profiles"
)

// The numbers in the simulated controller's error replies; they follow no
// standard.
const (
	badLine   = 1 // not a series of words
	badCode   = 2 // an unknown code
	badNumber = 3 // a number that is missing or out of range
	badArc    = 4 // ends and centre that do not make an arc
	tooFar    = 5 // beyond the area
	locked    = 6 // refused because of an alarm
)

// actuator is the state of what can lift a pen: the height of Z, and the
// spindle words.
type actuator struct {
	z       float64
	spindle int // 3, 4 or 5
	speed   float64
}

// state is the modal state of the interpreter. Positions are in the machine's
// own mm, before its calibration.
type state struct {
	motion   int // 0 to 3, or 80
	inch     bool
	relative bool
	absIJ    bool
	feed     float64 // mm/s, 0 none yet
	at       paths.Point
	act      actuator
	waits    profiles.WaitUnit // of P
}

func newState(waits profiles.WaitUnit) state { return state{act: actuator{spindle: 5}, waits: waits} }

// step is one action that a line asks for.
type step struct {
	curve paths.Curve // a move
	rapid bool
	act   *actuator // the new state of the pen's actuator
	dwell float64
	stop  int // 0 pause, 2 and 30 the end; -1 none
	wait  bool
}

// block is a line sorted into its words.
type block struct {
	motion  int // -1 none
	dwell   bool
	spindle int // 0 none
	stop    int // -1 none
	val     [26]float64
	has     [26]bool
}

func (b *block) get(l byte) (float64, bool) { return b.val[l-'A'], b.has[l-'A'] }

// run carries out a line on the state and returns what the machine has to do,
// in the order of execution of RS-274/NGC, table 8.
func (s *state) run(line string) ([]step, int) {
	words, ok := split(line)
	if !ok {
		return nil, badLine
	}
	b := block{motion: -1, stop: -1}
	for _, w := range words {
		if code := s.sort(&b, w); code != 0 {
			return nil, code
		}
	}
	return s.carryOut(&b)
}

// sort puts a word in its place; modes take effect at once.
func (s *state) sort(b *block, w word) int {
	switch w.letter {
	case 'G':
		return s.gWord(b, w.value)
	case 'M':
		return s.mWord(b, w.value)
	case 'N', 'T':
		return 0
	}
	if b.has[w.letter-'A'] { // each but once: section 3.3.5
		return badLine
	}
	b.val[w.letter-'A'], b.has[w.letter-'A'] = w.value, true
	return 0
}

func (s *state) gWord(b *block, v float64) int {
	switch v {
	case 0, 1, 2, 3:
		if b.motion >= 0 { // one of a kind: section 3.3.5
			return badLine
		}
		b.motion = int(v)
		s.motion = int(v)
	case 80:
		s.motion = 80
	case 4:
		b.dwell = true
	case 20, 21:
		s.inch = v == 20
	case 90, 91:
		s.relative = v == 91
	case 90.1, 91.1:
		s.absIJ = v == 90.1
	case 17, 40, 49, 54, 61, 64, 94:
	default:
		return badCode
	}
	return 0
}

func (s *state) mWord(b *block, v float64) int {
	switch v {
	case 0, 1, 2, 30:
		b.stop = int(v)
	case 3, 4, 5:
		b.spindle = int(v)
	case 6, 7, 8, 9:
	default:
		return badCode
	}
	return 0
}

// carryOut carries out the sorted line.
func (s *state) carryOut(b *block) ([]step, int) {
	var steps []step
	if f, ok := b.get('F'); ok {
		if f <= 0 {
			return nil, badNumber
		}
		s.feed = s.length(f) / 60
	}
	if v, ok := b.get('S'); ok {
		if v < 0 {
			return nil, badNumber
		}
		s.act.speed = v
		if b.spindle == 0 {
			b.spindle = s.act.spindle
		}
	}
	if b.spindle != 0 {
		s.act.spindle = b.spindle
		act := s.act
		steps = append(steps, step{act: &act, stop: -1})
	}
	if b.dwell {
		p, ok := b.get('P')
		if !ok || p < 0 {
			return nil, badNumber
		}
		steps = append(steps, step{dwell: s.waits.Seconds(p), wait: true, stop: -1})
	}
	moves, code := s.moves(b)
	if code != 0 {
		return nil, code
	}
	steps = append(steps, moves...)
	if b.stop >= 0 {
		steps = append(steps, step{stop: b.stop, wait: true})
		if b.stop == 2 || b.stop == 30 {
			s.motion, s.relative = 1, false
			if s.act.spindle != 5 {
				s.act.spindle = 5
				act := s.act
				steps = append(steps, step{act: &act, stop: -1})
			}
		}
	}
	return steps, 0
}

func (s *state) length(v float64) float64 {
	if s.inch {
		return v * 25.4
	}
	return v
}

// moves returns the moves of the axes.
func (s *state) moves(b *block) ([]step, int) {
	if !b.has['X'-'A'] && !b.has['Y'-'A'] && !b.has['Z'-'A'] {
		if b.motion >= 2 { // even a full circle has an X or a Y
			return nil, badArc
		}
		return nil, 0
	}
	if s.motion == 80 {
		return nil, badCode
	}
	to := paths.Point{X: s.target(b, 'X', s.at.X), Y: s.target(b, 'Y', s.at.Y)}
	act := s.act
	act.z = s.target(b, 'Z', s.act.z)
	if s.motion > 0 && s.feed == 0 {
		return nil, badNumber
	}
	var xy []step
	switch {
	case s.motion >= 2:
		var code int
		if xy, code = s.arc(b, to); code != 0 {
			return nil, code
		}
	case to != s.at:
		xy = []step{{curve: paths.Line{A: s.at, B: to}, rapid: s.motion == 0, stop: -1}}
		s.at = to
	}
	if act.z == s.act.z {
		return xy, 0
	}
	down := act.z < s.act.z
	s.act = act
	pen := step{act: &act, rapid: s.motion == 0, stop: -1}
	if down { // lower the pen first: assume that all of the move may mark the cloth
		return append([]step{pen}, xy...), 0
	}
	return append(xy, pen), 0
}

func (s *state) target(b *block, axis byte, now float64) float64 {
	v, ok := b.get(axis)
	switch {
	case !ok:
		return now
	case s.relative:
		return now + s.length(v)
	}
	return s.length(v)
}

// word is a letter and its number, as in X12.5.
type word struct {
	letter byte
	value  float64
}

// split reads a line of G-code into words: comments in brackets and after a
// semicolon are dropped, and so are blanks, which may be anywhere (RS-274/NGC,
// section 3.3.2). It returns false when the line is not a series of words.
func split(line string) ([]word, bool) {
	line, ok := uncomment(line)
	if !ok {
		return nil, false
	}
	var words []word
	for line != "" {
		l := line[0]
		if l < 'A' || l > 'Z' || strings.IndexByte("EOUVW", l) >= 0 { // not words: appendix E.3
			return nil, false
		}
		n := 1
		for n < len(line) && strings.IndexByte("+-.0123456789", line[n]) >= 0 {
			n++
		}
		v, err := strconv.ParseFloat(line[1:n], 64)
		if err != nil || math.Abs(v) > 1e6 {
			return nil, false
		}
		words = append(words, word{l, v})
		line = line[n:]
	}
	return words, true
}

// uncomment drops comments and blanks and folds to upper case.
func uncomment(line string) (string, bool) {
	if i := strings.IndexByte(line, ';'); i >= 0 {
		line = line[:i]
	}
	var out strings.Builder
	inside := false
	for _, r := range line {
		switch {
		case r == '(' && !inside:
			inside = true
		case r == ')' && inside:
			inside = false
		case inside || r == ' ' || r == '\t' || r == '%':
		default:
			out.WriteRune(r)
		}
	}
	return strings.ToUpper(out.String()), !inside
}
