package streamed

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"weftplot/device/flow"
	"weftplot/device/timeline"
	"weftplot/paths"
	_ "weftplot/paths/samecases"
	"weftplot/plot/language"
	"weftplot/plot/motion"
	"weftplot/plot/program"
	"weftplot/plot/program/programtest"
)

// TestClips throws any strokes at the windows: whatever is drawn lies in the one
// that is set then, and nothing in a window is farther from the lines in it than
// the window is wide.
func TestClips(t *testing.T) {
	bed, bed2 := programtest.Machine(t, "flatbed-hpgl"), programtest.Machine(t, "flatbed-hpgl2")
	rapid.Check(t, func(t *rapid.T) {
		m := bed
		if rapid.Bool().Draw(t, "two") {
			m = bed2
		}
		p := program.Program{Tolerance: 0.05, Blocks: programtest.Blocks(40, programtest.Strokes(paths.Point{X: 150, Y: 150}).Draw(t, "strokes")...)}
		p, text, err := language.Rewrite(p, m)
		if err != nil {
			t.Fatal(err)
		}
		l, _ := language.Of(m.Language)
		line := timeline.New(p, motion.LimitsOf(m))
		chunks := l.Chunks(text)
		plan := clips(flow.Job{Program: p, Text: text, Machine: m}, chunks, func(end int) float64 { return line.At(end).Seconds }, time.Microsecond)
		next, area := 0, paths.EmptyRect()
		inked := inkOf(p.Blocks)
		for _, c := range chunks {
			if next < len(plan) && plan[next].at == c.Start {
				area = plan[next].area
				next++
			}
			ink, _ := inked(c.End)
			if !ink.IsEmpty() && area.Union(ink) != area {
				t.Fatalf("line %d draws in %v, the window is %v:\n%s", c.Line, ink, area, text)
			}
		}
		if next != len(plan) {
			t.Fatalf("%d of %d windows stand at chunks", next, len(plan))
		}
		for _, w := range plan {
			// A line of 24 mm that slants lies in a window of its own.
			if least := math.Min(w.area.Width(), w.area.Height()); least > 24.1/math.Sqrt2+chordSlack {
				t.Fatalf("a window is %v:\n%s", w.area, text)
			}
		}
	})
}

// chordSlack is what a chunk may draw beyond 12 mm before its last line.
const chordSlack = 12

// TestClipsOnASlowLine: a line of 300 baud gets few windows.
func TestClipsOnASlowLine(t *testing.T) {
	m := programtest.Machine(t, "flatbed-hpgl")
	circle := paths.Stroke{paths.Circle(paths.Point{X: 100, Y: 100}, 60)}
	p, text, err := language.Rewrite(program.Program{Tolerance: 0.05, Blocks: programtest.Blocks(40, circle)}, m)
	if err != nil {
		t.Fatal(err)
	}
	l, _ := language.Of(m.Language)
	line := timeline.New(p, motion.LimitsOf(m))
	count := func(baud int) int {
		return len(clips(flow.Job{Program: p, Text: text, Machine: m}, l.Chunks(text), func(end int) float64 { return line.At(end).Seconds }, 10*time.Second/time.Duration(baud)))
	}
	if fast, slow := count(9600), count(300); fast < 10 || slow >= fast {
		t.Errorf("%d windows at 9600 baud, %d at 300", fast, slow)
	}
}
