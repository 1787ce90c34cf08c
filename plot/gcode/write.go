// Package gcode writes and reads programs in RS-274/NGC, the language of small
// gantries, as T. Kramer, F. Proctor and E. Messina describe it in "The NIST
// RS274NGC Interpreter - Version 3", NISTIR 6556, 2000.
//
// A program is written in mm, absolute, with arcs by their centre. Each position
// is rounded by itself, to a thousandth of a mm or as coarsely as the tolerance
// allows, so rounding errors do not add up. The pen goes up and down by the lines
// in the machine's profile.
//
// The package is for pen plotters in the XY plane. It is not an interpreter for
// milling: tool lengths, cutter radii, other planes and feeds by inverse time are
// noted and not followed. Writing takes time linear in the number of blocks, with
// a bounded search for each arc; reading is linear in the length of the text.
package gcode

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// aLine is about how many bytes a block takes.
const aLine = 16

// maxLine is the longest line written, in characters, without its end.
const maxLine = 80

// Write returns p as the text of a program for m: remarks, the modes, the pen
// lifted before anything moves, the blocks, and M2. The last Travel of p parks the
// pen. The pen is up before every travel, pause and pen change and at the end,
// whether p says so or not. The calibration of m is divided out.
//
// A curve shorter than the rounding is not written, so no move has zero length; a
// pen set down and lifted in place is a dot. Cubics, and arcs that an
// uneven calibration turns into ellipses, are written as arcs within 0.005 mm.
// Each number has as few decimals as keep the line within p.Tolerance of the
// curve, a thousandth and a half of a mm at least. The error is a [fault.Error]
// that names the block, from 1, or that of ctx once it is over.
func Write(ctx context.Context, p program.Program, m profiles.Machine) ([]byte, error) {
	return WriteTold(ctx, p, m, nil)
}

// WriteTold is [Write] for long programs: it tells now and then how many of its blocks are
// written, unless tell is nil.
func WriteTold(ctx context.Context, p program.Program, m profiles.Machine, tell func(done, total int)) ([]byte, error) {
	return write(ctx, p, m, aStretch, tell)
}

// write writes p in stretches of so many blocks.
func write(ctx context.Context, p program.Program, m profiles.Machine, stretch int, tell func(done, total int)) ([]byte, error) {
	w := newWriter(p, m)
	w.out.Grow(aLine * (len(p.Blocks) + 64))
	w.line("(" + madeFor + plain(m.Name) + ")")
	first := 0
	for ; first < len(p.Blocks) && p.Blocks[first].Kind == program.Remark; first++ {
		w.remark(p.Blocks[first].Text)
	}
	w.line(w.words("G21 G17 G90 G94")) // mm, the XY plane, absolute, feed in units per minute
	w.lift(m.Lift.Up, false)
	if err := w.share(ctx, p, first, stretch, tell); err != nil {
		return nil, err
	}
	w.penUp()
	w.line("M2")
	return w.out.Bytes(), nil
}

// newWriter returns a writer at the beginning of p.
func newWriter(p program.Program, m profiles.Machine) *writer {
	w := &writer{m: m, within: max(p.Tolerance, leastBudget)}
	reach, count := m.Reach(), w.commanded()
	w.reach = paths.RectOf(count.Apply(reach.Min), count.Apply(reach.Max))
	return w
}

// run writes the blocks from number from up to before number to.
func (w *writer) run(ctx context.Context, blocks []program.Block, from, to int) error {
	for i := from; i < to; i++ {
		if i%4096 == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		b := &blocks[i]
		followedByPause := i+1 < len(blocks) && blocks[i+1].Kind == program.Pause
		w.allow(b, blocks[i+1:])
		if err := w.block(*b, followedByPause); err != nil {
			return fault.Bad(fmt.Sprintf("block %d of the program", i+1), "", "%v", err)
		}
	}
	return nil
}

// Comments of ours that mean something begin with ours, and no other comment that
// is written does. The first line of a program has the version of their form, 1,
// and names the machine: "(weftplot:1 machine practice)".
const (
	ours    = "weftplot:"
	madeFor = ours + "1 machine "
	penWord = ours + "pen " // the pen in the holder
)

// What is written may stray from the curve by the budget. Of it a coordinate
// takes slipShare at most, so that a rounded point takes √2 times that and
// leaves the rest to the centres of arcs.
const (
	leastBudget = 0.0015 // mm
	leastSlip   = 0.0005 // mm: half of the finest step that is written
	slipShare   = 0.5
	mostSlip    = 0.01 // mm: what a curve spares goes to its centre or radius rather than to its ends
)

type writer struct {
	m            profiles.Machine
	out          bytes.Buffer
	reach        paths.Rect // of the machine, in its own count
	within       float64    // what every block may stray, mm
	budget, slip float64    // of the block: what it may stray, and a coordinate of its end, mm
	written

	tenths     float64 // of mm a minute: the feed that was put into a word last
	tenthsWord string
	lifts      map[string]liftLine // the profile's lines for pen moves that were written
}

// written is the state that what is written leaves. A block's words depend on that of the
// blocks before it and on nothing else of theirs.
type written struct {
	at    [2]int64    // where the pen is, in thousandths of a mm
	exact paths.Point // where it would be without rounding, mm
	said  bool        // whether a position was written yet
	down  bool
	pen   int // the pen in the holder, 0 until one is named
	// motion and feed are the words in force, "" where they are not known.
	motion, feed string
}

