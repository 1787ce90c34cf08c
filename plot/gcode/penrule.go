package gcode

import (
	"fmt"
	"math"

	"weftplot/plot/program"
)

// A penRule says which words of a program lower and lift the pen.
type penRule struct {
	kind ruleKind
	// edge is the height in mm, or the S, between up and down.
	edge float64
	// above reports that the pen is down where S is above the edge.
	above bool
	// ofMachine tells that the edge is that of the machine's own pen lines.
	ofMachine bool
}

type ruleKind int

const (
	byWords  ruleKind = iota // Z of 0 and below, M3, M4 and M5
	byHeight                 // Z alone
	byServo                  // S alone
	byRapid                  // G0 is made with the pen up, all else with it down
)

// usual is the rule unless the moves of a program point to another.
var usual = penRule{}

// String describes the rule for a person.
func (p penRule) String() string {
	switch p.kind {
	case byHeight:
		return fmt.Sprintf("the heights of its moves tell what lowers the pen here: Z of %.4g mm and below is taken for pen down", p.edge)
	case byServo:
		word := "below"
		if p.above {
			word = "above"
		}
		return fmt.Sprintf("S tells what lowers the pen here: S %s %.4g is taken for pen down", word, p.edge)
	case byRapid:
		return "nothing lowers the pen here: rapid moves are taken for travel, all others for drawing"
	}
	return "Z of 0 and below, M3 and M4 are taken for pen down"
}

func (p penRule) byHeight() bool { return p.kind == byWords || p.kind == byHeight }

// low reports whether the pen is down at a height.
func (p penRule) low(z float64) bool {
	if p.ofMachine {
		return z <= p.edge+heightSlack
	}
	return z <= p.edge || p.kind == byWords && z <= 0
}

// before puts the pen where the rule has it for the move that follows.
func (p penRule) before(r *reader) {
	if p.kind == byRapid {
		r.lift(r.motion != 0)
	}
}

// spindle takes in that the spindle turns or does not, and what its S is: a
// spindle at S 0 does not turn.
func (r *reader) spindle(on bool) {
	r.moves.said = true
	changed := on != r.spin || r.w.has['S'-'A']
	r.spin = on
	switch {
	case !changed:
	case r.rule.kind == byServo:
		r.lift(r.saidS && (r.turning > r.rule.edge) == r.rule.above)
	case r.rule.kind == byWords:
		r.lift(on && !(r.saidS && r.turning == 0))
	}
}

// lift puts the pen up or down, if it is not there.
func (r *reader) lift(down bool) {
	if down == r.penDown {
		return
	}
	kind := program.PenUp
	if down {
		kind = program.PenDown
	}
	r.penDown = down
	r.add(program.Block{Kind: kind})
}

// penAt puts the pen where the height z has it.
func (r *reader) penAt(z float64) {
	if math.IsNaN(z) {
		return
	}
	r.z, r.saidZ = z, true
	r.moves.said = true
	r.judgeHeight(z)
	if r.rule.byHeight() {
		r.lift(r.rule.low(z))
	}
}

// A survey counts how a program moves, to find out what lowers the pen.
type survey struct {
	said              bool // a word that may lower or lift the pen is there
	drawn, rapidDrawn int  // moves with the pen down: at a feed, and rapid
	feeds             int
	feedZ, rapidZ     limits // heights of the moves
	feedS, rapidS     limits
}

// limits are the least and the greatest of some numbers.
type limits struct {
	low, high float64
	any       bool
}

func (l *limits) include(v float64) {
	if !l.any {
		*l = limits{v, v, true}
	}
	l.low, l.high = min(l.low, v), max(l.high, v)
}

// join includes what other limits do.
func (l *limits) join(other limits) {
	if other.any {
		l.include(other.low)
		l.include(other.high)
	}
}

// below returns the value halfway between the limits and higher ones, and false
// if they are not all lower.
func (l limits) below(higher limits) (edge float64, ok bool) {
	return (l.high + higher.low) / 2, l.any && higher.any && l.high < higher.low
}

// count takes in a move along the cloth.
func (s *survey) count(r *reader, rapid bool) {
	z, turning := &s.feedZ, &s.feedS
	if rapid {
		z, turning = &s.rapidZ, &s.rapidS
	} else {
		s.feeds++
	}
	switch {
	case r.penDown && rapid:
		s.rapidDrawn++
	case r.penDown:
		s.drawn++
	}
	if _, aslant := r.w.get('Z'); r.saidZ && !aslant {
		z.include(r.z)
	}
	if r.saidS {
		turning.include(r.turning)
	}
}

// join takes in the moves of another survey.
func (s *survey) join(other survey) {
	s.said = s.said || other.said
	s.drawn, s.rapidDrawn, s.feeds = s.drawn+other.drawn, s.rapidDrawn+other.rapidDrawn, s.feeds+other.feeds
	s.feedZ.join(other.feedZ)
	s.rapidZ.join(other.rapidZ)
	s.feedS.join(other.feedS)
	s.rapidS.join(other.rapidS)
}

// rule returns the rule that the moves tell, and whether it is another than the
// usual one: where that draws nothing, or draws rapid moves, the pen is down
// where the moves at a feed are lower, or have another S, than the rapid ones.
func (s survey) rule() (penRule, bool) {
	if s.feeds == 0 || s.drawn > 0 && s.rapidDrawn == 0 {
		return usual, false
	}
	if rule, ok := s.heightRule(); ok {
		return rule, true
	}
	if rule, ok := s.servoRule(); ok {
		return rule, true
	}
	if !s.said {
		return penRule{kind: byRapid}, true
	}
	return usual, false
}

// heightRule parts the moves by their heights: those at a feed from the rapid
// ones, or else, where nothing is drawn and no rapid move is as low, the lowest
// at a feed from the highest.
func (s survey) heightRule() (penRule, bool) {
	f, q := s.feedZ, s.rapidZ
	if edge, ok := f.below(q); ok {
		return penRule{kind: byHeight, edge: edge}, true
	}
	if s.drawn == 0 && f.any && f.low < f.high && !(q.any && q.low <= f.low) {
		return penRule{kind: byHeight, edge: (f.low + f.high) / 2}, true
	}
	return usual, false
}

// servoRule parts the moves at a feed from the rapid ones by their S.
func (s survey) servoRule() (penRule, bool) {
	if edge, ok := s.feedS.below(s.rapidS); ok {
		return penRule{kind: byServo, edge: edge}, true
	}
	if edge, ok := s.rapidS.below(s.feedS); ok {
		return penRule{kind: byServo, edge: edge, above: true}, true
	}
	return usual, false
}
