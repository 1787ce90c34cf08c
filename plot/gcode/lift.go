package gcode

import (
	"fmt"
	"math"
	"slices"

	"weftplot/profiles"
)

// PenMove is what the program lines of a pen move do.
type PenMove struct {
	// Z tells that the lines move Z; Low and High are the least and the greatest
	// height they go to and Last the one they end at, all in mm.
	Z               bool
	Low, High, Last float64
	// Words are the words that may move a pen by something else than its height,
	// a text for each line that holds one, such as "M3 S90".
	Words []string
	// Waits is how long they wait, in s.
	Waits float64
	// Heights are the moves of Z in order.
	Heights []HeightMove
}

// HeightMove is a move of Z to a height in mm, at a feed in mm/s; 0 stands for a
// rapid move, whose speed is the controller's own.
type HeightMove struct{ To, Feed float64 }

// Takes returns the least time in s that the lines take with Z at from, mm, and
// whether they take no longer than that but for speeding up and slowing down:
// how fast a rapid move is, no line says.
func (p PenMove) Takes(from float64) (least float64, all bool) {
	least, all = p.Waits, true
	for _, m := range p.Heights {
		if m.Feed > 0 {
			least += math.Abs(m.To-from) / m.Feed
		} else if m.To != from {
			all = false
		}
		from = m.To
	}
	return least, all
}

// What the lines of a pen move may ask for. The bounds are those of the pen
// holders that are on the market for gantries, some 10 to 40 mm of stroke, and as
// much again (common practice); what is beyond them is a slip of the key.
const (
	MaxHeight = 100.0 // mm, either way: a Z axis may count from its upper end
	MaxStroke = 50.0  // mm between up and down
	MaxPlunge = 6000  // mm/min, 100 mm/s: faster than any pen holder falls
	MaxWait   = 10.0  // s; a greater number of seconds counts milliseconds
)

// penCodes are the M words, in tenths, that move pens by common practice: the
// spindle's and its S, where a servo or a magnet is in the spindle's place (M3,
// M4, M5); coolant, where air lifts the pen (M7, M8, M9); clamps (M10, M11);
// outputs that a program switches (M62 to M65); a pin, a fan's output and a
// servo (M42, M106 and M107, M280).
var penCodes = []int{30, 40, 50, 70, 80, 90, 100, 110, 420, 620, 630, 640, 650, 1060, 1070, 2800}

// neverPen are the M words, in tenths, that no profile can have for its pen: those
// that stop, end, change a tool or call something, and M112, which small
// controllers take for an emergency stop (common practice).
var neverPen = []int{m0, m1, m2, m6, m30, m60, 980, 990, 1120}

// ReadPenMove reads the lines of a pen move, with the M words that the machine's
// profile names besides those that pens have by common practice, and waits in the unit of
// the machine. Lines that do
// anything but lift, lower or wait, or more of it than a pen holder can, are an
// error that says which line and why.
func ReadPenMove(lines []string, further []string, waits profiles.WaitUnit) (PenMove, error) {
	codes := slices.Clone(penCodes)
	for _, word := range further {
		var w words
		if err := w.parse(word, nil); err != nil || len(w.m) != 1 || len(w.g) > 0 || w.has != [26]bool{} {
			return PenMove{}, fmt.Errorf("%q is no M word with its number", word)
		}
		if slices.Contains(neverPen, w.m[0]) {
			return PenMove{}, fmt.Errorf("%s stops, ends or calls something; it cannot be the word of a pen", word)
		}
		codes = append(codes, w.m[0])
	}
	l := lift{codes: codes, waits: waits}
	for _, line := range lines {
		if err := l.line(line); err != nil {
			return PenMove{}, fmt.Errorf("%q: %w", line, err)
		}
	}
	if !l.Z && len(l.Words) == 0 {
		return PenMove{}, fmt.Errorf("nothing in the lines moves a pen")
	}
	return l.PenMove, nil
}

