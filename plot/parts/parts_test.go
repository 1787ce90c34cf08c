package parts_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
	"weftplot/plot/parts"
)

func pt(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

var monks = weave.Grid{Across: 25.4 / 12, Along: 25.4 / 13}

// anyLine draws a line of some kind on 900 x 1500 mm.
func anyLine(t *rapid.T, i int) parts.Line {
	n := func(label string, lo, hi int) float64 { return float64(rapid.IntRange(lo, hi).Draw(t, label)) }
	at := pt(n("x", 0, 900), n("y", 0, 1500))
	switch rapid.IntRange(0, 4).Draw(t, "kind") {
	case 0: // a straight one, anywhere
		return parts.Line{Stroke: paths.Polyline(at, pt(n("x2", 0, 900), n("y2", 0, 1500)))}
	case 1: // a zigzag
		return parts.Line{Stroke: paths.Polyline(at, pt(n("x2", 0, 900), n("y2", 0, 1500)), pt(n("x3", 0, 900), n("y3", 0, 1500)))}
	case 2: // a ring
		return parts.Line{Stroke: paths.Stroke{paths.Circle(at, n("r", 5, 500))}}
	case 3: // a closed polygon
		w, h := n("w", 5, 900), n("h", 5, 1500)
		return parts.Line{Stroke: paths.Polyline(at, at.Add(pt(w, 0)), at.Add(pt(w, h)), at.Add(pt(0, h)), at)}
	}
	return parts.Line{Stroke: paths.Polyline(at, at.Add(pt(20, 5))), Word: i + 1}
}

// covered returns how many pieces of a line pass each of its places, a mm apart.
func covered(line paths.Stroke, pieces []parts.Piece, number int) []int {
	var places []paths.Point
	for _, c := range line {
		n := int(c.Length()) + 1
		for k := range n {
			places = append(places, c.At((float64(k)+0.5)/float64(n)))
		}
	}
	out := make([]int, len(places))
	for _, p := range pieces {
		if p.Line != number {
			continue
		}
		pts := p.Flatten(0.01)
		for i, at := range places {
			for k := 1; k < len(pts); k++ {
				a, b := pts[k-1], pts[k]
				ab := b.Sub(a)
				u := 0.
				if l := ab.Dot(ab); l > 0 {
					u = min(1, max(0, at.Sub(a).Dot(ab)/l))
				}
				if a.Lerp(b, u).Dist(at) < 0.03 {
					out[i]++
					break
				}
			}
		}
	}
	return out
}

// Nothing is missing, nothing is drawn twice beyond the laps, every piece lies in its
// window, and no word is cut.
func TestNothingMissingNothingTwice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var lines []parts.Line
		for i := range rapid.IntRange(1, 6).Draw(t, "lines") {
			lines = append(lines, anyLine(t, i))
		}
		opt := parts.Options{Width: 400, Height: 600, Lap: 2}
		d, _, ok := parts.Divide(lines, opt)
		if !ok {
			t.Fatal("a word of 20 mm is too long")
		}
		var all []parts.Piece
		drawn := make([]float64, len(lines))
		for n, pieces := range d.Pieces {
			for _, p := range pieces {
				if by, side := d.Windows[n].Excess(p.Bounds()); by > 0.01 {
					t.Fatalf("a piece of line %d leaves window %d by %.3f at the %s", p.Line, n, by, side)
				}
				drawn[p.Line] += p.Length()
			}
			all = append(all, pieces...)
		}
		joints := make([]int, len(lines))
		for _, j := range d.Joints {
			joints[j.Line]++
			if j.Loads[0] >= j.Loads[1] {
				t.Fatalf("a joint of loads %v", j.Loads)
			}
		}
		for i, l := range lines {
			for _, n := range covered(l.Stroke, all, i) {
				if n == 0 {
					t.Fatalf("a mm of line %d is missing", i)
				}
			}
			if most := l.Length() + float64(joints[i])*opt.Lap + 0.05; drawn[i] > most {
				t.Fatalf("line %d of %.2f mm is drawn %.2f mm long, with %d joints", i, l.Length(), drawn[i], joints[i])
			}
			if l.Word > 0 && joints[i] > 0 {
				t.Fatalf("the word of line %d is cut", i)
			}
		}
	})
}

