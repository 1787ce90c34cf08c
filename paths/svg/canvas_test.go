package svg

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/tdewolff/canvas"
	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/deviation"
)

// Path data is read as canvas, an independent library, reads it: the same
// curves, as compact or as loose as the numbers may be written. Arcs are left
// out here, as canvas draws one class of them wrong, and have tests of their own
// against the standard's formulas.
func TestPathDataAgainstCanvas(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawPathData(t)
		design, err := Read("t.svg", []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000"><path fill="none" stroke="black" d="`+d+`"/></svg>`), Options{})
		if err != nil {
			t.Fatalf("%q: %v", d, err)
		}
		p, err := canvas.ParseSVGPath(d)
		if err != nil {
			t.Fatalf("canvas does not read %q: %v", d, err)
		}
		want := strokesOf(p)
		var got []paths.Stroke
		for _, s := range design.Strokes() {
			if !s.IsDot() { // canvas drops them
				got = append(got, s.Transform(paths.Affine{A: 1, D: -1, F: 1000}))
			}
		}
		if len(got) != len(want) {
			t.Fatalf("%q: %d strokes of ours, %d of canvas", d, len(got), len(want))
		}
		for i := range got {
			if away := deviation.Apart(got[i], want[i], 0.01); away > 0.02 {
				t.Fatalf("%q: stroke %d is %g away from that of canvas", d, i+1, away)
			}
		}
	})
}

// strokesOf returns the subpaths that canvas made. Canvas merges lines that go
// on in one direction, so curves are not counted.
func strokesOf(p *canvas.Path) []paths.Stroke {
	at := func(q canvas.Point) paths.Point { return paths.Point{X: q.X, Y: q.Y} }
	var out []paths.Stroke
	for s := p.Scanner(); s.Scan(); {
		var c paths.Curve
		switch s.Cmd() {
		case canvas.MoveToCmd:
			out = append(out, nil)
			continue
		case canvas.QuadToCmd:
			c = paths.Quadratic(at(s.Start()), at(s.CP1()), at(s.End()))
		case canvas.CubeToCmd:
			c = paths.Cubic{A: at(s.Start()), B: at(s.CP1()), C: at(s.CP2()), D: at(s.End())}
		default:
			c = paths.Line{A: at(s.Start()), B: at(s.End())}
		}
		if c.Length() > 0 {
			out[len(out)-1] = append(out[len(out)-1], c)
		}
	}
	return slices.DeleteFunc(out, func(s paths.Stroke) bool { return len(s) == 0 })
}

// drawPathData writes path data with as little or as much between the numbers
// as the grammar allows.
func drawPathData(t *rapid.T) string {
	var b strings.Builder
	// Plain random numbers: canvas makes lines of curves whose points coincide.
	random := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
	number := func(first bool) {
		v := random.IntN(80000) - 40000
		s := fmt.Sprintf(rapid.SampledFrom([]string{"%.2f", "%.1f", "%.0f", "%.3e"}).Draw(t, "form"), float64(v)/100)
		if !first && !strings.HasPrefix(s, "-") {
			b.WriteString(rapid.SampledFrom([]string{" ", ",", " , ", "\n", "+"}).Draw(t, "between"))
		}
		b.WriteString(s)
	}
	b.WriteByte('M')
	number(true)
	number(false)
	b.WriteByte('L')
	number(true)
	number(false)
	count := map[byte]int{'L': 2, 'H': 1, 'V': 1, 'C': 6, 'S': 4, 'Q': 4, 'T': 2, 'M': 2}
	before := byte('L')
	for range rapid.IntRange(1, 12).Draw(t, "commands") {
		c := rapid.SampledFrom([]byte("LHVCSQTMZ")).Draw(t, "command")
		if c == before && (c == 'H' || c == 'V') {
			continue // canvas loses the overshoot of a line that turns back on itself
		}
		if c == 'Z' && (before == 'M' || before == 'Z') {
			continue // canvas loses the current point when a subpath without a segment is closed
		}
		before = c
		letter := string(c)
		if rapid.Bool().Draw(t, "relative") {
			letter = strings.ToLower(letter)
		}
		b.WriteString(letter)
		for range rapid.IntRange(1, 2).Draw(t, "repeats") {
			for i := range count[c] {
				number(i == 0 && strings.HasSuffix(b.String(), letter))
			}
			if strings.ContainsRune("MZHV", rune(c)) {
				break
			}
		}
	}
	return b.String()
}
