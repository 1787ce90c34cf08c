// Package boundedtest has the checks that every reader of designs is held to.
package boundedtest

import (
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"runtime"
	"testing"

	"weftplot/paths"
	"weftplot/paths/fault"
)

// TB is the part of a test that the checks of designs need; *rapid.T has it
// too.
type TB interface {
	Helper()
	Fatalf(format string, args ...any)
}

// CheckDesign checks what holds of every design that is read without an error. No
// coordinate may be beyond reach mm.
func CheckDesign(t TB, d paths.Design, reach float64) {
	t.Helper()
	if d.IsEmpty() {
		t.Fatalf("a design with nothing to draw and without an error")
	}
	for _, l := range d.Layers {
		if len(l.Strokes) == 0 || l.Name == "" {
			t.Fatalf("layer %q has %d strokes", l.Name, len(l.Strokes))
		}
		for _, s := range l.Strokes {
			if err := checkStroke(s, reach); err != nil {
				t.Fatalf("line %d, %s: %v", s.Line, s.Element, err)
			}
		}
	}
	for _, w := range d.Words {
		if !areSound(w, reach) {
			t.Fatalf("line %d: words %+v", w.Line, w)
		}
	}
	for _, n := range d.Notes {
		if n.Code == "" || n.Message == "" {
			t.Fatalf("empty note %+v", n)
		}
	}
}

// areSound reports whether words have a place, a size and a source.
func areSound(w paths.Words, reach float64) bool {
	return w.Text != "" && w.Layer != "" && w.Line > 0 && w.Height > 0 && w.Height <= reach &&
		max(math.Abs(w.At.X), math.Abs(w.At.Y)) <= reach && !math.IsNaN(w.Turn+w.Spacing)
}

func checkStroke(s paths.DesignStroke, reach float64) error {
	if err := s.Validate(); err != nil {
		return err
	}
	if len(s.Stroke) == 0 || s.Line < 1 || !(s.Width >= 0) || s.Colour == "" {
		return fmt.Errorf("a stroke of %d curves, width %v, colour %q", len(s.Stroke), s.Width, s.Colour)
	}
	if b := s.Bounds(); !(max(math.Abs(b.Min.X), math.Abs(b.Min.Y), math.Abs(b.Max.X), math.Abs(b.Max.Y)) <= reach) {
		return fmt.Errorf("the stroke reaches to %v", b)
	}
	return nil
}

// CheckError checks that err is a whole error for a person: a [*fault.Error] with
// where, what and what to do.
func CheckError(t testing.TB, err error) {
	t.Helper()
	var bad *fault.Error
	if !errors.As(err, &bad) || bad.What == "" || bad.Where == "" || bad.Do == "" {
		t.Fatalf("error %v is no whole fault", err)
	}
}

// Fault returns the [*fault.Error] that err is.
func Fault(t testing.TB, err error) *fault.Error {
	t.Helper()
	var f *fault.Error
	if !errors.As(err, &f) {
		t.Fatalf("error %v (%T) is no *fault.Error", err, err)
	}
	return f
}

// Memory checks that f allocates at most 500 MB in all. Much of that is soon
// garbage, so f holds less at any one time.
func Memory(t testing.TB, f func()) {
	t.Helper()
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	f()
	runtime.ReadMemStats(&after)
	if got, limit := after.TotalAlloc-before.TotalAlloc, uint64(500<<20); got > limit {
		t.Errorf("%d MB were allocated, more than %d", got>>20, limit>>20)
	}
}

// Corpus checks that the corpus of FuzzRead is there; without one, FuzzRead
// would pass without testing anything.
func Corpus(t testing.TB) {
	t.Helper()
	if list, err := filepath.Glob(filepath.Join("testdata", "fuzz", "FuzzRead", "*")); err != nil || len(list) < 10 {
		t.Errorf("%d files in the fuzz corpus (%v), want 10 and more", len(list), err)
	}
}
