package live_test

import (
	"context"
	"testing"
	"time"

	"weftplot/device"
	"weftplot/device/sim"
	"weftplot/device/sim/live"
	"weftplot/paths"
	"weftplot/plot/language"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// Where there are no pseudo-terminals a job goes over a pipe in memory.
func TestServePipe(t *testing.T) {
	for _, name := range []string{"practice", "flatbed-hpgl"} {
		m, err := profiles.MachineNamed(name)
		if err != nil {
			t.Fatal(err)
		}
		l := paths.Line{A: paths.Point{X: 10, Y: 10}, B: paths.Point{X: 60, Y: 10}}
		p, text, err := language.Rewrite(program.Program{Language: string(m.Language), Blocks: []program.Block{
			{Kind: program.Travel, Curve: paths.Line{B: l.A}},
			{Kind: program.PenDown},
			{Kind: program.Draw, Curve: l, Feed: float64(m.Speed.Draw)},
			{Kind: program.PenUp},
		}}, m)
		if err != nil {
			t.Fatal(err)
		}
		s := live.ServePipe(m, 200)
		port, err := s.Open()
		if err != nil {
			t.Fatal(err)
		}
		if _, err := device.Send(context.Background(), port, device.Job{Program: p, Text: text, Machine: m}, device.Options{}); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if r := sim.Compare([]paths.Stroke{{l}}, s.Cloth().Strokes(), 0.06); !r.Same() {
			t.Errorf("%s: %v", name, r)
		}
		s.Close()
		for tries := 0; err == nil; tries++ {
			if tries == 1000 {
				t.Fatalf("%s: the line to a plotter that is switched off is whole", name)
			}
			_, err = port.Read(make([]byte, 64), time.Second) // what it sent last comes first
		}
		port.Close()
	}
}
