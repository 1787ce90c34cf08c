package cloth

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/mat"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth/models"
)

// A Plan chooses marks on a cloth of which none has been read yet, for the error
// at places that matter, such as the joints of two loads. Make one with
// [NewPlan].
type Plan struct {
	grid       weave.Grid
	sheet      sheet
	prior      Prior
	places     []weave.Place
	candidates []weave.Place
	noises     []float64    // of the candidates, mm; nil is the prior's
	aims       []Aim        // nil: all places count alike
	weights    [2][]float64 // of the variance at each place, each way; nil is all of it
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
	base := models.Fitted{At: g.At}
	s := newSheet(all, weave.Place{}, base)
	if models.OnOneLine(pairs(all), g) {
		return Plan{}, fault.Bad("", "give places that spread both ways", "all places lie on one line")
	}
	return Plan{grid: g, sheet: s, prior: prior, places: slices.Clone(places), candidates: slices.Clone(candidates)}, nil
}

// kinds of cloth that a plan is made for: bent as far as the prior says, by one
// bow for the rug or one that changes.
func (p Plan) kinds() []kind {
	bend := 1.15 * p.prior.Bow / 3 // the greatest of the prior's own kinds
	return []kind{{bow: bend, stretch: bend / 4, finer: 0.25, variation: variation{0.2, 0.04}}, {bow: bend, stretch: bend / 4, finer: 0.25, variation: variation{0.5, 0.2}}}
}

// fresh returns the uncertainty before a mark is read.
func (p Plan) fresh() (out []*spread) {
	at, can := p.sheet.rowsAt(p.places), p.sheet.rowsAt(p.candidates)
	none := mat.NewSymDense(len(shapes), nil)
	for _, k := range p.kinds() {
		s := &spread{noise: p.prior.Noise, noises: p.noises, scale: p.sheet.scale(), weights: p.weights}
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
func (p Plan) Expect(chosen []int) Expectation { return p.foresee(p.after(chosen)) }

// ExpectAside returns the error to expect across the lines that pass the plan's places, each
// in a direction, in channels; see [Registration.ExpectAside].
func (p Plan) ExpectAside(chosen []int, along []weave.Place) Expectation {
	return foresee(p.after(chosen), func(i int, v paths.Point) float64 {
		return Aim{Along: along[i], Bound: 1}.off(v)
	})
}

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

// foresee draws cloths that might be, and sums up how far their maps would be off at the
// plan's places: in channels, or as shares of what is small enough where the plan has aims.
func (p Plan) foresee(spreads []*spread) Expectation {
	if p.aims == nil {
		return foresee(spreads, func(_ int, v paths.Point) float64 { return v.Len() })
	}
	return expectWorst(foreseen(spreads, func(i int, v paths.Point) float64 { return p.aims[i].off(v) }))
}

// foresee sums up what is foreseen.
func foresee(spreads []*spread, off func(i int, v paths.Point) float64) Expectation {
	return expect(foreseen(spreads, off))
}

// foreseen draws cloths that might be, and returns how far off their maps would be at each
// place, a row to a cloth: off tells it of place i, where the map is v off in channels.
func foreseen(spreads []*spread, off func(i int, v paths.Point) float64) [][]float64 {
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
			v := paths.Point{X: dot(s.places[0][i], e[0]) * s.scale[0], Y: dot(s.places[1][i], e[1]) * s.scale[1]}
			out[d] = append(out[d], off(i, v))
		}
	}
	return out
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
// the others make needless is left out again. Marks on one line are never enough:
// [Fit] wants to know the other way too.
//
// It takes time in proportion to marks, candidates and places.
func (p Plan) Choose(bound Bound, most int) Chosen {
	s := p.fresh()
	var out Chosen
	for len(out.Indices) < min(most, len(p.candidates)) {
		c, _ := best(s, p.useful(out.Indices))
		if c < 0 {
			break
		}
		readAll(s, c)
		out.Indices, out.After = append(out.Indices, c), append(out.After, p.foresee(s))
		if bound.holds(out.After[len(out.After)-1]) && !p.lined(out.Indices) {
			return p.thin(out.Indices, bound)
		}
	}
	return out
}

// lined reports whether marks are too few or on one line, so that no map follows
// from them.
func (p Plan) lined(indices []int) bool {
	if len(indices) < models.Least[models.Affine] {
		return true
	}
	marks := make([]Mark, len(indices))
	for i, c := range indices {
		marks[i].Place = p.candidates[c]
	}
	return models.OnOneLine(pairs(marks), p.grid)
}

// useful reports which candidates are worth a mark after those taken: once there
// are two on a line, one that is off it.
func (p Plan) useful(taken []int) func(int) bool {
	lined := len(taken) >= 2 && p.lined(append(slices.Clone(taken), taken[0]))
	return func(c int) bool {
		return !slices.Contains(taken, c) && !(lined && p.lined(append(slices.Clone(taken), c)))
	}
}

// thin leaves out marks without which the error is still within the bound, the
// earliest first, for those were chosen when least was known.
func (p Plan) thin(indices []int, bound Bound) Chosen {
	for i := 0; i < len(indices); {
		fewer := slices.Delete(slices.Clone(indices), i, i+1)
		if p.lined(fewer) || !bound.holds(p.Expect(fewer)) {
			i++
			continue
		}
		indices = fewer
	}
	out := Chosen{Indices: indices, Enough: true}
	s := p.fresh()
	for _, c := range indices {
		readAll(s, c)
		out.After = append(out.After, p.foresee(s))
	}
	return out
}

// Next returns the candidate to take after marks at those of the given indices,
// and the error to expect then. It returns false where every candidate is taken.
func (p Plan) Next(taken []int) (index int, then Expectation, ok bool) {
	return p.NextOf(taken, len(p.candidates))
}

// NextOf is [Plan.Next] of the first n candidates.
func (p Plan) NextOf(taken []int, n int) (index int, then Expectation, ok bool) {
	s := p.after(taken)
	useful := p.useful(taken)
	index, _ = best(s, func(c int) bool { return c < n && useful(c) })
	if index < 0 {
		return 0, p.foresee(s), false
	}
	readAll(s, index)
	return index, p.foresee(s), true
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
				v = max(v, 1.96*math.Sqrt(dot(q, q)+sp.noiseOf(c)*sp.noiseOf(c))*sp.scale[way])
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
