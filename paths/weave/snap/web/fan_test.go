package web

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Of the lines of a fan, Next skips none that parts from the line asked about and is not gone.
func TestFanAgainstLookingAtAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		type line struct{ slope, up, down, off float64 }
		cone := func(l line) Cone {
			c := EmptyCone()
			c.Add(0, l.off)
			c.Add(l.up, l.slope*l.up)
			c.Add(-l.down, -l.slope*l.down)
			return c
		}
		lines := make([]line, rapid.IntRange(1, 40).Draw(t, "lines"))
		cones := make([]Cone, len(lines))
		far := rapid.OneOf(rapid.Just(0.), rapid.Float64Range(0, 100))
		for i := range lines {
			lines[i] = line{rapid.Float64Range(-0.1, 0.1).Draw(t, "slope"), far.Draw(t, "up"), far.Draw(t, "down"),
				rapid.Float64Range(-Joint, Joint).Draw(t, "off")}
			cones[i] = cone(lines[i])
		}
		const apart = 1
		parts := func(a, b line) bool {
			turn, off := math.Abs(a.slope-b.slope), math.Abs(a.off-b.off)
			return max(turn*min(a.up, b.up), turn*min(a.down, b.down))-off > apart
		}
		f := NewFan(cones)
		gone := map[int]bool{}
		for i, l := range lines {
			for k := 0; ; k++ {
				next := f.Next(k, cones[i], apart, func(j int) bool { return gone[j] })
				last := next
				if last < 0 {
					last = len(lines)
				}
				for ; k < last; k++ {
					if !gone[k] && parts(l, lines[k]) {
						t.Fatalf("line %d parts from line %d, and was skipped", k, i)
					}
				}
				if next < 0 {
					break
				}
				if gone[next] {
					t.Fatalf("line %d is gone, and was found", next)
				}
				if rapid.IntRange(0, 3).Draw(t, "goes") == 0 {
					gone[next] = true
				}
			}
		}
	})
}

// A line of a narrow fan, all of which goes but what does not part from it, looks at few.
func TestFanLooksAtFew(t *testing.T) {
	const n = 4096
	cones := make([]Cone, n)
	for i := range cones {
		cones[i] = EmptyCone()
		cones[i].Add(260, 9*float64(i*1571%n)/n)
	}
	f := NewFan(cones)
	gone := make([]bool, n)
	for i, c := range cones {
		for k := i + 1; !gone[i]; k++ {
			if k = f.Next(k, c, 1, func(j int) bool { return gone[j] }); k < 0 {
				break
			}
			gone[max(k, i)] = true
		}
	}
	if most := 40 * n; f.looks == 0 || f.looks > most {
		t.Errorf("%d looks at %d lines, at most %d are expected", f.looks, n, most)
	}
}
