package sheets

import (
	"context"
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/plot"
	"weftplot/plot/dryrun"
	"weftplot/plot/language"
	"weftplot/plot/motion"
	"weftplot/plot/program"
)

// DryRun is a program's own bytes as they will be carried out: the way of the
// pen in pieces that take so long. Times are s, lengths mm.
type DryRun struct {
	File   string         `json:"file"`
	Pen    string         `json:"pen"`
	Total  float64        `json:"total_s"`
	Moves  []move         `json:"moves"`
	Limits []dryrun.Limit `json:"limits"`
	Facts  dryrun.Summary `json:"facts"`
}

// move is one block of the program. Way is x, y, x, y …; At tells when the pen is
// at each point, from the beginning of the program.
type move struct {
	Down bool      `json:"down"`
	Way  []float64 `json:"way"`
	At   []float64 `json:"at"`
}

// chord is how far the way that is shown may stray from the true one, mm.
const chord = 0.1

// DryRunOf plays the programs of a job. The way of the pen is told on the machine; in
// several loads, whose picture is that of the whole cloth, it is told on the cloth.
func DryRunOf(ctx context.Context, j plot.Job) ([]DryRun, error) {
	out := []DryRun{}
	if j.Kit == nil && (j.Panels == nil || len(j.Loads) < 2) {
		return playAll(ctx, out, j, paths.Identity())
	}
	for _, l := range j.Loads {
		middle := paths.EmptyRect()
		for _, n := range l.Copies {
			middle = middle.Union(j.Kit.Copies[n-1].Rug)
		}
		if j.Kit == nil {
			middle = l.Window
		}
		onMachine := tangent(func(p paths.Point) paths.Point { return l.PlaceOf(j.Grid.PlaceOf(p)) }, middle.Centre())
		onCloth, ok := onMachine.Inverse()
		if !ok {
			return nil, fmt.Errorf("load %d lies on the machine as a line", l.N)
		}
		var err error
		if out, err = playAll(ctx, out, l.Job, onCloth); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// playAll adds the programs of a job, and where the pen is by the map to.
func playAll(ctx context.Context, out []DryRun, j plot.Job, to paths.Affine) ([]DryRun, error) {
	for _, r := range j.PenRuns {
		p, err := language.ReadAny(ctx, r.File, r.Text, &j.Inputs.Machine)
		if err != nil {
			return nil, err
		}
		looked, err := dryrun.New(p, j.Inputs.Machine, program.Part{})
		if err != nil {
			return nil, err
		}
		plan := motion.Plan(p.Blocks, motion.LimitsOf(j.Inputs.Machine))
		d := DryRun{File: r.File, Pen: r.Pen.Name, Total: milli(plan.Timing().Total), Limits: looked.Summary.Limits, Facts: looked.Summary, Moves: []move{}}
		ends, from := plan.Timing().Ends, 0.0
		for k, b := range p.Blocks {
			if b.Curve != nil {
				d.Moves = append(d.Moves, moveOf(plan, b, from, ends[k], to))
			}
			from = ends[k]
		}
		out = append(out, d)
	}
	return out, nil
}

// moveOf samples the planned motion along a block, and maps where the pen is.
func moveOf(plan motion.Profile, b program.Block, from, to float64, on paths.Affine) move {
	m := move{Down: b.Kind == program.Draw}
	pts := paths.Stroke{b.Curve}.Flatten(chord)
	n := len(pts) - 1
	if n < 3 { // a long line speeds up and slows down
		n = min(8, max(2, int(b.Curve.Length()/10)))
	}
	for k := 0; k <= n; k++ {
		t := from + (to-from)*float64(k)/float64(n)
		at := on.Apply(plan.At(t).Point)
		m.Way = append(m.Way, Hundredth(at.X), Hundredth(at.Y))
		m.At = append(m.At, milli(t))
	}
	return m
}

func Hundredth(v float64) float64 { return math.Round(v*100) / 100 }
func milli(v float64) float64     { return math.Round(v*1000) / 1000 }
