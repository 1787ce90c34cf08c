package outline

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"weftplot/paths"
)

// star returns the star polygon {corners/step} (Coxeter, Regular Polytopes, 2.8) about the
// origin: a fill of it winds up to step times round the points in its middle.
func star(r float64, corners, step int, turned float64) paths.Stroke {
	var list []paths.Point
	for k := range corners + 1 {
		sin, cos := math.Sincos(turned + 2*math.Pi*float64(k%corners*step)/float64(corners))
		list = append(list, pt(r*cos, r*sin))
	}
	return paths.Polyline(list...)
}

// stars returns n stars anywhere on a sheet 300 mm wide.
func stars(n int, sheer bool) (out []Fill) {
	rnd := rand.New(rand.NewPCG(27, 1))
	for i := range n {
		corners := 5 + 2*rnd.IntN(3)
		at := pt(rnd.Float64()*300, rnd.Float64()*300)
		s := star(10+15*rnd.Float64(), corners, 2, 7*rnd.Float64()).Transform(paths.Translate(at))
		out = append(out, Fill{Area: []paths.Stroke{s}, Colour: []string{"red", "blue", "green"}[i%3], Sheer: sheer})
	}
	return out
}

// What is seen of heaps of stars is the same as where all boundaries are crossed with one
// another and no fill is left out of a cell.
func TestStarsAsWithoutCells(t *testing.T) {
	for _, sheer := range []bool{false, true} {
		for _, colours := range []int{1, 3} {
			fills := stars(40, sheer)
			for i := range fills {
				fills[i].Area[0] = fills[i].Area[0].Transform(paths.Scale(0.2, 0.2))
				fills[i].Colour = fmt.Sprint(i % colours)
				fills[i].Sheer = sheer && i%9 != 0
			}
			got, want := seenIn(fills, crowded), seenIn(fills, 1<<30)
			if at, ok := beyond(got, want); ok {
				t.Errorf("sheer %v, %d colours: at %v a line is seen with cells, none without", sheer, colours, at)
			}
			if at, ok := beyond(want, got); ok {
				t.Errorf("sheer %v, %d colours: at %v a line is seen without cells, none with them", sheer, colours, at)
			}
		}
	}
}

// Looks at heaps of stars grow hardly faster than the stars, whose edges lie in one another;
// those at sheer stars of three colours far less than the places where they cross,
// whose number grows as the square.
func TestGrowthOfStars(t *testing.T) {
	for _, tt := range []struct {
		name  string
		sheer bool
		sizes []int
		most  float64 // exponent of looks, in fills
		looks float64 // at most, at the largest size
	}{
		{"stars", false, []int{150, 300, 600}, 1.35, 2.4e6},
		{"sheer stars", true, []int{75, 150, 300}, 1.95, 3.3e6},
	} {
		before := 0
		for k, n := range tt.sizes {
			spent := 0
			if _, err := Seen(stars(n, tt.sheer), Options{Work: 1 << 40, Spent: &spent}); err != nil {
				t.Fatal(err)
			}
			if k > 0 {
				grown := math.Log(float64(spent)/float64(before)) / math.Log(float64(n)/float64(tt.sizes[k-1]))
				if !(grown < tt.most) {
					t.Errorf("%s: from %d to %d looks grow from %d to %d: exponent %.2f, want less than %g", tt.name, tt.sizes[k-1], n, before, spent, grown, tt.most)
				}
			}
			before = spent
		}
		if float64(before) > tt.looks {
			t.Errorf("%s: %d looks at %d, want no more than %.0f", tt.name, before, tt.sizes[len(tt.sizes)-1], tt.looks)
		}
	}
}
