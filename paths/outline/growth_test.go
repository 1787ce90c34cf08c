package outline

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"pgregory.net/rapid"

	"weftplot/paths"
)

// sheetful returns n fills of one size on a sheet of one size, so that the more there
// are the more lie over one another: discs and turned squares in three colours, or in
// one.
func sheetful(n int, colours []string) []Fill {
	rnd := rand.New(rand.NewPCG(19, 6))
	var out []Fill
	for i := range n {
		x, y := rnd.Float64()*300, rnd.Float64()*300
		f := Fill{Area: disc(x, y, 4), Colour: colours[i%len(colours)]}
		if i%2 == 0 {
			turn := paths.Rotate(rnd.Float64()).Then(paths.Translate(pt(x, y)))
			f.Area = []paths.Stroke{box(-4, -4, 8, 8)[0].Transform(turn)}
		}
		out = append(out, f)
	}
	return out
}

// sheets are the sheetfuls that growth is measured on.
var sheets = []struct {
	name    string
	colours []string
}{{"of three colours", []string{"red", "blue", "green"}}, {"of one colour", []string{"red"}}}

// size returns how many curves go in and come out.
func size(fills []Fill, seen []View) float64 {
	n := 0
	for i, f := range fills {
		for _, s := range f.Area {
			n += len(s)
		}
		for _, s := range seen[i].Lines {
			n += len(s)
		}
	}
	return float64(n)
}

// BenchmarkGrowth reports the exponents with which the time and the looks grow from
// 1,250 to 5,000 fills on one sheet, in curves that go in and come out: 1 is linear.
func BenchmarkGrowth(b *testing.B) {
	for _, sheet := range sheets {
		b.Run(sheet.name, func(b *testing.B) {
			took, looks, sizes := map[int]float64{}, map[int]float64{}, map[int]float64{}
			for b.Loop() {
				for _, n := range []int{1250, 2500, 5000} {
					fills, spent := sheetful(n, sheet.colours), 0
					start := time.Now()
					seen, err := Seen(fills, Options{Work: 1 << 40, Spent: &spent})
					if err != nil {
						b.Fatal(err)
					}
					took[n], looks[n], sizes[n] = time.Since(start).Seconds(), float64(spent), size(fills, seen)
					b.ReportMetric(took[n], fmt.Sprint("s-", n))
					b.ReportMetric(looks[n], fmt.Sprint("looks-", n))
					b.ReportMetric(sizes[n], fmt.Sprint("curves-", n))
				}
			}
			grown := math.Log(sizes[5000] / sizes[1250])
			b.ReportMetric(math.Log(took[5000]/took[1250])/grown, "exponent")
			b.ReportMetric(math.Log(looks[5000]/looks[1250])/grown, "exponent-looks")
		})
	}
}

// What is hidden is left out of account, and that changes nothing of what is seen: fills
// in a heap come out as they do where no cell hides anything.
func TestHiddenPiecesChangeNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var fills []Fill
		for i := range rapid.IntRange(5, 25).Draw(t, "fills") {
			fills = append(fills, drawFill(t, i))
		}
		if rapid.Bool().Draw(t, "window") {
			w := &Window{Shapes: []WindowShape{{Region: &Region{Edge: disc(10, 10, 8)}}}}
			for i := range fills {
				if i%3 == 0 {
					fills[i].Window = w
				}
			}
		}
		seen := func(steps ...func(*plane)) []View {
			p := &plane{fills: fills, tol: 1e-6, budget: 1e9, regions: map[*Region]numbered{}, windows: map[windowKey]*window{}}
			p.gather()
			for _, step := range steps {
				step(p)
			}
			return p.views()
		}
		got := seen((*plane).plant, (*plane).cover, (*plane).plantAll, (*plane).cutAll, (*plane).judge)
		bare := func(p *plane) { // as cover does where nothing hides anything
			for i := range p.covers.top {
				p.covers.top[i], p.covers.mixed[i] = -1, true
			}
			p.pieces = nil
			for i := range p.parts {
				p.hidden[i] = false
				p.pieces = append(p.pieces, piece{int32(i), p.parts[i].box})
			}
		}
		want := seen((*plane).plant, (*plane).cover, bare, (*plane).plantAll, (*plane).cutAll, (*plane).judge)
		// Which of the fills of one colour has a stroke depends on where it begins, and
		// slivers of a few thousandths come out one way or the other, a few hundredths of
		// a millimetre long in all.
		for _, colour := range []string{"red", "blue"} {
			g, w := 0., 0.
			for i, f := range fills {
				if f.Colour == colour {
					g, w = g+paths.LengthOf(got[i].Lines), w+paths.LengthOf(want[i].Lines)
				}
			}
			if math.Abs(g-w) > 0.2 {
				t.Fatalf("%.6f mm of %s are seen, want %.6f", g, colour, w)
			}
		}
	})
}