// lift reads the lines of a pen move one by one.
type lift struct {
	PenMove
	codes  []int
	waits  profiles.WaitUnit
	motion int // noMotion until one is said
	said   bool
	feed   float64 // mm/s, 0 until an F is said
}

// line takes in one line.
func (l *lift) line(text string) error {
	var w words
	if err := w.parse(text, nil); err != nil {
		return err
	}
	switch {
	case len(w.comments) > 0 || w.percent || w.deleted || w.checksum || len(w.settings) > 0 || w.computed:
		return fmt.Errorf("it must hold words and nothing else")
	case !w.any():
		return fmt.Errorf("it asks for nothing")
	}
	for i, has := range w.has {
		if letter := byte('A' + i); has && !slices.Contains([]byte("ZFPS"), letter) {
			return fmt.Errorf("the word %c is not for a pen move, which may lift, lower and wait", letter)
		}
	}
	ofPen, err := l.mWords(&w)
	if err != nil {
		return err
	}
	if err := l.gWords(&w); err != nil {
		return err
	}
	if err := l.wait(&w, ofPen); err != nil {
		return err
	}
	return l.height(&w)
}

// gWords judges the G words and takes in the motion.
func (l *lift) gWords(w *words) error {
	for _, g := range w.g {
		switch g {
		case 0, 10:
			l.motion, l.said = g, true
		case 40, 210, 900, 940: // a wait, and the modes that programs are written in
		default:
			return fmt.Errorf("the word G%g is not for a pen move, which may lift, lower and wait", float64(g)/10)
		}
	}
	return nil
}

// mWords judges the M words and S, and keeps those of a pen.
func (l *lift) mWords(w *words) (ofPen bool, err error) {
	for _, m := range w.m {
		if !slices.Contains(l.codes, m) {
			return false, fmt.Errorf("the word M%g is not for a pen move; words that move the pen of this machine besides the usual ones are named in lift.words", float64(m)/10)
		}
	}
	if key := penKey(w); key != "" {
		l.Words = append(l.Words, key)
		return true, nil
	}
	return false, nil
}

// wait judges G4, and P, which may belong to a word of the pen.
func (l *lift) wait(w *words, ofPen bool) error {
	p, has := w.get('P')
	waits, seconds := w.hasG(40), l.waits.Seconds(p)
	switch {
	case waits && ofPen && len(w.m) > 0:
		return fmt.Errorf("a wait stands on a line of its own")
	case waits && (ofPen || !(has && p >= 0 && seconds <= MaxWait)): // S of G4 counts seconds for some
		if l.waits == profiles.InMilliseconds {
			return fmt.Errorf("the wait G4 needs P with its milliseconds, %g at most", 1000*MaxWait)
		}
		return fmt.Errorf("the wait G4 needs P with its seconds, %g at most; of a machine that counts milliseconds, the profile says so by gcode.waits", MaxWait)
	case waits:
		l.Waits += seconds
	case has && !ofPen:
		return fmt.Errorf("the word P belongs to a wait, G4, or to a word of the pen")
	}
	return nil
}

// height judges Z and F.
func (l *lift) height(w *words) error {
	if f, ok := w.get('F'); ok {
		if !(f > 0 && f <= MaxPlunge) {
			return fmt.Errorf("the word F%g is no feed for a pen; it may be up to %d mm a minute", f, MaxPlunge)
		}
		l.feed = f / 60
	}
	z, ok := w.get('Z')
	switch {
	case !ok:
		return nil
	case w.hasG(40):
		return fmt.Errorf("a wait stands on a line of its own")
	case !l.said:
		return fmt.Errorf("the word Z needs G0 or G1, as what is in force before is not known")
	case l.motion != 0 && l.feed == 0:
		return fmt.Errorf("the word G1 needs F, as what is in force before is not known")
	case math.Abs(z) > MaxHeight:
		return fmt.Errorf("the height Z%g is farther than any pen goes, %g mm", z, MaxHeight)
	}
	if !l.Z {
		l.Low, l.High = z, z
	}
	l.Z, l.Low, l.High, l.Last = true, min(l.Low, z), max(l.High, z), z
	move := HeightMove{To: z}
	if l.motion != 0 {
		move.Feed = l.feed
	}
	l.Heights = append(l.Heights, move)
	return nil
}

