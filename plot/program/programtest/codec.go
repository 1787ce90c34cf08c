package programtest

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/deviation"
	"weftplot/paths/fault"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// Codec is the writer and the reader of a language under test.
type Codec struct {
	Write func(context.Context, program.Program, profiles.Machine) ([]byte, error)
	Read  func(ctx context.Context, name string, text []byte, m *profiles.Machine) (program.Program, error)
	// MostSteps is how many blocks a text of that many bytes may make.
	MostSteps func(bytes int) int
}

// Alone reads a text without knowing the machine.
func (c Codec) Alone(t testing.TB, text string) program.Program {
	t.Helper()
	p, err := c.Read(context.Background(), "test", []byte(text), nil)
	if err != nil {
		t.Fatalf("Read(%q): %v", text, err)
	}
	return p
}

// ThereAndBack writes p for m and reads it back.
func (c Codec) ThereAndBack(t rapid.TB, p program.Program, m profiles.Machine) (text []byte, back program.Program) {
	t.Helper()
	text, err := c.Write(context.Background(), p, m)
	if err != nil {
		t.Fatal(err)
	}
	if back, err = c.Read(context.Background(), "test", text, &m); err != nil {
		t.Fatalf("%v in\n%s", err, text)
	}
	return text, back
}

// WrittenAgain fails if a program that was read is not written back the same.
func (c Codec) WrittenAgain(t *testing.T, blocks []program.Block, m profiles.Machine) {
	t.Helper()
	text, back := c.ThereAndBack(t, program.Program{Blocks: blocks}, m)
	if again, err := c.Write(context.Background(), back, m); err != nil || !bytes.Equal(again, text) {
		t.Errorf("%s: written again it differs: %v\n%s\n%s", m.Name, err, text, again)
	}
}

// Hostile fails for a text, of a size that grows with n, whose reading takes
// more memory or makes more blocks than its length allows, or ends in an error
// that is not for people.
func (c Codec) Hostile(t *testing.T, m profiles.Machine, texts map[string]func(n int) string) {
	t.Helper()
	for name, text := range texts {
		Linear(t, name, func(n int) []byte { return []byte(text(n)) }, func(data []byte) {
			p, err := c.Read(context.Background(), "hostile", data, &m)
			var bad *fault.Error
			if err != nil && !errors.As(err, &bad) {
				t.Errorf("%s: %v", name, err)
			}
			if len(p.Blocks) > c.MostSteps(len(data)) || len(p.Notes)+len(p.Doubts)+len(p.Beyond) > 200 {
				t.Errorf("%s: %d blocks and %d notes of %d bytes", name, len(p.Blocks), len(p.Notes), len(data))
			}
		})
	}
}

// Fuzzing checks a codec's promises on any text.
type Fuzzing struct {
	Codec
	From *profiles.Machine // machine that the text is read for; nil for none
	To   profiles.Machine  // machine that the program is written for
	// Tolerance is the tolerance in mm that p is written with. Slack is how far
	// apart in mm strokes may be after writing and reading them once more.
	Tolerance, Slack func(p program.Program) float64
	// Time is how long a program's blocks take, s.
	Time func([]program.Block) float64
	// Lifts says that the pen must come down as often in the written program as
	// in the one that was read.
	Lifts bool
}

// Check reads a text. The result must be an error for people, or a program that
// is sound, that can be timed, and that the writer writes or refuses with an
// error for people. Writing and reading it a second time must not change it.
func (z Fuzzing) Check(t *testing.T, text []byte) {
	t.Helper()
	p, err := z.Read(context.Background(), "fuzz", text, z.From)
	if forPeople(t, err) {
		return
	}
	if wrong := Sound(p, len(text)); wrong != "" {
		t.Fatal(wrong)
	}
	if n := len(p.Blocks); n > z.MostSteps(len(text)) {
		t.Fatalf("%d blocks of %d bytes", n, len(text))
	}
	if total := z.Time(p.Blocks); !(total >= 0) {
		t.Fatalf("it takes %v s", total)
	}
	p.Tolerance = z.Tolerance(p)
	written, err := z.Write(context.Background(), p, z.To)
	if forPeople(t, err) {
		return
	}
	back, err := z.Read(context.Background(), "again", written, &z.To)
	if err != nil {
		t.Fatalf("what was written is not read: %v\n%s", err, written)
	}
	if a, b := lowered(p), lowered(back); z.Lifts && a != b {
		t.Fatalf("%d strokes come back of %d:\n%s", b, a, written)
	}
	back.Tolerance = p.Tolerance
	again, twice := z.ThereAndBack(t, back, z.To)
	if wrong := Alike(back.Strokes(), twice.Strokes(), z.Slack(back)); wrong != "" {
		t.Fatalf("%s\n%s\n%s", wrong, written, again)
	}
}

// forPeople reports whether err is not nil, and fails if it is not an error for
// people.
func forPeople(t *testing.T, err error) bool {
	t.Helper()
	var bad *fault.Error
	if err != nil && !errors.As(err, &bad) {
		t.Fatalf("%T: %v", err, err)
	}
	return err != nil
}

// lowered counts the times the pen comes down to draw or to make a dot; a Draw
// with no pen move before it counts too, because it lowers the pen.
func lowered(p program.Program) int {
	n, down := 0, false
	for _, b := range p.Blocks {
		was := down
		down = b.Kind.Down(was) && b.Kind != program.Pause
		if down && !was && (b.Kind == program.PenDown || b.Kind == program.Draw) {
			n++
		}
	}
	return n
}

// Span returns the greatest extent of a program along one axis, mm.
func Span(p program.Program) float64 {
	reach := program.Total(p).Reach
	if reach.IsEmpty() {
		return 0
	}
	return max(reach.Width(), reach.Height())
}

// Seeds adds to the seeds of a fuzz target the program files that match a
// pattern, read for a machine, and the texts, read for none.
func Seeds(f *testing.F, pattern string, texts ...string) {
	f.Helper()
	files, err := filepath.Glob(pattern)
	if err != nil || len(files) == 0 {
		f.Fatal("no programs to start from")
	}
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data, true)
	}
	for _, text := range texts {
		f.Add([]byte(text), false)
	}
}

// Apart returns how far two strokes stray from each other at most, mm, measured
// at steps.
func Apart(a, b paths.Stroke, step float64) float64 {
	return deviation.Apart(a, b, step)
}

// Golden compares a text with the content of a file, or with update writes the
// file.
func Golden(t *testing.T, file string, got []byte, update bool) {
	t.Helper()
	if update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs; it is now\n%s", file, got)
	}
}
