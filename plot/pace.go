package plot

import (
	"fmt"

	"weftplot/paths"
	"weftplot/plot/fit"
	"weftplot/plot/language"
	"weftplot/plot/motion"
)

// warnLine says where the machine's serial line is too slow for the motion, and
// which baud rate or tolerance would do.
func (j *Job) warnLine() {
	m := j.Inputs.Machine
	for i, r := range j.Runs {
		pace := motion.PaceOf(r.Program.Blocks, m)
		if pace.Late == 0 {
			continue
		}
		j.warnf(nil, "slow-line", "over a line of %d baud %d moves of %s come later than the machine could draw them, so its pen crawls or stands while its ink spreads: %s",
			m.Serial.Baud, pace.Late, j.FileName(i), j.fasterLine(i, pace.Baud))
	}
}

// fasterLine says what would let the line keep up.
func (j *Job) fasterLine(run, baud int) string {
	tolerance, ok := j.coarseEnough(run)
	switch {
	case baud > 0 && ok:
		return fmt.Sprintf("%d baud would do, or a tolerance of %s", baud, tolerance)
	case baud > 0:
		return fmt.Sprintf("%d baud would do", baud)
	case ok:
		return fmt.Sprintf("a tolerance of %s would do", tolerance)
	}
	return fmt.Sprintf("no usual baud rate would do, nor a tolerance of up to %s; draw slower", tolerances[len(tolerances)-1])
}

// tolerances are those that are tried in place of one that takes too many bytes,
// in mm. Beyond the last, about the width of a fine line, it would show.
var tolerances = []paths.Length{0.1, 0.15, 0.2, 0.3, 0.4, 0.5}

// coarseEnough returns the least of the tolerances that lets the line keep up
// with a run, and false if none does. The strokes are fitted and written anew
// for each; snapped, registered and ordered they are already. A blade's holder
// goes ways of its own, which no tolerance shortens.
func (j *Job) coarseEnough(run int) (paths.Length, bool) {
	r := j.Runs[run]
	if len(r.Asked) == 0 {
		return 0, false
	}
	for _, t := range tolerances {
		if t <= j.Settings.Tolerance {
			continue
		}
		coarse, cr := *j, r
		coarse.Settings.Tolerance = t
		within, _ := coarse.shares(r.Pen)
		cr.Strokes = make([]Stroke, len(r.Strokes))
		for i, s := range r.Strokes {
			cr.Strokes[i] = Stroke{fit.Arcs(r.Asked[i], within), s.Layer}
		}
		text, err := language.Write(coarse.build(cr, run), j.Inputs.Machine)
		if err != nil {
			return 0, false
		}
		p, err := language.ReadAny(j.FileName(run), text, &j.Inputs.Machine)
		if err != nil {
			return 0, false
		}
		if motion.PaceOf(p.Blocks, j.Inputs.Machine).Late == 0 {
			return t, true
		}
	}
	return 0, false
}
