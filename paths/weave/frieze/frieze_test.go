package frieze

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	_ "weftplot/paths/samecases"
	"weftplot/paths/weave"
)

func drawWish(t *rapid.T) Wish {
	return Wish{
		Width: rapid.IntRange(2, 30).Draw(t, "width"), Gap: rapid.IntRange(1, 8).Draw(t, "gap"),
		Sides: [2]int{rapid.IntRange(5, 400).Draw(t, "across"), rapid.IntRange(5, 400).Draw(t, "along")},
	}
}

// Every plan closes, its own mirror image, and what is not to give does not. Sizes and
// widths are held against trying them all.
func TestPlansClose(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := drawWish(t)
		check := func(name string, p Plan) {
			for i, side := range p.Sides {
				gaps := p.Gaps(i)
				sum := len(side.Starts) * p.Width
				for j, g := range gaps {
					sum += g
					if g < 1 || g != gaps[len(gaps)-1-j] {
						t.Fatalf("%s: gaps %v", name, gaps)
					}
				}
				if inner := gaps[1 : len(gaps)-1]; len(inner) > 0 && slices.Max(inner)-slices.Min(inner) > 1 {
					t.Fatalf("%s: gaps %v", name, gaps)
				}
				if sum != side.Length || len(side.Starts) == 0 {
					t.Fatalf("%s: %d motifs and gaps %v take %d of %d", name, len(side.Starts), gaps, sum, side.Length)
				}
			}
		}
		if p, ok := w.ByGap(); ok {
			check("gap", p)
			if p.Width != w.Width || p.Sides[0].Length != w.Sides[0] || p.Sides[1].Length != w.Sides[1] {
				t.Fatalf("more than the gap gave: %v", p)
			}
		}
		closes := func(width int) bool {
			for _, l := range w.Sides {
				n := 1
				for n*(width+w.Gap)+w.Gap < l {
					n++
				}
				if n*(width+w.Gap)+w.Gap != l {
					return false
				}
			}
			return true
		}
		p, ok := w.ByMotif()
		if ok {
			check("motif", p)
		}
		for width := 1; width < 60; width++ {
			if by := max(width-w.Width, w.Width-width); closes(width) && 3*by <= w.Width && (!ok || by < max(p.Width-w.Width, w.Width-p.Width)) {
				t.Fatalf("a motif of %d channels closes, and %v was found", width, p)
			}
		}
		p = w.BySize()
		check("size", p)
		for i, l := range w.Sides {
			for n := 1; n < 200; n++ {
				if other := n*(w.Width+w.Gap) + w.Gap; max(other-l, l-other) < max(p.Sides[i].Length-l, l-p.Sides[i].Length) {
					t.Fatalf("a side of %d is nearer to %d than %d", other, l, p.Sides[i].Length)
				}
			}
		}
	})
}

// Motifs go from channel to channel, and their foot lies at the band's outer edge.
func TestTurned(t *testing.T) {
	g := weave.Grid{Across: 2, Along: 2.5}
	b := Band{From: 5, Deep: 6, NX: 60, NY: 50}
	foot, head := g.At(weave.Place{Across: 3}), g.At(weave.Place{Across: 3, Along: 6})
	for side, want := range [][2]weave.Place{
		{{Across: 5 + 6 + 4 + 3, Along: 5}, {Across: 18, Along: 11}},
		{{Across: 55, Along: 18}, {Across: 49, Along: 18}},
		{{Across: 60 - 18, Along: 45}, {Across: 42, Along: 39}},
		{{Across: 5, Along: 50 - 18}, {Across: 11, Along: 32}},
	} {
		m := b.Turned(side, 4, g)
		if p, q := m.Apply(foot), m.Apply(head); p.Dist(g.At(want[0])) > 1e-9 || q.Dist(g.At(want[1])) > 1e-9 {
			t.Errorf("side %d: %v and %v", side, g.PlaceOf(p), g.PlaceOf(q))
		}
	}
}

// What is mitred ends on the slanting lines, and nothing of it lies beyond them.
func TestMitred(t *testing.T) {
	g := weave.Grid{Across: 2, Along: 2}
	b := Band{Deep: 6}
	level := paths.Polyline(g.At(weave.Place{Across: 0, Along: 2}), g.At(weave.Place{Across: 40, Along: 2}))
	got := b.Mitred(level, -10, 20, g)
	if len(got) != 1 || math.Abs(g.PlaceOf(got[0].Start()).Across-6) > 1e-9 || math.Abs(g.PlaceOf(got[0].End()).Across-34) > 1e-9 {
		t.Fatalf("%v", got) // from -4 to 24 on the side, from 6 to 34 as drawn
	}
	ring := paths.Stroke{paths.Circle(g.At(weave.Place{Across: 7, Along: 3}), 6)}
	for _, k := range b.Mitred(ring, -10, 20, g) {
		for _, p := range k.Flatten(0.01) {
			if q := g.PlaceOf(p); q.Across-10-q.Along+6 < -0.02 {
				t.Errorf("%v lies beyond the mitre", q)
			}
		}
		if q := g.PlaceOf(k.Start()); math.Abs(q.Across-10-q.Along+6) > 1e-6 && k.Start().Dist(ring.Start()) > 1e-9 {
			t.Errorf("a part begins at %v", q)
		}
	}
}
