package report

import (
	"context"
	"fmt"

	"weftplot/paths"
	"weftplot/plot"
	"weftplot/plot/language"
	"weftplot/plot/motion"
)

// warnLine says where the machine's serial line is too slow for the motion, and
// which baud rate or tolerance would do.
func (c *collector) warnLine() {
	m := c.Inputs.Machine
	for i, r := range c.PenRuns {
		pace := motion.PaceIn(r.Timing, r.Program.Blocks, m)
		if pace.Late == 0 {
			continue
		}
		c.warnf(nil, "slow-line", "over a line of %d baud %d moves of %s come later than the machine could draw them, so its pen crawls or stands while its ink spreads: %s",
			m.Serial.Baud, pace.Late, r.File, fasterLine(c.Job, i, pace.Baud))
	}
}

// fasterLine says what would let the line keep up with a pen run.
func fasterLine(j plot.Job, run, baud int) string {
	tolerance, ok := coarseEnough(j, run)
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

// tolerances are tried, in mm, when the job's own takes too many bytes. A deviation
// larger than the last, about the width of a fine line, would be visible.
var tolerances = []paths.Length{0.1, 0.15, 0.2, 0.3, 0.4, 0.5}

// coarseEnough returns the least of the tolerances that lets the line keep up
// with a pen run, and false if none does. The strokes are fitted and written anew
// for each tolerance; snapping, registration and order stay. For a blade there is
// none: the path of its holder does not get shorter with the tolerance.
func coarseEnough(j plot.Job, run int) (paths.Length, bool) {
	if j.PenRuns[run].Pen.Blade {
		return 0, false
	}
	for _, t := range tolerances {
		if t <= j.Settings.Tolerance {
			continue
		}
		late, err := lateAt(j, run, t)
		if err != nil {
			return 0, false
		}
		if late == 0 {
			return t, true
		}
	}
	return 0, false
}

// lateAt returns how many moves of a pen run would come too late at another
// tolerance.
func lateAt(j plot.Job, run int, tolerance paths.Length) (int, error) {
	ctx := context.Background() // nothing here takes long
	coarse := j.Ordered
	coarse.Settings.Tolerance = tolerance
	fitted, err := plot.Fit(ctx, coarse, plot.Options{})
	if err != nil {
		return 0, err
	}
	written, err := plot.Write(ctx, fitted, plot.Options{})
	if err != nil {
		return 0, err
	}
	p, err := language.ReadAny(ctx, j.PenRuns[run].File, written.Texts[run], &j.Inputs.Machine)
	return motion.PaceOf(p.Blocks, j.Inputs.Machine).Late, err
}
