package gcode

import (
	"fmt"
	"slices"
	"strings"

	"weftplot/plot/program"
)

// groups are the modal groups of G words, by tenths: NISTIR 6556, table 4. Two
// of one group may not stand on a line. Group 0 are those in force for one line.
// G90.1 and G91.1 are a group that the report has not (common practice).
var groups = func() map[int]int {
	g := map[int]int{}
	for group, codes := range map[int][]int{
		1: {0, 10, 20, 30, 382, 800, 810, 820, 830, 840, 850, 860, 870, 880, 890},
		2: {170, 180, 190}, 3: {900, 910}, 4: {901, 911}, 5: {930, 940}, 6: {200, 210},
		7: {400, 410, 420}, 8: {430, 490}, 10: {980, 990},
		12: {540, 550, 560, 570, 580, 590, 591, 592, 593}, 13: {610, 611, 640},
		20: {40, 100, 280, 300, 530, 920, 921, 922, 923}, // group 0
	} {
		for _, c := range codes {
			g[c] = group
		}
	}
	return g
}()

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
	if s, ok := r.w.get('S'); ok {
		r.turning, r.saidS = s, true
		r.spindle(r.spin)
	}
	for _, m := range r.w.m {
		switch m {
		case m6:
			r.lift(false)
			r.add(program.Block{Kind: program.Pen, Number: r.tool})
		case m3, m4:
			r.spindle(true)
		case m5:
			r.spindle(false)
		}
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
		group, known := groups[g]
		if !known {
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

// report notes what is not done: words that are not of the language, and words
// of it that a pen plotter has no use for.
func (r *reader) report() {
	for _, g := range r.w.g {
		if !followed(g) {
			r.notes.Add("unknown-word", r.line, "G%g is not followed", float64(g)/10)
		}
	}
	for _, m := range r.w.m {
		if !slices.Contains(knownM, m) {
			r.notes.Add("unknown-word", r.line, "M%g is not followed", float64(m)/10)
		}
	}
	for i, has := range r.w.has {
		switch letter := byte('A' + i); {
		case !has:
		case letter == 'K' && r.plane == 170:
			r.notes.Add("unknown-word", r.line, "K has no meaning for an arc in XY")
		case letter != 'K' && strings.IndexByte("XYZIJRFLPST", letter) < 0:
			r.notes.Add("unknown-word", r.line, "%c is not followed", letter)
		}
	}
}

// followed reports whether a G word, in tenths, does here what it does on a
// machine. G40 and G49, which end what is not followed, do.
func followed(g int) bool {
	switch group := groups[g]; group {
	case 0: // no word of the language
		return false
	case 7:
		return g == 400
	case 8:
		return g == 490
	}
	return g != 382
}

// knownM are the M words that are followed or have no bearing on a pen: besides
// those with names coolant, and the switches of the overrides.
var knownM = []int{m0, m1, m2, m30, m60, m3, m4, m5, m6, 70, 80, 90, 480, 490}

// modes sets what stays in force, and waits where G4 says so.
func (r *reader) modes() error {
	for _, g := range r.w.g {
		r.mode(g)
	}
	if f, ok := r.w.get('F'); ok {
		r.feed = f * r.unit / 60
		if !r.perMinute {
			r.feed = 0
			r.notes.Once("inverse-time", r.line, "feeds by inverse time are not followed")
		}
	}
	if r.w.hasG(40) {
		return r.dwell()
	}
	return nil
}

// mode sets the mode of a G word, in tenths, if it is one of a mode.
func (r *reader) mode(g int) {
	switch groups[g] {
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
		return fmt.Errorf("G4 needs P with its seconds")
	}
	if p >= longDwell {
		r.notes.Add("long-dwell", r.line, "G4 P%g waits that many seconds; some machines count it in ms", p)
	}
	if p > 0 {
		r.add(program.Block{Kind: program.Dwell, Seconds: p})
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
