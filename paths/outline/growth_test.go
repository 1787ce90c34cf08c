package outline

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

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