// There are as few windows as hold the drawing with room for a joint, worked by hand: two
// windows of 600 mm that have 40 in common hold 1160.
func TestFewWindows(t *testing.T) {
	for _, c := range []struct {
		w, h    float64
		windows int
	}{{400, 600, 1}, {400, 601, 2}, {400, 1160, 2}, {400, 1161, 3}, {401, 600, 2}, {401, 601, 4}, {760, 1720, 6}} {
		line := parts.Line{Stroke: paths.Polyline(pt(0, 0), pt(c.w, 0), pt(c.w, c.h), pt(0, c.h), pt(0, 0))}
		d, _, _ := parts.Divide([]parts.Line{line}, parts.Options{Width: 400, Height: 600, Lap: 2})
		if len(d.Windows) != c.windows {
			t.Errorf("%g x %g mm take %d windows, want %d", c.w, c.h, len(d.Windows), c.windows)
		}
	}
}

// A word longer than a window is drawn letter by letter, and a letter that is too large is
// told.
func TestWords(t *testing.T) {
	word := []parts.Line{{paths.Polyline(pt(0, 0), pt(100, 0)), 1}, {paths.Polyline(pt(450, 0), pt(550, 0)), 1}, {paths.Polyline(pt(0, 0), pt(0, 500)), 0}}
	d, _, ok := parts.Divide(word, parts.Options{Width: 400, Height: 600, Lap: 2})
	if !ok || len(d.Joints) != 0 || len(d.Pieces[0]) != 2 || len(d.Pieces[1]) != 1 {
		t.Errorf("%v %+v", ok, d)
	}
	word[0].Stroke = paths.Polyline(pt(0, 0), pt(500, 0))
	if _, i, ok := parts.Divide(word, parts.Options{Width: 400, Height: 600, Lap: 2}); ok || i != 0 {
		t.Errorf("a letter of 500 mm is drawn: line %d", i)
	}
}

// Points are crossings and corners of ink, threads have the word in their names, they lie
// in the window, and they make the joints sure.
func TestFind(t *testing.T) {
	var ink []paths.Stroke
	var names []string
	for x := 0.; x <= 380; x += 40 {
		ink, names = append(ink, paths.Polyline(pt(x*monks.Across/2, 0), pt(x*monks.Across/2, 320))), append(names, "rails")
	}
	for y := 0.; y <= 300; y += 30 {
		ink, names = append(ink, paths.Polyline(pt(0, y), pt(400, y))), append(names, "bands")
	}
	joints := []paths.Point{pt(0, 310), pt(200, 310), pt(390, 310)}
	var meets []cloth.Passage
	for _, at := range joints {
		meets = append(meets, cloth.Passage{Place: monks.PlaceOf(at), Along: weave.Place{Along: 1}})
	}
	f := parts.Finding{Grid: monks, Window: paths.Rect{Min: pt(0, 150), Max: pt(400, 800)}, Ink: ink, Names: names, Meets: meets, Joints: joints}
	found := parts.Find(f)
	threads := 0
	for _, p := range found.Points {
		if !f.Window.Grow(1).Contains(monks.At(p.Place)) {
			t.Errorf("%s lies outside the window", p.Name)
		}
		if p.Thread != strings.Contains(p.Name, "thread") {
			t.Errorf("%q, thread %v", p.Name, p.Thread)
		}
		if p.Thread {
			threads++
		} else if !strings.Contains(p.Name, "crossing of bands and rails") && !strings.HasPrefix(p.Name, "corner") {
			t.Errorf("ink is called %q", p.Name)
		}
	}
	if ink := len(found.Points) - threads; ink < 5 || threads < 5 || len(found.Points) > 25 {
		t.Errorf("%d points of ink and %d of threads", ink, threads)
	}
	if n := len(found.After); n == 0 || !(found.After[n-1].Greatest < 0.3) {
		t.Errorf("the error to expect at the joints: %+v", found.After)
	}
	first := parts.Find(parts.Finding{Grid: monks, Window: f.Window, Joints: joints})
	for _, p := range first.Points {
		if !p.Thread || p.Place.Across != math.Round(p.Place.Across) || p.Place.Along != math.Round(p.Place.Along) {
			t.Errorf("the first load is found by %+v", p)
		}
	}
	if len(first.Points) < 9 {
		t.Errorf("the first load is found by %d points", len(first.Points))
	}
}
