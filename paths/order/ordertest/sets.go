package ordertest

import (
	"math"
	"math/rand/v2"
	"testing"

	"weftplot/paths"
)

func pt(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

// A Set is a drawing to order from the origin and back, with the least travel
// known.
type Set struct {
	Name    string
	Strokes func(testing.TB) []paths.Stroke
	Best    float64 // mm
}

func fromSVG(name string) func(testing.TB) []paths.Stroke {
	return func(t testing.TB) []paths.Stroke { return ReadSVG(t, name+".svg") }
}

func FromTSP(name string) func(testing.TB) []paths.Stroke {
	return func(t testing.TB) []paths.Stroke { return Dots(ReadTSP(t, name+".tsp")) }
}

// Sets are the published instances, testdata/README.md, and our own, whose best
// lengths are those of our longest runs.
var Sets = []Set{
	{"seg-200", fromSVG("seg-200"), 6676.867},
	{"seg-1000", fromSVG("seg-1000"), 11886.565},
	{"mixed-1000", fromSVG("mixed-1000"), 11233.321},
	{"a280", FromTSP("a280"), 2586.77},
	{"pr1002", FromTSP("pr1002"), 259066.66},
	{"clusters-2000", func(testing.TB) []paths.Stroke { return Clusters(2000, 1) }, 11859.944},
	// A closed tour of a lattice with an even number of points a side has one step for each.
	{"lattice-900", func(testing.TB) []paths.Stroke { return Lattice(30) }, 9000},
	{"uniform-5000", func(testing.TB) []paths.Stroke { return Uniform(5000, 1) }, 58689.157},
	{"uniform-50000", func(testing.TB) []paths.Stroke { return Uniform(50000, 1) }, 578872.28},
}

// sheet returns the side of a square sheet with 400 mm² for each of n strokes.
func sheet(n int) float64 { return 20 * math.Sqrt(float64(n)) }

// dash returns a short line of random direction.
func dash(r *rand.Rand, at paths.Point, mean float64) paths.Stroke {
	l := r.ExpFloat64() * mean
	sin, cos := math.Sincos(r.Float64() * 7)
	return paths.Polyline(at, at.Add(pt(l*cos, l*sin)))
}

// Uniform returns n dashes all over a sheet.
func Uniform(n int, seed uint64) []paths.Stroke {
	r := rand.New(rand.NewPCG(seed, 9))
	out := make([]paths.Stroke, n)
	for i := range out {
		out[i] = dash(r, pt(r.Float64()*sheet(n), r.Float64()*sheet(n)), 8)
	}
	return out
}

// Segments returns n lines of 2 to 20 mm on a sheet, like seg-1000.
func Segments(n int, seed uint64) []paths.Stroke {
	r := rand.New(rand.NewPCG(seed, 21))
	w, h := 0.8*sheet(n), 1.2*sheet(n)
	out := make([]paths.Stroke, 0, n)
	for len(out) < n {
		a := pt(r.Float64()*w, r.Float64()*h)
		sin, cos := math.Sincos(2 * math.Pi * r.Float64())
		if b := a.Add(pt(cos, sin).Mul(2 + 18*r.Float64())); b.X >= 0 && b.X <= w && b.Y >= 0 && b.Y <= h {
			out = append(out, paths.Polyline(a, b))
		}
	}
	return out
}

// Mixed returns n strokes on a sheet, like mixed-1000: about half of them are closed
// polygons of 5 to 12 corners, the others open polylines of 2 to 5 points.
func Mixed(n int, seed uint64) []paths.Stroke {
	r := rand.New(rand.NewPCG(seed, 22))
	w, h := 0.8*sheet(n), 1.2*sheet(n)
	out := make([]paths.Stroke, n)
	for i := range out {
		at := pt(10+r.Float64()*(w-20), 10+r.Float64()*(h-20))
		if r.IntN(2) == 0 {
			out[i] = polygon(r, at)
		} else {
			out[i] = wander(r, at)
		}
	}
	return out
}

// polygon returns a closed polygon round a point.
func polygon(r *rand.Rand, centre paths.Point) paths.Stroke {
	corners := 5 + r.IntN(8)
	turn, size := 2*math.Pi*r.Float64(), 5+3*r.Float64()
	pts := make([]paths.Point, corners+1)
	for k := range corners {
		sin, cos := math.Sincos(turn + 2*math.Pi*float64(k)/float64(corners))
		pts[k] = centre.Add(pt(cos, sin).Mul(size * (0.7 + 0.5*r.Float64())))
	}
	pts[corners] = pts[0]
	return paths.Polyline(pts...)
}

// wander returns an open polyline that turns a little at each point.
func wander(r *rand.Rand, at paths.Point) paths.Stroke {
	pts := []paths.Point{at}
	way := 2 * math.Pi * r.Float64()
	for range 1 + r.IntN(4) {
		way += r.Float64()*2 - 1
		sin, cos := math.Sincos(way)
		at = at.Add(pt(cos, sin).Mul(2 + 5*r.Float64()))
		pts = append(pts, at)
	}
	return paths.Polyline(pts...)
}

// Lattice returns dots 10 mm apart on a square of side by side, without the one at home.
func Lattice(side int) []paths.Stroke {
	var out []paths.Stroke
	for i := 1; i < side*side; i++ {
		out = append(out, paths.Polyline(pt(float64(i%side)*10, float64(i/side)*10)))
	}
	return out
}

// Clusters returns n dashes in clusters of about sixty.
func Clusters(n int, seed uint64) []paths.Stroke {
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

// Rings returns n small closed curves all over a sheet: circles, bent leaves and squares.
func Rings(n int, seed uint64) []paths.Stroke {
	r := rand.New(rand.NewPCG(seed, 13))
	out := make([]paths.Stroke, n)
	for i := range out {
		a, d := pt(r.Float64()*sheet(n), r.Float64()*sheet(n)), 2+4*r.Float64()
		b := a.Add(pt(d, d*r.Float64()))
		switch i % 3 {
		case 0:
			out[i] = paths.Stroke{paths.Circle(a, d/2)}
		case 1:
			up := pt(a.Y-b.Y, b.X-a.X).Mul(0.5)
			out[i] = paths.Stroke{
				paths.Cubic{A: a, B: a.Add(up), C: b.Add(up), D: b},
				paths.Cubic{A: b, B: b.Sub(up), C: a.Sub(up), D: a},
			}
		default:
			out[i] = paths.Polyline(a, a.Add(pt(d, 0)), a.Add(pt(d, d)), a.Add(pt(0, d)), a)
		}
	}
	return out
}

// RandomStrokes makes strokes of every kind on a small sheet: lines, chains,
// arcs, cubics, dots, circles, polygons, and closed curves.
func RandomStrokes(r *rand.Rand, n int) []paths.Stroke {
	p := func() paths.Point { return pt(100*r.Float64(), 100*r.Float64()) }
	near := func(q paths.Point) paths.Point { return q.Add(pt(20*r.Float64()-10, 20*r.Float64()-10)) }
	out := make([]paths.Stroke, n)
	for i := range out {
		a := p()
		switch r.IntN(9) {
		case 0:
			out[i] = paths.Polyline(a)
		case 1:
			out[i] = paths.Stroke{paths.Circle(a, 1+9*r.Float64())}
		case 2:
			out[i] = paths.Polyline(a, near(a), near(a), a)
		case 3:
			b := near(a)
			out[i] = paths.Stroke{paths.Cubic{A: a, B: near(a), C: near(b), D: b}, paths.Line{A: b, B: a}}
		case 4:
			out[i] = paths.Stroke{paths.ArcBulge(a, near(a), 2*r.Float64()-1)}
		case 5:
			b := near(a)
			out[i] = paths.Stroke{paths.Cubic{A: a, B: near(a), C: near(b), D: b}}
		default:
			out[i] = paths.Polyline(a, near(a), near(a))
		}
	}
	return out
}

// NearestFirst returns the travel when the pen always goes to the nearest end,
// or vertex of a closed stroke: the yardstick of weak methods.
func NearestFirst(strokes []paths.Stroke) float64 {
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
