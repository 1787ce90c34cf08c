package cloth

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/mat"

	"weftplot/paths"
	"weftplot/paths/fault"
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
	scale [2]float64 // channels to a mm
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

// variance returns the variance of the map at place i, in square channels, after
// candidate c was read too; c < 0 is none.
func (s *spread) variance(i, c int) (sum float64) {
	for way := range 2 {
		p := s.places[way][i]
		v := dot(p, p)
		if c >= 0 {
			q := s.candidates[way][c]
			pq := dot(p, q)
			v -= pq * pq / (dot(q, q) + s.noise*s.noise)
		}
		sum += max(v, 0) * s.scale[way] * s.scale[way]
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
		a := (1 - math.Sqrt(s.noise*s.noise/(s.noise*s.noise+qq))) / qq
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

// A Plan chooses marks on a cloth of which none has been read yet, for the error
// at places that matter, such as the joints of two loads. Make one with
// [NewPlan].
type Plan struct {
	grid       weave.Grid
	sheet      sheet
	prior      Prior
	places     []weave.Place
	candidates []weave.Place
}

// NewPlan returns a plan for marks on a cloth whose weave is g, to make the map
// sure at places. The candidates are where marks can be taken, in channels; there
// is no order among them. The prior's noise must be known.
//
// A place, a candidate or a prior that is beyond any cloth, and no place or no
// candidate at all, are a [fault.Error].
func NewPlan(g weave.Grid, prior Prior, places, candidates []weave.Place) (Plan, error) {
	if err := prior.check(); err != nil {
		return Plan{}, err
	}
	prior = prior.withDefaults()
	if prior.Noise == 0 {
		return Plan{}, fault.Bad("", "0.2 mm is usual where a person steers with care", "it is not said how exactly marks are read")
	}
	if len(places) == 0 || len(candidates) < 2 {
		return Plan{}, fault.Bad("", "give two and more", "there are %d places that matter and %d for marks", len(places), len(candidates))
	}
	var all []Mark
	for _, p := range slices.Concat(places, candidates) {
		m := Mark{Place: p, At: g.At(p)}
		if err := m.check(""); err != nil {
			return Plan{}, err
		}
		all = append(all, m)
	}
	base := fitted{at: g.At}
	s := newSheet(all, weave.Place{}, base)
	if !(s.width > 0 && s.height > 0) {
		return Plan{}, fault.Bad("", "give places that spread both ways", "all places lie on one line")
	}
	return Plan{g, s, prior, slices.Clone(places), slices.Clone(candidates)}, nil
}

// kinds of cloth that a plan is made for: bent as far as the prior says, by one
// bow for the rug or one that changes.
func (p Plan) kinds() []kind {
	bend := p.prior.Bow / 3
	return []kind{{bow: bend, stretch: bend / 4, finer: 0.25, varied: 0.2}, {bow: bend, stretch: bend / 4, finer: 0.25, varied: 0.7}}
}

// fresh returns the uncertainty before a mark is read.
func (p Plan) fresh() (out []*spread) {
	at, can := p.sheet.rowsAt(p.places), p.sheet.rowsAt(p.candidates)
	none := mat.NewSymDense(len(shapes), nil)
	for _, k := range p.kinds() {
		s := &spread{noise: p.prior.Noise, scale: p.sheet.scale()}
		for way := range 2 {
			sizes := p.prior.sizes(k, p.sheet, way, false)
			root := precision(none, sizes, p.prior.Noise)
			s.places[way], s.candidates[way] = columns(seen(at, root, sizes)), columns(seen(can, root, sizes))
		}
		out = append(out, s)
	}
	return out
}

// Expect returns the error to expect at the plan's places with marks at the
// candidates of these indices.
func (p Plan) Expect(chosen []int) Expectation { return foresee(p.after(chosen)) }

// after returns the uncertainty once these candidates are read.
func (p Plan) after(chosen []int) []*spread {
	s := p.fresh()
	for _, c := range chosen {
		readAll(s, c)
	}
	return s
}

func readAll(s []*spread, c int) {
	for _, sp := range s {
		sp.read(c)
	}
}

// foresee draws cloths that might be, and sums up how far their maps would be off.
func foresee(spreads []*spread) Expectation {
	r := rand.New(rand.NewPCG(3, 4))
	out := make([][]float64, draws)
	for d := range out {
		s := spreads[d%len(spreads)]
		var e [2][]float64
		for way := range 2 {
			e[way] = make([]float64, len(shapes))
			for j := range e[way] {
				e[way][j] = r.NormFloat64()
			}
		}
		for i := range s.places[0] {
			out[d] = append(out[d], math.Hypot(dot(s.places[0][i], e[0])*s.scale[0], dot(s.places[1][i], e[1])*s.scale[1]))
		}
	}
	return expect(out)
}

// A Bound is an error that is small enough, in channels. A field that is 0 bounds
// nothing.
type Bound struct{ Greatest, Usual float64 }

func (b Bound) holds(x Expectation) bool {
	return (b.Greatest == 0 || x.Greatest <= b.Greatest) && (b.Usual == 0 || x.Usual <= b.Usual)
}

// Chosen is a set of marks in the order to take them.
type Chosen struct {
	Indices []int         // of candidates
	After   []Expectation // the error to expect after each
	Enough  bool          // whether the last is within the bound
}

// Choose returns marks in an order that lets a person stop as soon as the error
// to expect is small enough: each is the one that lowers the criterion most
// (between I- and G-optimality, one mark at a time: Kiefer and Wolfowitz 1960; Cohn
// 1996), until the error is within the bound or most marks are chosen. A mark that
// the others make needless is left out again.
//
// It takes time in proportion to marks, candidates and places.
func (p Plan) Choose(bound Bound, most int) Chosen {
	s := p.fresh()
	var out Chosen
	for len(out.Indices) < min(most, len(p.candidates)) {
		c, _ := best(s, func(c int) bool { return !slices.Contains(out.Indices, c) })
		readAll(s, c)
		out.Indices, out.After = append(out.Indices, c), append(out.After, foresee(s))
		if bound.holds(out.After[len(out.After)-1]) {
			return p.thin(out.Indices, bound)
		}
	}
	return out
}

// thin leaves out marks without which the error is still within the bound, the
// earliest first, for those were chosen when least was known.
func (p Plan) thin(indices []int, bound Bound) Chosen {
	for i := 0; i < len(indices); {
		fewer := slices.Delete(slices.Clone(indices), i, i+1)
		if len(fewer) < 2 || !bound.holds(p.Expect(fewer)) {
			i++
			continue
		}
		indices = fewer
	}
	out := Chosen{Indices: indices, Enough: true}
	s := p.fresh()
	for _, c := range indices {
		readAll(s, c)
		out.After = append(out.After, foresee(s))
	}
	return out
}

// Next returns the candidate to take after marks at those of the given indices,
// and the error to expect then. It returns false where every candidate is taken.
func (p Plan) Next(taken []int) (index int, then Expectation, ok bool) {
	s := p.after(taken)
	index, _ = best(s, func(c int) bool { return !slices.Contains(taken, c) })
	if index < 0 {
		return 0, foresee(s), false
	}
	readAll(s, index)
	return index, foresee(s), true
}

// Check returns the candidate at which one more mark checks the others best: the
// one whose reading is foretold most exactly by those taken, so that a slip shows,
// among those that stand apart from them, and how exactly, in channels, 95 of 100.
// It returns false where there is none.
func (p Plan) Check(taken []int) (index int, within float64, ok bool) {
	s := p.after(taken)
	within = math.Inf(1)
	for c, at := range p.candidates {
		if slices.Contains(taken, c) || !p.apart(at, taken) {
			continue
		}
		v := 0.
		for _, sp := range s {
			for way := range 2 {
				q := sp.candidates[way][c]
				v = max(v, 1.96*math.Sqrt(dot(q, q)+sp.noise*sp.noise)*sp.scale[way])
			}
		}
		if v < within {
			index, within, ok = c, v, true
		}
	}
	return index, within, ok
}

// apart reports whether a place is a sixteenth of the sheet from every mark taken.
func (p Plan) apart(at weave.Place, taken []int) bool {
	return !slices.ContainsFunc(taken, func(c int) bool {
		d := p.grid.At(at).Sub(p.grid.At(p.candidates[c]))
		return d.Len() < paths.Point{X: p.sheet.width, Y: p.sheet.height}.Len()/16
	})
}
