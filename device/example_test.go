package device_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"

	"weftplot/device"
	"weftplot/device/sim"
	"weftplot/paths"
	"weftplot/plot/language"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// hearthRug returns the job of two lines of a hearth rug's border.
func hearthRug() device.Job {
	m, err := profiles.MachineNamed("practice")
	if err != nil {
		panic(err)
	}
	p := program.Program{Language: string(m.Language), Machine: m.Name}
	at := paths.Point{}
	for _, l := range []paths.Line{
		{A: paths.Point{X: 20, Y: 20}, B: paths.Point{X: 120, Y: 20}},
		{A: paths.Point{X: 120, Y: 30}, B: paths.Point{X: 20, Y: 30}},
	} {
		p.Blocks = append(p.Blocks,
			program.Block{Kind: program.Travel, Curve: paths.Line{A: at, B: l.A}},
			program.Block{Kind: program.PenDown},
			program.Block{Kind: program.Draw, Curve: l, Feed: float64(m.Speed.Draw)},
			program.Block{Kind: program.PenUp})
		at = l.B
	}
	p, text, err := language.Rewrite(p, m)
	if err != nil {
		panic(err)
	}
	return device.Job{Program: p, Text: text, Machine: m}
}

// A job is sent to a simulated plotter, in simulated time. A real one is reached
// by line.Open in place of sim.NewLine.
func ExampleSend() {
	job := hearthRug()
	plotter := sim.New(job.Machine)
	port := sim.NewLine(plotter, job.Machine.Serial)
	out, err := device.Send(context.Background(), port, job, device.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d strokes, %.0f mm\n", out.Strokes, out.DrawnMM)
	fmt.Println("on the cloth:", len(plotter.Cloth().Strokes()))
	// Output:
	// 2 strokes, 200 mm
	// on the cloth: 2
}

// The line breaks in the second stroke. The journal knows that the first is on
// the cloth, so the second sending draws the other alone. The machine was brought
// home in between.
func ExampleResumeJournal() {
	job := hearthRug()
	plotter := sim.NewController(job.Machine)
	port := sim.NewLine(plotter, job.Machine.Serial).WithFaults(sim.Fault{At: 5, Kind: sim.HangUp})
	folder, err := os.MkdirTemp("", "hearth-rug")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer os.RemoveAll(folder)
	path := filepath.Join(folder, "journal")
	j, err := device.StartJournal(path, job)
	if err != nil {
		fmt.Println(err)
		return
	}
	_, err = device.Send(context.Background(), port, job, device.Options{Journal: j})
	fmt.Println("broke off:", err != nil)
	j.Close()

	port.PlugIn()
	port.Settle(60)
	plotter.Home()
	if j, err = device.ResumeJournal(path, job); err != nil {
		fmt.Println(err)
		return
	}
	defer j.Close()
	fmt.Println("strokes proved drawn:", j.Drawn())
	out, err := device.Send(context.Background(), port, job, device.Options{Journal: j, Homed: true})
	fmt.Println(out.Strokes, "strokes,", "error:", err)
	fmt.Println("all drawn:", j.Done())
	// Output:
	// broke off: true
	// strokes proved drawn: 1
	// 2 strokes, error: <nil>
	// all drawn: true
}