// liftLine is a line of the profile as it is written, and the words it says; nil where it
// cannot be read.
type liftLine struct {
	text string
	said *words
}

// allow sets what a block may stray. The end of a curve is a place of the next one too:
// where that is drawn, both allow what the stricter does, and where the stroke ends it
// keeps what every block may.
func (w *writer) allow(b *program.Block, next []program.Block) {
	w.budget = w.within + b.Spare
	end := w.within
	if b.Kind == program.Draw && len(next) > 0 && next[0].Kind == program.Draw {
		end += min(b.Spare, next[0].Spare)
	}
	w.slip = min(max(leastSlip, slipShare*end), max(mostSlip, slipShare*w.within))
}

func (w *writer) line(s string) {
	w.out.WriteString(s)
	w.out.WriteByte('\n')
}

// block writes one block.
func (w *writer) block(b program.Block, followedByPause bool) error {
	switch b.Kind {
	case program.Travel:
		w.penUp()
		return w.travel(b)
	case program.Draw:
		w.penDown()
		return w.draw(b)
	case program.PenUp:
		w.penUp()
	case program.PenDown:
		w.penDown()
	case program.Pen:
		w.changePen(b.Number, followedByPause)
	case program.Dwell:
		if b.Seconds < 0 || b.Seconds > 1e5 || math.IsNaN(b.Seconds) {
			return fmt.Errorf("a wait of %g s cannot be written", b.Seconds)
		}
		w.line(w.words("G4 P" + w.number(int64(math.Round(w.m.GCode.Waits.Of(b.Seconds)*1000)), 3)))
	case program.Pause:
		w.pause(b.Text)
	case program.Remark:
		w.remark(b.Text)
	default:
		return fmt.Errorf("there is no block of kind %d", b.Kind)
	}
	return nil
}

// lift writes the profile's lines, and keeps track of the modes they leave.
func (w *writer) lift(lines []string, down bool) {
	for _, l := range lines {
		known, ok := w.lifts[l]
		if !ok {
			known.text = w.words(l)
			if said := (words{}); said.parse(l, nil) == nil {
				known.said = &said
			}
			if w.lifts == nil {
				w.lifts = map[string]liftLine{}
			}
			w.lifts[l] = known
		}
		w.line(known.text)
		w.follow(known.said)
	}
	w.down = down
}

// follow updates the words in force after a line of the profile that says words: another
// motion ends the one in force, a feed takes its place, and a line that cannot be read, nil,
// or that sets units or the kind of feed ends both.
func (w *writer) follow(said *words) {
	if said == nil {
		w.motion, w.feed = "", ""
		return
	}
	for _, g := range said.g {
		switch {
		case g == 0:
			w.motion = "G0"
		case g == 10:
			w.motion = "G1"
		case groups.of(g) == 1:
			w.motion = ""
		}
		if group := groups.of(g); group == 5 || group == 6 { // the kind of feed, and units: NISTIR 6556, table 4
			w.motion, w.feed = "", ""
			return
		}
	}
	if feed, ok := said.get('F'); ok {
		w.feed = ""
		if tenths := math.Round(feed * 10); tenths/10 == feed && tenths >= 1 && tenths < 1e9 {
			w.feed = "F" + w.number(int64(tenths), 1)
		}
	}
}

func (w *writer) penUp() {
	if w.down {
		w.lift(w.m.Lift.Up, false)
	}
}

func (w *writer) penDown() {
	if !w.down {
		w.lift(w.m.Lift.Down, true)
	}
}

// changePen names the pen that follows, and stops for it unless it is the first
// one or a pause with its own words comes next.
func (w *writer) changePen(number int, followedByPause bool) {
	w.penUp()
	w.line("(" + penWord + strconv.Itoa(number) + ")")
	if w.pen != 0 && number != w.pen && !followedByPause {
		w.pause(fmt.Sprintf("put pen %d in the holder", number))
	}
	w.pen = number
}

func (w *writer) pause(text string) {
	w.penUp()
	if words := plain(text); words != "" {
		w.line("(" + message + cut(words, maxLine-len(message)-2) + ")")
	}
	w.line("M0")
	w.motion, w.feed = "", "" // the person may have changed the modes meanwhile
}

// message opens a comment that is shown to the person at the machine: NISTIR
// 6556, 3.3.4.
const message = "MSG, "

func (w *writer) remark(text string) {
	for _, l := range strings.Split(text, "\n") {
		for _, part := range wrap(plain(l), maxLine-2-len(harmless)) {
			w.line("(" + inert(part) + ")")
		}
	}
}

// inert returns the text of a comment so that it does nothing and means nothing: a
// machine acts on one that begins with a word and a comma, as MSG, or with LOG or
// PROBE (NISTIR 6556, 3.3.4, and common practice), and our reader on one that
// begins as ours do.
func inert(text string) string {
	word := strings.TrimLeftFunc(text, unicode.IsLetter)
	head := strings.ToLower(text)
	acts := strings.HasPrefix(strings.TrimSpace(word), ",") || strings.HasPrefix(head, "weftplot")
	for _, open := range []string{"msg", "log", "probe"} {
		acts = acts || strings.HasPrefix(head, open)
	}
	if acts {
		return harmless + text
	}
	return text
}

// harmless opens a comment that would mean something without it.
const harmless = "- "
