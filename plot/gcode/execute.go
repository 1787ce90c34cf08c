package gcode

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"weftplot/plot/program"
	"weftplot/profiles"
)

// groups are the modal groups of G words, by tenths: NISTIR 6556, table 4. Two
// of one group may not stand on a line. Group 0 are those in force for one line.
// G90.1 and G91.1 are a group that the report has not (common practice).
var groups = func() groupTable {
	var g groupTable
	for group, codes := range map[int][]int{
		1: {0, 10, 20, 30, 382, 800, 810, 820, 830, 840, 850, 860, 870, 880, 890},
		2: {170, 180, 190}, 3: {900, 910}, 4: {901, 911}, 5: {930, 940}, 6: {200, 210},
		7: {400, 410, 420}, 8: {430, 490}, 10: {980, 990},
		12: {540, 550, 560, 570, 580, 590, 591, 592, 593}, 13: {610, 611, 640},
		20: {40, 100, 280, 300, 530, 920, 921, 922, 923}, // group 0
	} {
		for _, c := range codes {
			g[c] = uint8(group)
		}
	}
	return g
}()

// groupTable holds the group of each G word by its tenths, 0 for those of none.
type groupTable [1000]uint8

func (t *groupTable) of(g int) int {
	if g < 0 || g >= len(t) {
		return 0
	}
	return int(t[g])
}

// M words in tenths: those that stop, those of the spindle, the tool change.
const (
	m0, m1, m2, m30, m60 = 0, 10, 20, 300, 600
	m3, m4, m5, m6       = 30, 40, 50, 60
)

// execute does what the line says, in the order of NISTIR 6556, table 8.
func (r *reader) execute() error {
	if err := r.oneOfEach(); err != nil {
		return err
	}
	r.report()
	if f, ok := r.w.get('F'); ok && f < 0 {
		return fmt.Errorf("the feed %g is negative", f)
	}
	if t, ok := r.w.get('T'); ok {
		r.tool = int(t)
	}
	r.penWords()
	if slices.Contains(r.w.m, m6) {
		r.lift(false)
		r.add(program.Block{Kind: program.Pen, Number: r.tool})
	}
	if err := r.modes(); err != nil {
		return err
	}
	if err := r.motionOf(); err != nil {
		return err
	}
	r.stops()
	return nil
}

// oneOfEach refuses two words of one group.
func (r *reader) oneOfEach() error {
	var seen [21]bool
	for _, g := range r.w.g {
		group := groups.of(g)
		if group == 0 {
			continue
		}
		if seen[group] {
			return fmt.Errorf("two G words of one kind stand on the line, the second is G%g", float64(g)/10)
		}
		seen[group] = true
	}
	stop, spindle := false, false
	for _, m := range r.w.m {
		switch m {
		case m0, m1, m2, m30, m60:
			if stop {
				return fmt.Errorf("two M words that stop stand on the line")
			}
			stop = true
		case m3, m4, m5:
			if spindle {
				return fmt.Errorf("two of M3, M4 and M5 stand on the line")
			}
			spindle = true
		}
	}
	return nil
}

// penWords does the words that may move the pen beside its height: those of the
// spindle, as the machine's own pen lines have them, or else by the rule in force.
func (r *reader) penWords() {
	s, hasS := r.w.get('S')
	if hasS {
		r.turning, r.saidS = s, true
	}
	if down, known := r.pen.words[penKey(&r.w)]; known && r.rule.kind == byWords {
		r.moves.said = true
		r.lift(down)
		return
	}
	if hasS {
		r.spindle(r.spin)
	}
	for _, m := range r.w.m {
		switch m {
		case m3, m4:
			r.spindle(true)
		case m5:
			r.spindle(false)
		}
	}
}

// report notes what is not done: words that are not of the language, words of it
// that are not followed here, and those whose doing only the machine knows.
func (r *reader) report() {
	for _, g := range r.w.g {
		if why := strangeG(g); why != "" {
			r.doubt("unknown-word", "G%g %s", float64(g)/10, why)
		}
	}
	key := penKey(&r.w)
	_, ofPen := r.pen.words[key]
	for _, m := range r.w.m {
		if why := strangeM(m, key != "" && !ofPen && r.pen.known); why != "" && !ofPen {
			r.doubt("unknown-word", "M%g %s", float64(m)/10, why)
		}
	}
	r.reportOfPen(key != "" && !ofPen)
	r.reportLetters()
}

// reportOfPen notes the words beside M that are for other pens or for tools;
// foreign tells that S is one.
func (r *reader) reportOfPen(foreign bool) {
	if len(r.w.m) == 0 && foreign && r.pen.known {
		r.doubt("unknown-word", "S %s", notOfPen)
	}
	if _, z := r.w.get('Z'); z && r.pen.known && !r.pen.hasZ {
		r.doubt("unknown-word", "Z %s", notOfPen)
	}
	if _, t := r.w.get('T'); t {
		r.doubt("unknown-word", "T chooses a tool; what is in the machine's holder then, only the machine knows")
	}
}

