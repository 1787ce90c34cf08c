package plot

import (
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/plot/language"
	"weftplot/plot/motion"
	"weftplot/plot/program"
)

// write makes each run's program, writes it, reads its own bytes back, and
// lets it out only when they keep every rule. What is reported of a run is what
// its bytes say.
func (j *Job) write() error {
	for i := range j.Runs {
		r := &j.Runs[i]
		text, err := language.Write(j.build(*r, i), j.Inputs.Machine)
		if err != nil {
			return err
		}
		back, err := language.ReadAny(j.FileName(i), text, &j.Inputs.Machine)
		if err != nil {
			return fmt.Errorf("%s: what was written cannot be read back: %v", j.FileName(i), err)
		}
		if err := j.verify(*r, back); err != nil {
			return fmt.Errorf("%s: %w; nothing was written", j.FileName(i), err)
		}
		r.Text, r.Program = text, back
		r.Totals = program.Total(back)
		r.Timing = motion.Time(back.Blocks, motion.LimitsOf(j.Inputs.Machine))
	}
	return nil
}

// verify judges a program as it was read back against what the run asks for.
func (j *Job) verify(r Run, p program.Program) error {
	if err := rules(p, j.Inputs.Machine.Reach().Grow(j.Inputs.Machine.Step()), r.Feed); err != nil {
		return err
	}
	got := p.Strokes()
	if len(got) != len(r.Strokes) {
		return fmt.Errorf("the program holds %d strokes, not %d", len(got), len(r.Strokes))
	}
	_, within := j.shares(r.Pen)
	allowed := within + j.Inputs.Machine.Step()/2*math.Sqrt2
	for i, s := range r.Strokes {
		if d := apart(s.Stroke, got[i], allowed); d > allowed*1.1 {
			return fmt.Errorf("stroke %d of layer %q is written %.3f mm away from where it belongs", i+1, s.Layer, d)
		}
	}
	return nil
}

// apart returns how far two strokes stray from each other at most.
func apart(a, b paths.Stroke, allowed float64) float64 {
	res := allowed / 10
	return max(paths.Deviation(a, b, res), paths.Deviation(b, a, res))
}

// rules checks what must hold in any program that is let out: nothing outside
// the area, no feed above the limit, the pen up for travel, pauses and the end.
func rules(p program.Program, area paths.Rect, feed float64) error {
	down := false
	for i, b := range p.Blocks {
		where := fmt.Sprintf("block %d (line %d)", i+1, b.Line)
		switch b.Kind {
		case program.PenDown:
			down = true
		case program.PenUp:
			down = false
		case program.Travel, program.Pause, program.Pen:
			if down {
				return fmt.Errorf("%s: the pen is down where it must be up", where)
			}
		case program.Draw:
			if !down {
				return fmt.Errorf("%s: the pen is up where it must draw", where)
			}
			if b.Feed > feed*(1+1e-9) {
				return fmt.Errorf("%s: the feed is %.4g mm/s and may be %.4g", where, b.Feed, feed)
			}
		}
		if b.Curve != nil {
			if by, side := area.Excess(b.Curve.Bounds()); by > 0 {
				return fmt.Errorf("%s: it leaves the machine's area by %.3f mm at the %s", where, by, side)
			}
		}
	}
	if down {
		return fmt.Errorf("the program ends with the pen down")
	}
	return nil
}
