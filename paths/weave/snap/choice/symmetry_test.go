package choice

import (
	"slices"
	"testing"
)

// linesAt returns upright lines of one length at these places.
func linesAt(places ...float64) []Line {
	var out []Line
	for _, at := range places {
		out = append(out, Line{Extent: Extent{at, 0, 90}, Weight: 90})
	}
	return out
}

// fixedAt returns lines of a border.
func fixedAt(channels ...int) []Line {
	var out []Line
	for _, k := range channels {
		out = append(out, Line{Extent: Extent{float64(k), -5, 95}, Fixed: true, Channel: k})
	}
	return out
}

// The lines of a border stand at other distances on the two sides of four even lines
// that do not lie in its middle. Folded about their axis, lines of the two sides come
// close; they are still far apart.
func TestFoldedFixedLinesAreNotCrowded(t *testing.T) {
	lines := append(linesAt(11, 16.2936, 21.5871, 26.8807), fixedAt(0, 5, 8, 34, 37, 42)...)
	a := Channels(Problem{Lines: lines, Room: &Span{11, 31}})
	if a.Mirror == nil || len(a.Crowded) > 0 {
		t.Errorf("mirror %v, crowded %v", a.Mirror, a.Crowded)
	}
	if want := []int{11, 16, 21, 26}; !slices.Equal(a.Channel[:4], want) {
		t.Errorf("channels %v, want %v: 5 each", a.Channel[:4], want)
	}
}

// The last of eleven lines stands as far from the border as from its neighbour. Three
// rows each take the axis almost two channels from where it is drawn.
func TestAxisIsLookedForFartherOff(t *testing.T) {
	var places []float64
	for i := range 11 {
		places = append(places, 16.7303+3.2978*float64(i))
	}
	a := Channels(Problem{Lines: append(linesAt(places...), fixedAt(0, 5, 8, 53, 56, 61)...), Room: &Span{11, 50}})
	if a.Mirror == nil || a.lacks() > 0 {
		t.Errorf("mirror %v, channels %v, sizes %+v", a.Mirror, a.Channel, a.Recurring)
	}
	for i := 1; i < 11; i++ {
		if d := a.Channel[i] - a.Channel[i-1]; d != 3 {
			t.Errorf("between lines %d and %d: %d rows, want 3", i, i+1, d)
		}
	}
}

// Three equal motifs whose outer lines stand as far from the border at both sides. With
// even gaps the right one is a row farther from it, and that is what gives.
func TestEvenMotifsComeBeforeTheirDistanceFromTheBorder(t *testing.T) {
	offs := []float64{0, 5.796, 14.134, 20.845}
	var places []float64
	var links []Link
	for i := range 3 {
		for j, o := range offs {
			places = append(places, 13.87+31.708*float64(i)+o)
			n := len(places) - 1
			if j > 0 {
				links = append(links, Link{A: n - 1, B: n, Sure: true})
			} else if i > 0 {
				links = append(links, Link{A: n - 4, B: n, Sure: true})
			}
		}
	}
	lines := linesAt(places...)
	for i := range lines {
		lines[i].Within = &Span{14, 98} // what hangs on them reaches 2.87 channels beyond
	}
	a := Channels(Problem{Lines: append(lines, fixedAt(0, 5, 8, 104, 107, 112)...), Links: links, Room: &Span{11, 101}})
	for i := range 8 {
		if got, want := a.Channel[i+4]-a.Channel[i], a.Channel[4]-a.Channel[0]; got != want {
			t.Errorf("line %d and its like in the next motif are %d rows apart, the first ones %d", i, got, want)
		}
	}
}
