package cloth

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/mat"

	"weftplot/paths"
	"weftplot/paths/weave"
)

// draws is how many cloths are drawn from what is believed.
const draws = 400

// draw returns cloths that might be this one, as shapes each way. Parts of the
// belief are drawn in proportion (systematic sampling), and the random numbers
// are the same each time, so that the same marks tell the same.
func (b *belief) draw() (out [draws][2][]float64) {
	r := rand.New(rand.NewPCG(1, 2))
	type part struct {
		noise int
		wrong wrong
	}
	var parts []part
	var share []float64
	for s, p := range b.right {
		parts, share = append(parts, part{s, noWrong}), append(share, p)
	}
	for _, w := range b.wrongs {
		for s, p := range w.by {
			parts, share = append(parts, part{s, w}), append(share, p)
		}
	}
	count := systematic(share, draws)
	n := 0
	for i, c := range count {
		if c == 0 {
			continue
		}
		for way := range 2 {
			d := n
			order := r.Perm(c) // so that the kinds of the two ways do not go together
			for k, ck := range systematic(b.kindsGiven(parts[i].noise, way, parts[i].wrong), c) {
				if ck == 0 {
					continue
				}
				root, mean := b.shapesOf(parts[i].noise, k, way, parts[i].wrong)
				for range ck {
					out[n+order[d-n]][way] = scatter(r, root, mean, b.sizes[way][k])
					d++
				}
			}
		}
		n += c
	}
	return out
}

// scatter draws shapes about their mean.
func scatter(r *rand.Rand, root *mat.TriDense, mean, sizes []float64) []float64 {
	v := make([]float64, len(mean))
	for j := range v {
		v[j] = r.NormFloat64()
	}
	blas64.Trsv(blas.NoTrans, root.RawTriangular(), blas64.Vector{N: len(v), Inc: 1, Data: v})
	for j := range v {
		v[j] = mean[j] + sizes[j]*v[j]
	}
	return v
}

// systematic shares n out in proportion, each to within one.
func systematic(share []float64, n int) []int {
	total := 0.
	for _, s := range share {
		total += s
	}
	out := make([]int, len(share))
	sum, given := 0., 0
	for i, s := range share {
		sum += s
		upTo := int(math.Floor(sum/total*float64(n) + 0.5))
		out[i] = upTo - given
		given = upTo
	}
	return out
}

// An errorField tells how far a map may be from the cloth.
type errorField struct {
	belief *belief
	drawn  [draws][2][]float64
	at     func(weave.Place) paths.Point // the map that is judged
}

// distances returns how far the map is from each cloth drawn, at each of places, in
// channels.
func (e *errorField) distances(places []weave.Place) [][]float64 {
	s := e.belief.sheet
	out := make([][]float64, draws)
	for _, p := range places {
		values := s.values(p)
		off := s.into(e.at(p).Sub(s.base.At(p)))
		for i, d := range e.drawn {
			v := paths.Point{X: dot(values, d[0]), Y: dot(values, d[1])}
			out[i] = append(out[i], s.channels(v.Sub(off)))
		}
	}
	return out
}

// expectAside is expect for distances across the lines that pass the places.
func (e *errorField) expectAside(lines []Passage) Expectation {
	s := e.belief.sheet
	out := make([][]float64, draws)
	for _, l := range lines {
		values := s.values(l.Place)
		off := s.into(e.at(l.Place).Sub(s.base.At(l.Place)))
		along := paths.Point{X: l.Along.Across, Y: l.Along.Along}.Unit()
		for i, d := range e.drawn {
			v := s.inChannels(paths.Point{X: dot(values, d[0]), Y: dot(values, d[1])}.Sub(off))
			aside := math.Abs(along.Cross(v))
			if along == (paths.Point{}) {
				aside = v.Len()
			}
			out[i] = append(out[i], aside)
		}
	}
	return expect(out)
}

// latticeSteps is how finely the error is looked for over a rug, each way.
const latticeSteps = 10

// Expectation is how far a map may be off the cloth at some places, in channels.
type Expectation struct {
	// Greatest is at the worst of the places: in 95 of 100 cloths the map is nowhere
	// farther off. Likely is the same for 2 of 3, as far as a standard deviation goes. On
	// random cloths it is nearest to the root mean square over cloths alike, and within
	// a factor of two of one cloth's own error as often as can be.
	Greatest, Likely float64
	// Usual is what 95 of 100 places stay within, all cloths together.
	Usual float64
}

// expect sums up distances, a row to each cloth drawn.
func expect(distances [][]float64) Expectation {
	x := expectWorst(distances)
	all := slices.Concat(distances...)
	slices.Sort(all)
	x.Usual = all[len(all)*95/100]
	return x
}

// expectWorst is expect without Usual, which takes the longest.
func expectWorst(distances [][]float64) Expectation {
	var worst []float64
	for _, d := range distances {
		worst = append(worst, slices.Max(d))
	}
	slices.Sort(worst)
	return Expectation{Greatest: worst[len(worst)*95/100], Likely: worst[len(worst)*2/3]}
}

// expect returns the error to expect at places.
func (e *errorField) expect(places []weave.Place) Expectation { return expect(e.distances(places)) }
