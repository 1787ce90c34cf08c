// Package programtest makes programs, and has the checks that every language
// must pass, for the tests of packages that write, read and time programs.
package programtest

import (
	"fmt"
	"math"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/plot/program"
)

// Blocks returns a whole program of strokes: for each a travel, the pen down,
// its curves at the feed, the pen up; and home in the end.
func Blocks(feed float64, strokes ...paths.Stroke) []program.Block {
	var out []program.Block
	at := paths.Point{}
	for _, s := range strokes {
		out = append(out,
			program.Block{Kind: program.Travel, Curve: paths.Line{A: at, B: s.Start()}},
			program.Block{Kind: program.PenDown})
		for _, c := range s {
			out = append(out, program.Block{Kind: program.Draw, Curve: c, Feed: feed})
		}
		out = append(out, program.Block{Kind: program.PenUp})
		at = s.End()
	}
	return append(out, program.Block{Kind: program.Travel, Curve: paths.Line{A: at}})
}

// Strokes draws up to three strokes of all kinds of curves within 150 mm of the
// given centre: dots, whole circles and nearly whole ones, arcs shorter than a
// machine's step, and arcs that are nearly straight.
func Strokes(centre paths.Point) *rapid.Generator[[]paths.Stroke] {
	return rapid.Custom(func(t *rapid.T) []paths.Stroke {
		strokes := make([]paths.Stroke, rapid.IntRange(1, 3).Draw(t, "strokes"))
		for i := range strokes {
			strokes[i] = stroke(t, centre)
		}
		return strokes
	})
}

func stroke(t *rapid.T, centre paths.Point) paths.Stroke {
	coord := rapid.Float64Range(-50, 50)
	point := func() paths.Point {
		return centre.Add(paths.Point{X: coord.Draw(t, "x"), Y: coord.Draw(t, "y")})
	}
	at := point()
	if rapid.IntRange(0, 9).Draw(t, "dot") == 0 {
		return paths.Polyline(at)
	}
	var s paths.Stroke
	for range rapid.IntRange(1, 4).Draw(t, "curves") {
		s = append(s, curve(t, at, point))
		at = s.End()
	}
	if rapid.Bool().Draw(t, "closed") && s.End() != s.Start() {
		s = append(s, paths.Line{A: at, B: s.Start()})
	}
	return s
}

func curve(t *rapid.T, at paths.Point, point func() paths.Point) paths.Curve {
	bulge := rapid.Float64Range(-2, 2)
	switch rapid.IntRange(0, 7).Draw(t, "kind") {
	case 0:
		return paths.Cubic{A: at, B: point(), C: point(), D: point()}
	case 1, 2:
		return paths.ArcBulge(at, point(), bulge.Draw(t, "bulge"))
	case 3: // a tiny one
		return paths.ArcBulge(at, at.Lerp(point(), rapid.Float64Range(1e-6, 1e-3).Draw(t, "share")), bulge.Draw(t, "bulge"))
	case 4: // a flat one
		return paths.ArcBulge(at, point(), rapid.Float64Range(-1e-3, 1e-3).Draw(t, "bulge"))
	case 5: // a whole circle, or all but
		r := rapid.Float64Range(0.01, 40).Draw(t, "radius")
		less := rapid.SampledFrom([]float64{0, 0, 1e-5, 1e-3, 0.1}).Draw(t, "less")
		sign := rapid.SampledFrom([]float64{-1, 1}).Draw(t, "sign")
		angle := rapid.Float64Range(0, 6).Draw(t, "angle")
		c := at.Add(paths.ArcAround(paths.Point{}, r, angle, 1).From)
		a := paths.ArcAround(c, r, angle+math.Pi, sign*(2*math.Pi-less))
		a.From = at
		if less == 0 {
			a.To = at
		}
		return a
	}
	return paths.Line{A: at, B: point()}
}

// Sound returns what is wrong with a program that was read, "" if nothing is:
// curves that do not start where the pen is, numbers that are not finite, blocks
// and notes whose places in the text do not go forward.
func Sound(p program.Program, size int) string {
	at, end := paths.Point{}, 0
	for i, b := range p.Blocks {
		if b.End < end || b.End > size || b.Line < 1 {
			return fmt.Sprintf("block %d ends at byte %d of %d, after %d, on line %d", i+1, b.End, size, end, b.Line)
		}
		end = b.End
		if wrong := unsound(b, at); wrong != "" {
			return fmt.Sprintf("block %d %s", i+1, wrong)
		}
		if b.Curve != nil {
			at = b.Curve.End()
		}
	}
	for _, n := range p.Notes {
		if n.Line < 0 || n.Code == "" || n.Message == "" {
			return fmt.Sprintf("the note %+v is not whole", n)
		}
	}
	return ""
}

// unsound returns what is wrong with the curve and the feed of a block, where the
// pen is at a place before.
func unsound(b program.Block, at paths.Point) string {
	if (b.Kind == program.Travel || b.Kind == program.Draw) != (b.Curve != nil) {
		return fmt.Sprintf("has the curve %v", b.Curve)
	}
	if b.Curve == nil {
		return ""
	}
	if err := (paths.Stroke{b.Curve}).Validate(); err != nil {
		return err.Error()
	}
	if b.Curve.Start() != at {
		return fmt.Sprintf("starts at %v, and the pen is at %v", b.Curve.Start(), at)
	}
	if !(b.Feed >= 0) || math.IsInf(b.Feed, 0) {
		return fmt.Sprintf("has the feed %v", b.Feed)
	}
	return ""
}
