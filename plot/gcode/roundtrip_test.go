package gcode

import (
	"context"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/deviation"
	"weftplot/plot/program"
	"weftplot/plot/program/programtest"
	"weftplot/profiles"
)

// machines are the built-in ones that read G-code.
func machines(t testing.TB) []profiles.Machine {
	return programtest.Machines(t, profiles.GCode)
}

// allowed is how far a curve may come back from where it was: half a step each
// way in position, the radius rule for an arc, and the fit for what is no arc.
func allowed(s paths.Stroke, m profiles.Machine) float64 {
	off := radiusRule
	uneven := m.Calib.Scale[0] != m.Calib.Scale[1]
	for _, c := range s {
		_, cubic := c.(paths.Cubic)
		_, arc := c.(paths.Arc)
		if cubic || arc && uneven {
			off = radiusRule + shapeTol*2
		}
	}
	return off
}

// TestThereAndBack writes any program for every machine, evenly, unevenly and
// not calibrated, and reads it back: the same strokes in the same order, no
// faster than asked, nothing to remark.
func TestThereAndBack(t *testing.T) {
	built := machines(t)
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.SampledFrom(built).Draw(t, "machine")
		m.Calib.Scale = rapid.SampledFrom([][2]float64{{1, 1}, {1, 1}, {1.01, 1.01}, {1.004, 0.997}}).Draw(t, "scale")
		m.GCode = profiles.Controller{Arcs: rapid.SampledFrom(profiles.ArcForms).Draw(t, "arcs"), Compact: rapid.Bool().Draw(t, "compact"), Waits: rapid.SampledFrom(profiles.WaitUnits).Draw(t, "waits")}
		strokes := programtest.Strokes(paths.Point{X: 150, Y: 150}).Draw(t, "strokes")
		feed := rapid.Float64Range(0.1, 200).Draw(t, "feed")
		p := program.Program{Blocks: programtest.Blocks(feed, strokes...)}
		p.Tolerance = rapid.SampledFrom([]float64{0, 0, 0.004, 0.01, 0.08}).Draw(t, "tol")
		text, back := codec.ThereAndBack(t, p, m)
		if len(back.Notes)+len(back.Doubts)+len(back.Beyond) > 0 {
			t.Fatalf("%v, %v, %v in\n%s", back.Notes, back.Doubts, back.Beyond, text)
		}
		got := back.Strokes()
		if len(got) != len(strokes) {
			t.Fatalf("%d strokes come back of %d:\n%s", len(got), len(strokes), text)
		}
		for i, s := range strokes {
			off := max(allowed(s, m), p.Tolerance)
			if d := programtest.Apart(s, got[i], off/4); d > off*1.25 {
				t.Fatalf("stroke %d comes back %v mm off, over %v:\n%v\n%s", i+1, d, off, s, text)
			}
			if s.IsClosed() && s.Length() > 0.01+10*p.Tolerance && !got[i].IsClosed() {
				t.Fatalf("closed stroke %d comes back open", i+1)
			}
		}
		least := 0.95 // the feed of the pen's own lines may stay in force
		if m.GCode.Compact {
			least = 0.9
		}
		for _, b := range back.Blocks {
			if limit := min(feed, float64(m.Speed.Draw)); b.Kind == program.Draw && (b.Feed > limit*(1+1e-12) || b.Feed < limit*least-0.01) {
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

// TestInferred reads what was written without the machine: the pen's own words
// tell where it is.
func TestInferred(t *testing.T) {
	for _, m := range machines(t) {
		text, err := Write(context.Background(), program.Program{Blocks: sample()}, m)
		if err != nil {
			t.Fatal(err)
		}
		with, err := Read(context.Background(), "test", text, &m)
		if err != nil {
			t.Fatal(err)
		}
		alone, err := Read(context.Background(), "test", text, nil)
		if err != nil {
			t.Fatal(err)
		}
		a, b := with.Strokes(), alone.Strokes()
		if len(a) != len(b) || alone.Machine != m.Name {
			t.Errorf("%s: %d strokes with the machine, %d without; named %q", m.Name, len(a), len(b), alone.Machine)
			continue
		}
		for i := range a {
			if deviation.Of(a[i], b[i], 1e-3) > 1e-3 {
				t.Errorf("%s: stroke %d differs", m.Name, i+1)
			}
		}
	}
}