// CheckPenLines judges the pen lines of a profile: each lifts, lowers or waits and
// nothing else, what lifts and what lowers differ, and where Z does it up is above
// down. The error names the key, "lift.up", "lift.down" or "lift".
func CheckPenLines(l profiles.Lift, waits profiles.WaitUnit) (key string, err error) {
	up, err := ReadPenMove(l.Up, l.Words, waits)
	if err != nil {
		return "lift.up", err
	}
	down, err := ReadPenMove(l.Down, l.Words, waits)
	if err != nil {
		return "lift.down", err
	}
	switch {
	case up.Z != down.Z:
		return "lift", fmt.Errorf("one of up and down moves Z and the other does not")
	case up.Z && !(up.Last > down.Last):
		return "lift", fmt.Errorf("up, Z%g, is not above down, Z%g", up.Last, down.Last)
	case up.Z && max(up.High, down.High)-min(up.Low, down.Low) > MaxStroke:
		return "lift", fmt.Errorf("the pen goes %g mm up and down; %g mm are the most", max(up.High, down.High)-min(up.Low, down.Low), MaxStroke)
	case !up.Z && slices.Equal(up.Words, down.Words):
		return "lift", fmt.Errorf("what lifts the pen lowers it, too")
	}
	return "", nil
}

// CheckPenTimes holds the times of a profile against what its pen lines take: the
// waits, and the moves of Z at a feed. A pen starts and stops, and a controller
// takes a moment for a line, so a time may be longer by timeOver and a quarter; it
// may be longer by any amount where a rapid move, whose speed no line says, is part
// of it, but not leave that out. A word that moves the pen takes time, too, which its wait
// may cover. The lines must be good by [CheckPenLines]. The error names the key,
// "lift.up_time" or "lift.down_time".
func CheckPenTimes(l profiles.Lift, waits profiles.WaitUnit) (key string, err error) {
	up, err := ReadPenMove(l.Up, l.Words, waits)
	if err != nil {
		return "lift.up", err
	}
	down, err := ReadPenMove(l.Down, l.Words, waits)
	if err != nil {
		return "lift.down", err
	}
	if why := timeWrong(float64(l.UpTime), up, down.Last); why != "" {
		return "lift.up_time", fmt.Errorf("%s", why)
	}
	if why := timeWrong(float64(l.DownTime), down, up.Last); why != "" {
		return "lift.down_time", fmt.Errorf("%s", why)
	}
	return "", nil
}

// How far a stated time may be from what the lines take, in s: below, rounding
// only; above, what starting and stopping costs.
const (
	timeUnder = 0.005
	timeOver  = 0.2
)

// timeWrong says what is wrong with the time stated for a pen move, "" if nothing.
func timeWrong(stated float64, p PenMove, from float64) string {
	least, all := p.Takes(from)
	switch {
	case stated < least-timeUnder:
		return fmt.Sprintf("the lines take at least %.3g s, and the time is said to be %.3g s", least, stated)
	case !all && stated <= least:
		return fmt.Sprintf("the lines move the pen at a rapid, which takes time, and the time is said to be %.3g s", stated)
	case stated <= 0 && len(p.Words) > 0:
		return fmt.Sprintf("the pen is moved by %s, which takes time, and the time is said to be 0 s", p.Words[0])
	case all && stated > 1.25*least+timeOver:
		return fmt.Sprintf("the lines take about %.3g s, and the time is said to be %.3g s", least, stated)
	}
	return ""
}
