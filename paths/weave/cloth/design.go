package cloth

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"weftplot/paths/weave"
)

// Which mark to take next is a question of the design of experiments. The mark is
// taken that lowers most the norm of the map's variance over the places that
// matter, in channels: the fourth power's mean, which stands between
// I-optimality, the mean, and G-optimality, the greatest (Kiefer and Wolfowitz,
// Canadian J. Math. 12 (1960) 363-366). The greatest alone does not change while
// two places are equally bad, so that no single mark seems to help. The variance
// does not depend on where a mark will be found, so it is known beforehand; marks
// are added one by one (Cohn, Neural Networks 9 (1996) 1071-1083).
const varianceNorm = 4

// A spread is how uncertain a cloth's map is at places, for one kind of cloth
// each way and one size of noise.
type spread struct {
	noise float64
	// noises are those of the candidates where they are not all alike; nil is noise.
	noises []float64
	scale  [2]float64 // channels to a mm
	// weights are how much of the variance at each place counts, each way; nil is all.
	weights [2][]float64
	// places and candidates hold a vector to each: the covariance of the map at two
	// of them is the product of their vectors.
	places, candidates [2][][]float64
}

// columns returns the columns of m.
func columns(m *mat.Dense) [][]float64 {
	r, c := m.Dims()
	out := make([][]float64, c)
	for i := range c {
		out[i] = make([]float64, r)
		for j := range r {
			out[i][j] = m.At(j, i)
		}
	}
	return out
}

// rowsAt returns the shapes at places, a row to a place.
func (s sheet) rowsAt(places []weave.Place) *mat.Dense {
	out := mat.NewDense(len(places), len(shapes), nil)
	for i, p := range places {
		out.SetRow(i, s.values(p))
	}
	return out
}

func (s sheet) scale() [2]float64 {
	return [2]float64{math.Hypot(s.back[0][0], s.back[1][0]), math.Hypot(s.back[0][1], s.back[1][1])}
}

func dot(a, b []float64) (sum float64) {
	for i, v := range a {
		sum += v * b[i]
	}
	return sum
}

// noiseOf returns how far off candidate c is read, mm each way.
func (s *spread) noiseOf(c int) float64 {
	if s.noises == nil {
		return s.noise
	}
	return s.noises[c]
}

// variance returns the variance of the map at place i, in square channels, after
// candidate c was read too; c < 0 is none.
func (s *spread) variance(i, c int) (sum float64) {
	for way := range 2 {
		p := s.places[way][i]
		v := dot(p, p)
		if c >= 0 {
			q := s.candidates[way][c]
			pq := dot(p, q)
			v -= pq * pq / (dot(q, q) + s.noiseOf(c)*s.noiseOf(c))
		}
		v = max(v, 0) * s.scale[way] * s.scale[way]
		if s.weights[way] != nil {
			v *= s.weights[way][i]
		}
		sum += v
	}
	return sum
}

// read takes candidate c as read: every vector loses so much of c's that the
// products lose what c tells of them.
func (s *spread) read(c int) {
	for way := range 2 {
		q := slices.Clone(s.candidates[way][c])
		qq := dot(q, q)
		if qq == 0 {
			continue
		}
		noise := s.noiseOf(c)
		a := (1 - math.Sqrt(noise*noise/(noise*noise+qq))) / qq
		for _, vectors := range [][][]float64{s.places[way], s.candidates[way]} {
			for _, v := range vectors {
				d := a * dot(v, q)
				for j := range v {
					v[j] -= d * q[j]
				}
			}
		}
	}
}

// norm is the criterion, in channels, over several spreads, after candidate c.
func norm(spreads []*spread, c int) float64 {
	var sum float64
	n := 0
	for _, s := range spreads {
		for i := range s.places[0] {
			sum += math.Pow(s.variance(i, c), varianceNorm)
			n++
		}
	}
	return math.Pow(sum/float64(n), 0.5/varianceNorm)
}

// best returns the candidate after which the norm is least.
func best(spreads []*spread, allowed func(int) bool) (index int, after float64) {
	index, after = -1, math.Inf(1)
	for c := range spreads[0].candidates[0] {
		if !allowed(c) {
			continue
		}
		if v := norm(spreads, c); v < after*(1-1e-9) {
			index, after = c, v
		}
	}
	return index, after
}

// spreads returns the uncertainty at places after the marks, for the kinds of
// cloth that are likely.
func (b *belief) spreads(places, candidates []weave.Place) []*spread {
	const n = 6
	at, can := b.sheet.rowsAt(places), b.sheet.rowsAt(candidates)
	var out []*spread
	for s, c := range systematic(b.right, n) {
		if c == 0 {
			continue
		}
		var picked [2][]int
		for way := range 2 {
			for k, ck := range systematic(b.kindsGiven(s, way, noWrong), c) {
				picked[way] = append(picked[way], slices.Repeat([]int{k}, ck)...)
			}
		}
		for d := range c {
			sp := &spread{noise: b.noises[s].value, scale: b.sheet.scale()}
			for way := range 2 {
				k := picked[way][d]
				sp.places[way] = columns(seen(at, b.given[way][s][k].root, b.sizes[way][k]))
				sp.candidates[way] = columns(seen(can, b.given[way][s][k].root, b.sizes[way][k]))
			}
			out = append(out, sp)
		}
	}
	return out
}

// Proposal is a mark to take next.
type Proposal struct {
	Place weave.Place
	// Now and Then are the errors to expect before and after it, in channels: see
	// [Report.ExpectedError]. Then is an estimate.
	Now, Then float64
}

// next returns the candidate after which the error over places falls most, and by
// what factor.
func (b *belief) next(places, candidates []weave.Place, taken []Mark) (index int, factor float64) {
	s := b.spreads(places, candidates)
	index, after := best(s, func(c int) bool {
		for _, m := range taken {
			if channelsLong(place(m.Place.Across-candidates[c].Across, m.Place.Along-candidates[c].Along)) < samePlace {
				return false
			}
		}
		return true
	})
	if index < 0 {
		return index, 1
	}
	return index, after / norm(s, -1)
}
