package fit

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	_ "weftplot/paths/samecases"
)

// TestFewChords compares with the theory: a chord of a circle of radius r whose
// ends are tol outside and whose middle is tol inside turns by
// 2·acos((r-tol)/(r+tol)), the most that any chord within tol can.
func TestFewChords(t *testing.T) {
	for _, r := range []float64{5, 20, 100} {
		for _, tol := range []float64{0.1, 0.02} {
			s := paths.Stroke{paths.Circle(pt(3, 4), r)}
			got := Lines(s, tol)
			check(t, s, got, tol)
			least := math.Pi / math.Acos((r-tol)/(r+tol))
			inside := math.Pi / math.Acos(1-tol/r)
			t.Logf("radius %v, tol %v: %d chords; %.1f is the least, %.1f with all ends on the circle", r, tol, len(got), least, inside)
			if float64(len(got)) > math.Ceil(least*1.08)+1 {
				t.Errorf("radius %v, tol %v: %d chords, %.1f would do", r, tol, len(got), least)
			}
		}
	}
}

// TestChordsGoOnOverJoints: a curve cut into many pieces takes no more chords
// than the whole.
func TestChordsGoOnOverJoints(t *testing.T) {
	whole := len(Lines(wave[:1], 0.03))
	var cut paths.Stroke
	for i := range 40 {
		cut = append(cut, paths.Sub(wave[0], float64(i)/40, float64(i+1)/40))
	}
	for i := 1; i < len(cut); i++ { // the cuts are rounded separately
		c := cut[i].(paths.Cubic)
		c.A = cut[i-1].End()
		cut[i] = c
	}
	if got := Lines(cut, 0.03); len(got) > whole+1 {
		t.Errorf("a curve takes %d chords, cut into 40 it takes %d", whole, len(got))
	}
}

func TestAnyStrokeAsLines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := strokes().Draw(t, "stroke")
		tol := rapid.SampledFrom([]float64{0.2, 0.05}).Draw(t, "tol")
		got := Lines(s, tol)
		check(t, s, got, tol)
		for _, c := range got {
			if _, ok := c.(paths.Line); !ok {
				t.Errorf("%v is no line", c)
			}
		}
		if s.IsClosed() != got.IsClosed() {
			t.Errorf("closed %v becomes %v", s.IsClosed(), got.IsClosed())
		}
		// Allow a few more for short curves and sharp bends.
		if most := len(s.Flatten(tol*0.9)) + len(s); len(got) > most {
			t.Errorf("%d chords where %d would do", len(got), most)
		}
	})
}

func BenchmarkLines(b *testing.B) {
	pieces := 0
	for b.Loop() {
		pieces = len(Lines(wave, 0.03))
	}
	b.ReportMetric(float64(pieces)/wave.Length()*1000, "chords/m")
	b.ReportMetric(float64(len(wave.Flatten(0.03))-1)/wave.Length()*1000, "plain-chords/m")
}
