package cloth_test

import (
	"fmt"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
)

// Forty-seven rows of holes over 10 cm across, and 51 along, for a rug of 60 by
// 90 cm.
func ExampleMeasure() {
	m, err := cloth.Measure(cloth.Counted{Channels: 47, Length: 100}, cloth.Counted{Channels: 51, Length: 100}, 600, 900)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, way := range m.Ways {
		fmt.Printf("%s: one channel miscounted puts the far edge %.0f mm off, counted far enough: %v\n", way.Axis, way.Drift, way.Enough)
	}
	// Output:
	// across: one channel miscounted puts the far edge 13 mm off, counted far enough: true
	// along: one channel miscounted puts the far edge 18 mm off, counted far enough: true
}

// A cloth stretched by a twentieth across, found at the rug's corners and its
// middle. A line in a channel follows the channel as measured.
func ExampleFit() {
	grid := weave.Grid{Across: 2, Along: 2}
	var marks []cloth.Mark
	for _, p := range []weave.Place{{}, {Across: 100}, {Across: 100, Along: 150}, {Along: 150}, {Across: 50, Along: 75}} {
		marks = append(marks, cloth.Mark{Place: p, At: paths.Point{X: 40 + 2.1*p.Across, Y: 30 + 2*p.Along}})
	}
	reg, err := cloth.Fit(marks, cloth.FitOptions{Expect: grid.Count(), Extent: weave.Place{Across: 100, Along: 150}})
	if err != nil {
		fmt.Println(err)
		return
	}
	line := reg.Stroke(paths.Polyline(paths.Point{X: 60}, paths.Point{X: 60, Y: 300}), grid, 0.05)
	fmt.Printf("%s fit; channel 30 lies at x = %.1f mm\n", reg.Report().Model, line.Start().X)
	// Output: affine fit; channel 30 lies at x = 103.0 mm
}

// After one mark the next corner is expected by the count alone; with more
// marks it follows from the fit.
func ExampleSurvey() {
	s := cloth.NewSurvey(weave.Grid{Across: 2, Along: 2}, "", weave.Place{Across: 100, Along: 150}, nil)
	for _, at := range []paths.Point{{X: 40, Y: 30}, {X: 250, Y: 30}, {X: 250, Y: 330}, {X: 40, Y: 330}} {
		next, _ := s.Next()
		if by, from, ok := s.Expect(next); ok {
			how := "the fit"
			if from > 0 {
				how = fmt.Sprint("the count from mark ", from)
			}
			fmt.Printf("mark %g, %g: expected near %.0f, %.0f by %s\n", next.Across, next.Along, by.X, by.Y, how)
		}
		var err error
		if s, _, err = s.With(cloth.Mark{Place: next, At: at}); err != nil {
			fmt.Println(err)
			return
		}
	}
	// Output:
	// mark 100, 0: expected near 240, 30 by the count from mark 1
	// mark 100, 150: expected near 250, 345 by the fit
	// mark 0, 150: expected near 40, 330 by the fit
}

// Marks for a joint along the upper edge of what the machine reaches: most of them
// lie along it, and a person can stop once the error is small enough.
func ExamplePlan_Choose() {
	var joint, candidates []weave.Place
	for across := 0.; across <= 200; across += 25 {
		joint = append(joint, weave.Place{Across: across, Along: 150})
		for _, along := range []float64{150, 100, 50} {
			candidates = append(candidates, weave.Place{Across: across, Along: along})
		}
	}
	plan, err := cloth.NewPlan(weave.Grid{Across: 2, Along: 2}, cloth.Prior{Bow: 0.02, Noise: 0.2}, joint, candidates)
	if err != nil {
		fmt.Println(err)
		return
	}
	chosen := plan.Choose(cloth.Bound{Greatest: 0.3}, 12)
	for n, i := range chosen.Indices {
		fmt.Printf("%v: %.1f channels\n", candidates[i], chosen.After[n].Greatest)
	}
	fmt.Println("enough:", chosen.Enough)
	// Output:
	// {75 150}: 9.3 channels
	// {200 100}: 6.2 channels
	// {25 150}: 3.0 channels
	// {200 150}: 1.1 channels
	// {0 150}: 0.9 channels
	// {150 150}: 0.3 channels
	// enough: true
}
