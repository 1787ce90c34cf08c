package hpgl

import (
	"context"
	"math"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/deviation"
	"weftplot/plot/program"
	"weftplot/plot/program/programtest"
	"weftplot/profiles"
)

// machines are the built-in ones that read HP-GL or HP-GL/2.
func machines(t testing.TB) []profiles.Machine {
	return programtest.Machines(t, profiles.HPGL, profiles.HPGL2)
}

// TestThereAndBack writes any program for every machine, evenly, unevenly and
// not calibrated, and reads it back: the same strokes in the same order, within
// the tolerance and half a unit each way, no faster than asked, nothing to
// remark.
func TestThereAndBack(t *testing.T) {
	built := machines(t)
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.SampledFrom(built).Draw(t, "machine")
		m.Calib.Scale = rapid.SampledFrom([][2]float64{{1, 1}, {1, 1}, {1.01, 1.01}, {1.004, 0.997}}).Draw(t, "scale")
		m.HPGL.Unit = rapid.SampledFrom([]paths.Length{0.025, 0.025, 0.02488, 0.1}).Draw(t, "unit")
		m.HPGL.Bits = rapid.SampledFrom([]int{7, 8}).Draw(t, "bits")
		m.HPGL.Swap = rapid.Bool().Draw(t, "swap")
		strokes := programtest.Strokes(paths.Point{X: 150, Y: 150}).Draw(t, "strokes")
		feed := rapid.Float64Range(0.5, 200).Draw(t, "feed")
		p := program.Program{Blocks: programtest.Blocks(feed, strokes...)}
		p.Tolerance = rapid.SampledFrom([]float64{0, 0.03, 0.1}).Draw(t, "tol")
		text, back := codec.ThereAndBack(t, p, m)
		for _, n := range append(back.Notes, back.Doubts...) {
			if n.Code != "coarse-arc" { // as coarse as the tolerance
				t.Fatalf("%v in\n%s", back.Notes, text)
			}
		}
		if back.Language != string(m.Language) {
			t.Fatalf("%s comes back as %s", m.Language, back.Language)
		}
		got := back.Strokes()
		if len(got) != len(strokes) {
			t.Fatalf("%d strokes come back of %d:\n%s", len(got), len(strokes), text)
		}
		tol := p.Tolerance
		if tol == 0 {
			tol = float64(m.HPGL.Unit) / 2
		}
		off := (tol + float64(m.HPGL.Unit)/math.Sqrt2) * 1.01
		for i, s := range strokes {
			if d := programtest.Apart(s, got[i], off/8); d > off*1.125 {
				t.Fatalf("stroke %d comes back %v mm off, over %v:\n%v\n%s", i+1, d, off, s, text)
			}
		}
		for _, b := range back.Blocks {
			if limit := min(feed, float64(m.Speed.Draw)); b.Kind == program.Draw && (b.Feed > limit*(1+1e-12) || b.Feed < limit-0.1*1.02) {
				t.Fatalf("a feed of %v comes back as %v", limit, b.Feed)
			}
		}
	})
}

// TestWrittenAgain: a program that was read is written as it was.
func TestWrittenAgain(t *testing.T) {
	for _, m := range machines(t) {
		codec.WrittenAgain(t, sample(), m)
	}
}

// TestBothFormsAlike: HP-GL/2 draws the same points as HP-GL.
func TestBothFormsAlike(t *testing.T) {
	plain, packed := programtest.Machine(t, "flatbed-hpgl"), programtest.Machine(t, "flatbed-hpgl2")
	packed.Speed = plain.Speed
	var strokes [2][]paths.Stroke
	for i, m := range []profiles.Machine{plain, packed} {
		text, err := Write(context.Background(), program.Program{Blocks: sample()}, m)
		if err != nil {
			t.Fatal(err)
		}
		back, err := Read(context.Background(), "test", text, nil)
		if err != nil {
			t.Fatal(err)
		}
		strokes[i] = back.Strokes()
	}
	if len(strokes[0]) != len(strokes[1]) {
		t.Fatalf("%d strokes and %d", len(strokes[0]), len(strokes[1]))
	}
	for i := range strokes[0] {
		if d := deviation.Of(strokes[0][i], strokes[1][i], 1e-4); d > 1e-4 {
			t.Errorf("stroke %d differs by %v mm", i+1, d)
		}
	}
}
