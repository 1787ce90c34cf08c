package device_test

import (
	"context"
	"math"
	"slices"
	"testing"

	"weftplot/device"
	"weftplot/device/sim"
	"weftplot/paths"
	"weftplot/plot/language"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// centred moves the strokes to where the machine reaches them.
func centred(m profiles.Machine, strokes []paths.Stroke) []paths.Stroke {
	d := paths.Point{}
	if m.Origin == "centre" {
		d = paths.Point{X: -200, Y: -200}
	}
	out := make([]paths.Stroke, len(strokes))
	for i, s := range strokes {
		out[i] = s.Transform(paths.Translate(d))
	}
	return out
}

// run sends a job to the simulated plotter of its machine.
func run(t *testing.T, job device.Job, opt device.Options) (device.Outcome, sim.Cloth) {
	t.Helper()
	p := sim.New(job.Machine)
	out, err := device.Send(context.Background(), sim.NewLine(p, job.Machine.Serial), job, opt)
	if err != nil {
		t.Fatal(err)
	}
	if !p.Idle() {
		t.Error("the machine still had work to do")
	}
	c := p.Cloth()
	if len(c.Errors) > 0 || c.Overruns > 0 || c.Alarms > 0 {
		t.Errorf("errors %q, %d overruns, %d alarms", c.Errors, c.Overruns, c.Alarms)
	}
	return out, c
}

// everyMachine returns the built-in machines, and some that differ from them in
// how they count, are calibrated, and are spoken to.
func everyMachine(t *testing.T) []profiles.Machine {
	var out []profiles.Machine
	for _, name := range profiles.Names(profiles.MachineKind) {
		out = append(out, machine(t, name))
	}
	change := func(name, as string, to func(*profiles.Machine)) {
		m := machine(t, name)
		to(&m)
		m.Name = as
		out = append(out, m)
	}
	change("flatbed-hpgl", "swapped", func(m *profiles.Machine) {
		m.HPGL.Swap, m.HPGL.Force, m.Calib.Scale = true, 3, [2]float64{1.003, 0.998}
	})
	change("flatbed-hpgl2", "seven bits, swapped", func(m *profiles.Machine) { m.HPGL.Swap, m.HPGL.Bits = true, 7 })
	change("practice", "slow axis", func(m *profiles.Machine) { m.Speed.Axes = []paths.Speed{20, 70} })
	return out
}

// Every machine draws what its writer wrote, judged by interpreters that share
// nothing with writer and reader.
func TestEveryMachine(t *testing.T) {
	t.Parallel()
	for _, m := range everyMachine(t) {
		t.Run(m.Name, func(t *testing.T) {
			want := centred(m, sampler())
			want = append(want, paths.Polyline(want[0].Start().Add(paths.Point{X: 3, Y: 30}))) // a dot
			job := written(t, m, want...)
			out, cloth := run(t, job, device.Options{})
			if r := sim.Compare(want, cloth.Strokes(), 0.06); !r.Same() || r.InOrder != len(want) {
				t.Errorf("%v; missing %v, extra %v", r, r.Missing, r.Extra)
			}
			slack := 0.01
			if m.Language != profiles.GCode {
				slack = 0.04 // it stands for a moment at each question
			}
			if d := math.Abs(out.Seconds-out.Predicted) / out.Predicted; d > slack {
				t.Errorf("it took %.2f s, %.2f s were predicted", out.Seconds, out.Predicted)
			}
			if limit := float64(m.Speed.Draw) + 1e-9; cloth.MaxFeed > limit {
				t.Errorf("a feed of %.2f mm/s was asked, the limit is %.2f", cloth.MaxFeed, limit)
			}
			if cloth.RestMax > 0.1 {
				t.Errorf("the pen rested for %.2f s", cloth.RestMax)
			}
			t.Logf("%.2f s, %.2f predicted, %d bytes", out.Seconds, out.Predicted, len(job.Text))
		})
	}
}

func TestRehearseAndEdgeKeepThePenUp(t *testing.T) {
	for _, name := range profiles.Names(profiles.MachineKind) {
		t.Run(name, func(t *testing.T) {
			m := machine(t, name)
			job := written(t, m, centred(m, sampler())...)
			whole := program.Total(job.Program)
			out, cloth := run(t, job, device.Options{Rehearse: true})
			if n := len(cloth.Strokes()); n != 0 {
				t.Errorf("rehearsing drew %d strokes", n)
			}
			if d := cloth.Travelled - (whole.DrawMM + whole.TravelMM); math.Abs(d) > 0.01*whole.DrawMM {
				t.Errorf("rehearsing went %.1f mm more than the job", d)
			}
			t.Logf("rehearsed in %.2f s", out.Seconds)
			_, cloth = run(t, job, device.Options{Edge: true})
			if n := len(cloth.Strokes()); n != 0 {
				t.Errorf("going round the edge drew %d strokes", n)
			}
			if got, want := cloth.Reach, whole.Bounds.Include(paths.Point{}); got.Min.Dist(want.Min) > 0.05 || got.Max.Dist(want.Max) > 0.05 {
				t.Errorf("going round the edge reached %v, the job spans %v", got, want)
			}
		})
	}
}

// pensOf returns the pens that a program takes, in order.
func pensOf(p program.Program) []int {
	var pens []int
	for _, b := range p.Blocks {
		if b.Kind == program.Pen && b.Number > 0 {
			pens = append(pens, b.Number)
		}
	}
	return pens
}

// checkPause holds that, where the person is asked, some strokes are drawn, others
// are not, and the pen is up.
func checkPause(t *testing.T, plotter sim.Plotter, what string, strokes int) {
	t.Helper()
	c := plotter.Cloth()
	if n := len(c.Strokes()); c.Down || !plotter.Idle() || n == 0 || n == strokes {
		t.Errorf("asked %q with pen down %v, idle %v, %d strokes drawn", what, c.Down, plotter.Idle(), n)
	}
}

// A program that holds two pens stops for the second where a person changes it,
// with words that name it; a plotter with a carousel takes it by itself. Either
// way the pen is up, and all is drawn.
func TestTwoPens(t *testing.T) {
	for _, name := range []string{"practice", "gantry-servo", "flatbed-hpgl", "flatbed-hpgl2"} {
		t.Run(name, func(t *testing.T) {
			m := machine(t, name)
			want := centred(m, manyStrokes(4))
			job := written(t, m, want...)
			blocks := []program.Block{{Kind: program.Pen, Number: 1}}
			for i, b := range job.Program.Blocks {
				blocks = append(blocks, b)
				if b.Kind == program.PenUp && i > len(job.Program.Blocks)/2 {
					blocks = append(append(blocks, program.Block{Kind: program.Pen, Number: 2}), job.Program.Blocks[i+1:]...)
					break
				}
			}
			text, err := language.Write(context.Background(), program.Program{Language: job.Program.Language, Blocks: blocks}, m)
			if err != nil {
				t.Fatal(err)
			}
			p, err := language.ReadAny(context.Background(), "plot", text, &m)
			if err != nil {
				t.Fatal(err)
			}
			pens := pensOf(p)
			if !slices.Equal(pens, []int{1, 2}) {
				t.Errorf("the pens read back are %v", pens)
			}
			plotter := sim.New(m)
			var asked []string
			opt := device.Options{Pause: func(_ context.Context, what string) error {
				asked = append(asked, what)
				checkPause(t, plotter, what, len(want))
				return nil
			}}
			if _, err := device.Send(context.Background(), sim.NewLine(plotter, m.Serial), device.Job{Program: p, Text: text, Machine: m}, opt); err != nil {
				t.Fatal(err)
			}
			if r := sim.Compare(want, plotter.Cloth().Strokes(), 0.06); !r.Same() {
				t.Error(r)
			}
			var expect []string
			if m.Language == profiles.GCode {
				expect = []string{"put pen 2 in the holder"}
			}
			if !slices.Equal(asked, expect) {
				t.Errorf("asked %q, want %q", asked, expect)
			}
		})
	}
}

// Where a program waits for the person, all before is drawn, the pen is up, and
// nothing more is sent until the person is ready.
func TestPauses(t *testing.T) {
	for _, name := range []string{"practice", "gantry-servo", "flatbed-hpgl2"} {
		t.Run(name, func(t *testing.T) {
			m := machine(t, name)
			want := centred(m, manyStrokes(4))
			job := written(t, m, want...)
			blocks := job.Program.Blocks
			half := 0
			for i, b := range blocks {
				if b.Kind == program.PenUp && i > len(blocks)/2 {
					half = i + 1
					break
				}
			}
			job.Program.Blocks = append(append(append([]program.Block(nil), blocks[:half]...),
				program.Block{Kind: program.Pause, Text: "put the red pen in"}), blocks[half:]...)
			text, err := language.Write(context.Background(), job.Program, m)
			if err != nil {
				t.Fatal(err)
			}
			p, err := language.ReadAny(context.Background(), "plot", text, &m)
			if err != nil {
				t.Fatal(err)
			}
			plotter := sim.New(m)
			asked := 0
			opt := device.Options{Pause: func(_ context.Context, what string) error {
				asked++
				checkPause(t, plotter, what, len(want))
				if m.Language == profiles.GCode && what != "put the red pen in" {
					t.Errorf("asked %q", what)
				}
				return nil
			}}
			line := sim.NewLine(plotter, m.Serial)
			if _, err := device.Send(context.Background(), line, device.Job{Program: p, Text: text, Machine: m}, opt); err != nil {
				t.Fatal(err)
			}
			if r := sim.Compare(want, plotter.Cloth().Strokes(), 0.06); !r.Same() || asked != 1 {
				t.Errorf("%v; asked %d times", r, asked)
			}
		})
	}
}
