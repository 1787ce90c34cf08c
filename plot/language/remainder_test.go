package language_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	_ "weftplot/paths/samecases"
	"weftplot/plot/language"
	"weftplot/plot/program"
	"weftplot/plot/program/programtest"
)

func someProgram(t *rapid.T) program.Program {
	return program.Program{Blocks: programtest.Blocks(30, programtest.Strokes(paths.Point{X: 100, Y: 100}).Draw(t, "strokes")...)}
}

// TestRemainder: what is drawn before and what is left make the whole.
func TestRemainder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := someProgram(t)
		all := p.Strokes()
		n := rapid.IntRange(0, len(all)).Draw(t, "drawn")
		left := language.Remainder(p, n).Strokes()
		if wrong := programtest.Alike(all[n:], left, 0); wrong != "" {
			t.Fatalf("after %d of %d strokes: %s", n, len(all), wrong)
		}
	})
}

// TestRemainderKeepsThePen: the pen and the remark in force go first.
func TestRemainderKeepsThePen(t *testing.T) {
	line := paths.Polyline(paths.Point{}, paths.Point{X: 5})
	p := program.Program{Blocks: append([]program.Block{{Kind: program.Pen, Number: 3}, {Kind: program.Remark, Text: "sky"}}, programtest.Blocks(30, line, line)...)}
	got := language.Remainder(p, 1).Blocks
	if len(got) < 3 || got[0].Number != 3 || got[1].Text != "sky" || got[2].Kind != program.PenUp {
		t.Errorf("what is left begins with %+v", got)
	}
	if got := language.Remainder(p, 2).Strokes(); len(got) != 0 {
		t.Errorf("%v are left of all", got)
	}
}

// TestReenter: from a point on the way, all that comes after it is drawn, and
// nothing that comes before but what lies within the given distance.
func TestReenter(t *testing.T) {
	const within = 0.1
	rapid.Check(t, func(t *rapid.T) {
		p := someProgram(t)
		i := rapid.IntRange(0, len(p.Blocks)-1).Draw(t, "block")
		b := p.Blocks[i]
		if b.Curve == nil {
			t.Skip("nothing moves")
		}
		u := rapid.Float64Range(0, 1).Draw(t, "along")
		at := b.Curve.At(u)
		// A nearest point elsewhere on the same curve counts as well.
		got, n, ok := language.Reenter(p, i, i, at, within)
		if !ok {
			t.Fatalf("%v is not found on %v", at, b.Curve)
		}
		want := program.Total(program.Program{Blocks: p.Blocks[i:]}).DrawMM
		if b.Kind == program.Draw {
			want -= b.Curve.Length()
			rest := program.Total(got).DrawMM - want
			if rest < -1e-6 || rest > b.Curve.Length()+1e-6 {
				t.Fatalf("%v mm of %v are left", rest, b.Curve)
			}
			if line, is := b.Curve.(paths.Line); is && math.Abs(rest-(1-u)*line.Length()) > 1e-6 {
				t.Fatalf("%v mm of %v are left after %v", rest, line, u)
			}
		} else if left := program.Total(got).DrawMM; math.Abs(left-want) > 1e-6 {
			t.Fatalf("%v mm are left of %v", left, want)
		}
		if before := program.Total(program.Program{Blocks: p.Blocks[:i]}).Strokes; n > before || n < before-1 {
			t.Fatalf("%d strokes were begun before, and %d are said", before, n)
		}
		if first := got.Blocks[0]; first.Kind != program.Travel || first.Curve.End().Dist(at) > within+1e-9 {
			t.Fatalf("the pen goes to %v first, not to %v", first.Curve, at)
		}
		if _, _, ok := language.Reenter(p, 0, len(p.Blocks), paths.Point{X: -1e4}, within); ok {
			t.Fatal("a point far off is found")
		}
	})
}

// TestReenterOnAHairpin: a curve that turns back within a hundredth of its
// parameter is entered where the pen stands, not where a row of samples is
// nearest.
func TestReenterOnAHairpin(t *testing.T) {
	hairpin := paths.Cubic{A: paths.Point{}, B: paths.Point{X: 4000}, C: paths.Point{X: -3900}, D: paths.Point{X: 100, Y: 0.001}}
	p := program.Program{Blocks: programtest.Blocks(30, paths.Stroke{hairpin})}
	for i, b := range p.Blocks {
		if b.Kind != program.Draw {
			continue
		}
		for u := 0.003; u < 1; u += 0.0097 {
			at := hairpin.At(u)
			got, _, ok := language.Reenter(p, i, i, at, 0.1)
			if !ok || got.Blocks[0].Curve.End().Dist(at) > 1e-6 {
				t.Fatalf("at %v the pen goes to %v", at, got.Blocks)
			}
		}
	}
}
