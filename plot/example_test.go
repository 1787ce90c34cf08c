package plot_test

import (
	"context"
	"fmt"
	"log"

	"weftplot/paths"
	"weftplot/plot"
	"weftplot/plot/job"
)

// The pattern of a small mat: a square with a diagonal in two pieces.
const mat = `<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="200mm" viewBox="0 0 200 200" fill="none" stroke="black">
<g id="frame"><path d="M0 0 H200 V200 H0 Z"/></g>
<g id="sea"><path d="M40 40 L100 100"/><path d="M100 100 L160 160"/></g></svg>`

// inputs reads what the settings name, with the mat as the design.
func inputs(s job.Settings) (job.Inputs, job.Settings) {
	s.Design = "mat.svg"
	in, s, _, err := job.ReadInputs(func(string, int) ([]byte, error) { return []byte(mat), nil }, s)
	if err != nil {
		log.Fatal(err)
	}
	return in, s
}

func ExampleMake() {
	in, settings := inputs(job.Settings{Width: 300, Border: "edge"})
	j, err := plot.Make(context.Background(), in, settings, plot.Options{})
	if err != nil {
		log.Fatal(err)
	}
	for _, run := range j.PenRuns {
		fmt.Printf("%s: %s, %d strokes\n", run.File, run.Pen.Name, run.Totals.Strokes)
	}
	fmt.Printf("mirrored: %v, %.0f x %.0f channels\n", j.Mirrored, j.Layout.NX, j.Layout.NY)
	// Output:
	// plot.gcode: fine-marker, 3 strokes
	// mirrored: true, 142 x 154 channels
}

func ExampleLay() {
	in, settings := inputs(job.Settings{Height: 400})
	laid, err := plot.Lay(in, settings)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f x %.0f mm, %d strokes, scaled by %g\n", laid.Layout.Width, laid.Layout.Height, len(laid.Artwork), laid.Layout.Scale)
	// Output:
	// 400 x 400 mm, 3 strokes, scaled by 2
}

func ExampleJoin() {
	in, settings := inputs(job.Settings{NoSnap: true})
	ctx := context.Background()
	laid, err := plot.Lay(in, settings)
	if err != nil {
		log.Fatal(err)
	}
	snapped, err := plot.Snap(ctx, laid, plot.Options{})
	if err != nil {
		log.Fatal(err)
	}
	joined, err := plot.Join(ctx, snapped, plot.Options{})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%d lines, joined into %d strokes\n", len(snapped.Lines), len(joined.Drawn))
	// Output:
	// 3 lines, joined into 2 strokes
}

func ExampleRegister() {
	in, settings := inputs(job.Settings{NoSnap: true, At: []paths.Length{50, 500}})
	ctx := context.Background()
	laid, err := plot.Lay(in, settings)
	if err != nil {
		log.Fatal(err)
	}
	snapped, err := plot.Snap(ctx, laid, plot.Options{})
	if err != nil {
		log.Fatal(err)
	}
	joined, err := plot.Join(ctx, snapped, plot.Options{})
	if err != nil {
		log.Fatal(err)
	}
	placed, err := plot.Register(joined)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("the rug's corner lies at %v\n", placed.Placed[0].Bounds().Min)
	// Output:
	// the rug's corner lies at {50 500}
}
