package gcode

import (
	"context"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	_ "weftplot/paths/samecases"
	"weftplot/plot/program"
	"weftplot/plot/program/programtest"
	"weftplot/profiles"
)

// TestRadiusIsSafe: whatever the arc, one that is written by its radius turns by no more
// than 120 degrees, and a machine that rounds its ends to a thousandth of a mm draws its
// middle less than that away from where it is without the rounding: NISTIR 6556, 3.5.3.2,
// warns of arcs whose middle moves by much more than their ends.
func TestRadiusIsSafe(t *testing.T) {
	m := programtest.Machine(t, "practice")
	m.GCode.Arcs = profiles.ByRadius
	byRadii := 0
	rapid.Check(t, func(t *rapid.T) {
		angle := rapid.Float64Range(0, 2*math.Pi).Draw(t, "angle")
		sweep := rapid.Float64Range(0.05, 2*math.Pi).Draw(t, "sweep")
		if rapid.Bool().Draw(t, "clockwise") {
			sweep = -sweep
		}
		a := paths.ArcAround(paths.Point{X: 300, Y: 300}, rapid.Float64Range(0.5, 250).Draw(t, "radius"), angle, sweep)
		p := program.Program{Blocks: programtest.Blocks(30, paths.Stroke{a}), Tolerance: rapid.SampledFrom([]float64{0.002, 0.01, 0.05}).Draw(t, "tol")}
		text, back := codec.ThereAndBack(t, p, m)
		if strings.Count(string(text), "R") > 0 {
			byRadii++
		}
		for _, b := range back.Blocks {
			arc, ok := b.Curve.(paths.Arc)
			if !ok || !strings.Contains(lineOf(text, b.Line), "R") {
				continue
			}
			if math.Abs(arc.Sweep) > widest*1.01 {
				t.Fatalf("%v is written by its radius:\n%s", arc, text)
			}
			along := arc.To.Sub(arc.From).Unit()
			for _, off := range []float64{-0.0005, 0.0005} {
				moved, ok := byRadius(arc.From, arc.To.Add(along.Mul(off)), arc.Radius(), arc.Sweep > 0)
				if by := moved.At(0.5).Dist(arc.At(0.5)); !ok || by > 0.001 {
					t.Fatalf("an end that is %v mm off moves the middle by %v mm (%v)", off, by, ok)
				}
			}
		}
	})
	if byRadii == 0 {
		t.Error("no arc was written by its radius")
	}
}

func lineOf(text []byte, n int) string { return strings.Split(string(text), "\n")[n-1] }

// TestRadiusForm: what is written by its radius, and what by its centre.
func TestRadiusForm(t *testing.T) {
	m := programtest.Machine(t, "practice")
	m.GCode.Arcs = profiles.ByRadius
	for _, c := range []struct {
		degrees float64
		want    string
	}{{30, "R40"}, {119, "R40"}, {121, "I"}, {180, "I"}, {270, "I"}, {360, "I"}} {
		a := paths.ArcAround(paths.Point{X: 100, Y: 100}, 40, 0.3, c.degrees*math.Pi/180)
		text, err := Write(context.Background(), program.Program{Blocks: programtest.Blocks(30, paths.Stroke{a}), Tolerance: 0.01}, m)
		if err != nil {
			t.Fatal(err)
		}
		_, drawn, _ := strings.Cut(string(text), "\nG3X")
		if drawn, _, _ = strings.Cut(drawn, "\n"); !strings.Contains(drawn, c.want) {
			t.Errorf("%v degrees are written as G3X%s, want %s", c.degrees, drawn, c.want)
		}
	}
}

// TestNearFeed: a feed that is a little slower stays in force, and none is ever faster
// than asked.
func TestNearFeed(t *testing.T) {
	m := programtest.Machine(t, "practice")
	line := func(x, feed float64) program.Block {
		return program.Block{Kind: program.Draw, Feed: feed, Curve: paths.Line{A: pt(x, 0), B: pt(x+10, 0)}}
	}
	text, err := Write(context.Background(), program.Program{Blocks: []program.Block{
		{Kind: program.PenDown}, line(0, 40), line(10, 39), line(20, 40), line(30, 30), line(40, 40), line(50, 39.5),
	}}, m)
	if err != nil {
		t.Fatal(err)
	}
	_, got, _ := strings.Cut(string(text), "G1 Z0 F600\n")
	if want := "X10F2400\nX20F2340\nX30\nX40F1800\nX50F2400\nX60F2370\n"; !strings.HasPrefix(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