// reportLetters notes the letters that have no meaning here.
func (r *reader) reportLetters() {
	if o := r.w.oWord; o != "" {
		r.doubt("o-word", "%s", oWordIs(o))
	}
	for i, has := range r.w.has {
		switch letter := byte('A' + i); {
		case !has:
		case letter == 'K' && r.plane == 170:
			r.doubt("unknown-word", "K has no meaning for an arc in XY")
		case letter != 'K' && strings.IndexByte("XYZIJRFLPST", letter) < 0:
			r.doubt("unknown-word", "%c is not followed", letter)
		}
	}
}

// oWordIs says what an O word is: with a number alone the number of a program, by
// ISO 6983, where a colon may stand for O (from memory); with more than words of one
// letter after it a subroutine, a loop or a branch, an extension of some controllers
// (common practice).
func oWordIs(o string) string {
	after := strings.TrimLeft(o[1:], " \t0123456789")
	switch {
	case after == "" && o[0] == ':':
		return "the colon gives the program a number, which many controllers do not know"
	case after == "":
		return "O gives the program a number, which many controllers do not know"
	case after != o[1:] && isLetter(after[0]) && (len(after) == 1 || !isLetter(after[1])), o[0] == ':':
		return "it gives the program a number, which many controllers do not know; the words after that are not followed"
	}
	return "O opens, ends or calls a subroutine, a loop or a branch, which is not followed: its lines are shown once, in the order in which they stand"
}

// strangeG returns why a G word, in tenths, is not wholly understood, "" if it
// is. G40 and G49, which end what is not followed, are.
func strangeG(g int) string {
	switch group := groups.of(g); {
	case group == 0, group == 7 && g != 400, group == 8 && g != 490, g == 382:
		return "is not followed"
	case g == 180, g == 190:
		return "leaves the XY plane, and arcs with it"
	case g == 930:
		return "counts feeds by inverse time, which is not followed"
	case g == 901:
		return "counts the centres of arcs as positions, which not every machine does"
	case g > noMotion && g <= 890:
		return "is a drilling cycle; machines differ in how they do it"
	case group == 12 && g != 540, g == 530:
		return "counts from an origin that only the machine knows"
	case g == 280, g == 300:
		return "goes to a home that only the machine knows"
	case group == 20 && g != 40:
		return "changes what the machine counts from, and leaves it changed"
	}
	return ""
}

// notOfPen is why a word is not wholly understood that moves pens elsewhere.
const notOfPen = "is no word of this machine's own pen lines, so what it does to the pen is not known"

// strangeM is [strangeG] for M words; foreign tells that the words of the line
// that may move a pen are none of the machine's own.
func strangeM(m int, foreign bool) string {
	switch m {
	case m0, m1, m2, m30, m60, 480, 490:
		return ""
	case m3, m4, m5, 70, 80, 90:
		if foreign {
			return notOfPen
		}
		return ""
	case m6:
		return "changes the tool in a way that only the machine knows"
	}
	return "is not followed"
}

// modes sets what stays in force, and waits where G4 says so.
func (r *reader) modes() error {
	for _, g := range r.w.g {
		r.mode(g)
	}
	if f, ok := r.w.get('F'); ok {
		r.feed = f * r.unit / 60
		if !r.perMinute {
			r.feed = 0
		}
	}
	if r.w.hasG(40) {
		return r.dwell()
	}
	return nil
}

// mode sets the mode of a G word, in tenths, if it is one of a mode.
func (r *reader) mode(g int) {
	switch groups.of(g) {
	case 2:
		r.plane = g
	case 3:
		r.incremental = g == 910
	case 4:
		r.fromZero = g == 901
	case 5:
		r.perMinute = g == 940
	case 6:
		r.unit = 1
		if g == 200 {
			r.unit = 25.4
		}
	case 12:
		r.choose(g)
	}
}

// dwell does G4.
func (r *reader) dwell() error {
	p, ok := r.w.get('P')
	if !ok || p < 0 {
		return fmt.Errorf("G4 needs P with its %s", cmp.Or(r.waits, profiles.InSeconds))
	}
	seconds := r.waits.Seconds(p)
	switch {
	case seconds < longDwell:
	case r.waits == profiles.InMilliseconds:
		r.notes.Add("long-dwell", r.line, "G4 P%g waits %.4g s", p, seconds)
	default:
		r.notes.Add("long-dwell", r.line, "G4 P%g waits that many seconds; some machines count it in ms", p)
	}
	if seconds > 0 {
		r.add(program.Block{Kind: program.Dwell, Seconds: seconds})
	}
	return nil
}

// stops does the M words that come after the motion.
func (r *reader) stops() {
	for _, m := range r.w.m {
		switch m {
		case m0, m1, m60:
			r.add(program.Block{Kind: program.Pause, Text: r.message})
			r.message = ""
		case m2, m30:
			r.ended = true
		}
	}
	if r.w.any() {
		r.flush()
	}
}

// longDwell is a wait, in s, that nobody means.
const longDwell = 100
