package plot

import (
	"context"
	"fmt"

	"weftplot/paths"
	"weftplot/paths/cores"
	"weftplot/paths/deviation"
	"weftplot/plot/language"
	"weftplot/plot/motion"
	"weftplot/plot/program"
)

// Job is a whole job, ready to be reported on, shown and sent. It is never changed
// once it is returned.
type Job struct {
	Fitted
	// PenRuns are the programs, in the order in which they are drawn.
	PenRuns []PenRun
	// Kit says how copies of the rug lie on one cloth, nil for a single rug. What the job
	// holds of a rug is then the first copy's, and PenRuns are those of all loads.
	Kit *Kit
	// Panels says how the parts of a rug that is drawn in several loads hang together, nil
	// for any other.
	Panels *Panels
	// Loads are the layings of the cloth on the machine, in their order; none for a rug
	// that is drawn at once.
	Loads []Load
}

// PenRun is what one pen draws from leaving home to parking: one program. What it
// says of itself is what its text says, read back.
type PenRun struct {
	Tour
	// Ways are what the pen, or a blade's holder, follows; see [Fitted].
	Ways []Stroke
	// File is the name of the program in the job folder.
	File    string
	Text    []byte
	Program program.Program // as Text reads back
	Timing  motion.Timing   // under the machine's look-ahead
	Totals  program.Totals  // of Program
}

// Verify reads each program back and judges it: the strokes that were asked for
// and no others, each within the tolerance; nothing outside the machine's area; no
// feed above the limit; the pen up for travel, pauses and the end. A program that
// breaks a rule is an error that says where, and there is no job. It tells
// opt.Progress how far it is.
func Verify(ctx context.Context, w Written, opt Options) (Job, error) {
	j := Job{Fitted: w.Fitted, PenRuns: make([]PenRun, len(w.Tours))}
	total := 0
	for _, ways := range w.Ways {
		total += (1 + judging + 1) * len(ways) // to read, to judge, and to time
	}
	meter := opt.meter(Verifying, total)
	err := cores.Each(ctx, len(w.Tours), func(i int) (err error) {
		j.PenRuns[i], err = w.verify(ctx, i, meter)
		return err
	})
	if err != nil {
		return Job{}, err
	}
	return j, nil
}

// judging is how many times as long it takes to judge a stroke as to read it, or to time it.
const judging = 8

// verify reads the program of a tour back and judges it.
func (w Written) verify(ctx context.Context, i int, meter *cores.Meter) (PenRun, error) {
	m := w.Inputs.Machine
	r := PenRun{Tour: w.Tours[i], Ways: w.Ways[i], File: w.FileName(i), Text: w.Texts[i]}
	back, err := language.ReadAny(ctx, r.File, r.Text, &m)
	if err != nil {
		return PenRun{}, fmt.Errorf("%s: what was written cannot be read back: %v", r.File, err)
	}
	meter.Add(len(r.Ways))
	r.Program = back
	err = cores.Each(ctx, 3, func(k int) error {
		switch k {
		case 0:
			return w.judge(ctx, i, back, meter)
		case 1:
			r.Timing = motion.Time(back.Blocks, motion.LimitsOf(m))
		case 2:
			r.Totals = program.Total(back)
		}
		return nil
	})
	meter.Add(len(r.Ways))
	if err != nil && ctx.Err() == nil {
		err = fmt.Errorf("%s: %w; nothing was written", r.File, err)
	}
	return r, err
}

// judge holds the program of a tour, as it was read back, against what it is to
// draw, and tells the meter each stroke. Where it fails in several ways, the error is that of
// the machine's limits, or else that of the rules.
func (f Fitted) judge(ctx context.Context, index int, p program.Program, meter *cores.Meter) error {
	m := f.Inputs.Machine
	return cores.Each(ctx, 3, func(k int) error {
		switch k {
		case 0:
			return language.Judge(p, m).Refused("", false)
		case 1:
			return Rules(p, m.Reach().Grow(m.Step()), f.Tours[index].Feed)
		}
		return f.compare(ctx, index, p, meter)
	})
}

// compare holds the strokes of a program against those that a tour asks for, and tells the
// meter each.
func (f Fitted) compare(ctx context.Context, index int, p program.Program, meter *cores.Meter) error {
	t, ways, got := f.Tours[index], f.Ways[index], p.Strokes()
	if len(got) != len(ways) {
		return fmt.Errorf("the program holds %d strokes, not %d", len(got), len(ways))
	}
	if f.lookedAt {
		return nil
	}
	wanted := t.Asked // the bytes are held against the design itself
	fit, allowed := f.shares(t.Pen)
	if t.Pen.Blade { // whose holder goes other ways
		wanted = ways
	} else {
		allowed += fit
	}
	if len(wanted) != len(ways) {
		return fmt.Errorf("the program holds %d strokes, not %d", len(ways), len(wanted))
	}
	return cores.Each(ctx, len(ways), func(i int) error {
		meter.Add(judging)
		if res := allowed / 10; !deviation.AreWithin(wanted[i].Stroke, got[i], allowed*1.05, res) {
			return fmt.Errorf("stroke %d of layer %q is written %.3f mm away from where it belongs", i+1, ways[i].Layer, deviation.Apart(wanted[i].Stroke, got[i], res))
		}
		return nil
	})
}

// Rules checks what every program must keep before it is let out: nothing outside the
// area, in mm; no feed above the limit, in mm/s; the pen up for travel, pauses and
// the end. Its error says which block breaks which rule.
func Rules(p program.Program, area paths.Rect, feed float64) error {
	down := false
	for i, b := range p.Blocks {
		refuse := func(format string, args ...any) error {
			return fmt.Errorf("block %d (line %d): %s", i+1, b.Line, fmt.Sprintf(format, args...))
		}
		switch b.Kind {
		case program.PenDown:
			down = true
		case program.PenUp:
			down = false
		case program.Travel, program.Pause, program.Pen:
			if down {
				return refuse("the pen is down where it must be up")
			}
		case program.Draw:
			if !down {
				return refuse("the pen is up where it must draw")
			}
			if b.Feed > feed*(1+1e-9) {
				return refuse("the feed is %.4g mm/s and may be %.4g", b.Feed, feed)
			}
		}
		if b.Curve != nil {
			if by, side := area.Excess(b.Curve.Bounds()); by > 0 {
				return refuse("it leaves the machine's area by %.3f mm at the %s", by, side)
			}
		}
	}
	if down {
		return fmt.Errorf("the program ends with the pen down")
	}
	return nil
}
