package order

import (
	"math"
	"math/rand/v2"
	"testing"

	"weftplot/paths"
)

// A set is a drawing to order from the origin and back, with the least travel
// known.
type set struct {
	name    string
	strokes func(testing.TB) []paths.Stroke
	best    float64
}

func fromSVG(name string) func(testing.TB) []paths.Stroke {
	return func(t testing.TB) []paths.Stroke { return readSVG(t, name+".svg") }
}

func fromTSP(name string) func(testing.TB) []paths.Stroke {
	return func(t testing.TB) []paths.Stroke { return dots(readTSP(t, name+".tsp")) }
}

// sets are the published instances, testdata/README.md, and our own, whose best
// lengths are those of our longest runs.
var sets = []set{
	{"seg-200", fromSVG("seg-200"), 6676.867},
	{"seg-1000", fromSVG("seg-1000"), 11886.565},
	{"mixed-1000", fromSVG("mixed-1000"), 11233.321},
	{"a280", fromTSP("a280"), 2586.77},
	{"pr1002", fromTSP("pr1002"), 259066.66},
	{"clusters-2000", func(testing.TB) []paths.Stroke { return clusters(2000, 1) }, 11907.05},
	// A closed tour of a lattice with an even number of points a side has one step for each.
	{"lattice-900", func(testing.TB) []paths.Stroke { return lattice(30) }, 9000},
	{"uniform-5000", func(testing.TB) []paths.Stroke { return uniform(5000, 1) }, 58813.26},
	{"uniform-50000", func(testing.TB) []paths.Stroke { return uniform(50000, 1) }, 581173.94},
}

// sheet returns the side of a square sheet with 400 mm² for each of n strokes.
func sheet(n int) float64 { return 20 * math.Sqrt(float64(n)) }

// dash returns a short line of random direction.
func dash(r *rand.Rand, at paths.Point, mean float64) paths.Stroke {
	l := r.ExpFloat64() * mean
	sin, cos := math.Sincos(r.Float64() * 7)
	return paths.Polyline(at, at.Add(pt(l*cos, l*sin)))
}

// uniform returns n dashes all over a sheet.
func uniform(n int, seed uint64) []paths.Stroke {
	r := rand.New(rand.NewPCG(seed, 9))
	out := make([]paths.Stroke, n)
	for i := range out {
		out[i] = dash(r, pt(r.Float64()*sheet(n), r.Float64()*sheet(n)), 8)
	}
	return out
}

// lattice returns dots 10 mm apart on a square of side by side, without the one at home.
func lattice(side int) []paths.Stroke {
	var out []paths.Stroke
	for i := 1; i < side*side; i++ {
		out = append(out, paths.Polyline(pt(float64(i%side)*10, float64(i/side)*10)))
	}
	return out
}

// clusters returns n dashes in clusters of about sixty.
func clusters(n int, seed uint64) []paths.Stroke {
	r := rand.New(rand.NewPCG(seed, 9))
	centres := make([]paths.Point, max(1, n/60))
	for i := range centres {
		centres[i] = pt(r.Float64()*sheet(n), r.Float64()*sheet(n))
	}
	out := make([]paths.Stroke, n)
	for i := range out {
		c := centres[r.IntN(len(centres))]
		out[i] = dash(r, c.Add(pt(r.NormFloat64()*15, r.NormFloat64()*15)), 3)
	}
	return out
}

// nearestFirst returns the travel when the pen always goes to the nearest end,
// or vertex of a closed stroke: the yardstick of weak methods.
func nearestFirst(strokes []paths.Stroke) float64 {
	var at paths.Point
	var sum float64
	left := append([]paths.Stroke(nil), strokes...)
	for len(left) > 0 {
		best, least, out := 0, math.Inf(1), paths.Point{}
		try := func(k int, in, end paths.Point) {
			if d := at.Dist(in); d < least {
				best, least, out = k, d, end
			}
		}
		for k, s := range left {
			if s.IsClosed() {
				for _, c := range s {
					try(k, c.Start(), c.Start())
				}
				continue
			}
			try(k, s.Start(), s.End())
			try(k, s.End(), s.Start())
		}
		sum += least
		at = out
		left[best] = left[len(left)-1]
		left = left[:len(left)-1]
	}
	return sum + at.Len()
}
