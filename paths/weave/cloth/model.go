package cloth

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"weftplot/paths"
	"weftplot/paths/weave"
)

// The models of a stretched cloth, from the stiffest to the most pliant.
const (
	Auto        = "auto"        // as far as the marks show that the cloth bends
	Similarity  = "similarity"  // moved, turned and scaled; the ratio of the counts is trusted
	Affine      = "affine"      // each count is free, and the cloth may lean
	Bilinear    = "bilinear"    // opposite sides of different lengths
	Biquadratic = "biquadratic" // the full quadratic: bow, and counts that change over the rug
	Cubic       = "cubic"       // a bow that grows or leans to one side
	Smooth      = "smooth"      // bends anywhere, as cloth does
	ThinPlate   = "thin-plate"  // bends anywhere, by a spline
)

// Models are the names that [FitOptions] takes, [Auto] first.
var Models = []string{Auto, Similarity, Affine, Bilinear, Biquadratic, Cubic, Smooth, ThinPlate}

// leastMarks is the number of marks each model needs.
var leastMarks = map[string]int{Similarity: 2, Affine: 3, Bilinear: 4, Biquadratic: 6, Cubic: 10, Smooth: 3, ThinPlate: 7}

// frame centres and scales places, so that the fits are well conditioned: the
// marks come to lie within 1 of the origin.
type frame struct {
	pitch  paths.Point // mm to a channel, for the scale alone
	origin paths.Point
	scale  float64
	to     paths.Point // the mean of the marks on the machine
}

func newFrame(marks []Mark, g weave.Grid) frame {
	f := frame{pitch: paths.Point{X: g.Across, Y: g.Along}, scale: 1}
	n := 1 / float64(len(marks))
	for _, m := range marks {
		f.origin = f.origin.Add(f.mm(m.Place).Mul(n))
		f.to = f.to.Add(m.At.Mul(n))
	}
	var far float64
	for _, m := range marks {
		far = max(far, f.mm(m.Place).Dist(f.origin))
	}
	if far > 0 {
		f.scale = far
	}
	return f
}

func (f frame) mm(p weave.Place) paths.Point {
	return paths.Point{X: p.Across * f.pitch.X, Y: p.Along * f.pitch.Y}
}

func (f frame) local(p weave.Place) paths.Point { return f.mm(p).Sub(f.origin).Mul(1 / f.scale) }

// fitted is a model with its numbers found.
type fitted struct {
	model string
	at    func(weave.Place) paths.Point
	// residual is how far each mark is off its image. deleted is how far it
	// would be off had it not been used, for a fit with marks to spare.
	residual, deleted []paths.Point
	spare             bool
}

// leaveOneOut returns the root mean square of the deleted residuals, in mm, and
// +Inf where there are no marks to spare.
func (f fitted) leaveOneOut() float64 {
	if !f.spare {
		return math.Inf(1)
	}
	return rms(f.deleted)
}

func rms(v []paths.Point) float64 {
	var sum float64
	for _, p := range v {
		sum += p.Dot(p)
	}
	return math.Sqrt(sum / float64(len(v)))
}

var errSingular = errors.New("the marks do not determine the map")

// fitModel fits the named model to marks, at least leastMarks of them. Loose says by how
// much each mark is loose, in mm; nil is by nothing.
func fitModel(model string, marks []Mark, loose []float64, g weave.Grid) (fitted, error) {
	f := newFrame(marks, g)
	switch model {
	case Similarity:
		return fitSimilarity(marks, weights(loose, len(marks)), f)
	case Affine:
		return fitTerms(model, marks, weights(loose, len(marks)), f, affineTerms)
	case Bilinear:
		return fitTerms(model, marks, weights(loose, len(marks)), f, bilinearTerms)
	case Biquadratic:
		return fitTerms(model, marks, weights(loose, len(marks)), f, quadraticTerms)
	case Cubic:
		return fitTerms(model, marks, weights(loose, len(marks)), f, cubicTerms)
	}
	return fitThinPlate(marks, f)
}

// terms are functions of a place in the frame; a model is a weighted sum of
// them.
type terms func(paths.Point) []float64

func affineTerms(p paths.Point) []float64   { return []float64{1, p.X, p.Y} }
func bilinearTerms(p paths.Point) []float64 { return []float64{1, p.X, p.Y, p.X * p.Y} }
func quadraticTerms(p paths.Point) []float64 {
	return []float64{1, p.X, p.Y, p.X * p.Y, p.X * p.X, p.Y * p.Y}
}
func cubicTerms(p paths.Point) []float64 {
	return append(quadraticTerms(p), p.X*p.X*p.X, p.X*p.X*p.Y, p.X*p.Y*p.Y, p.Y*p.Y*p.Y)
}

// leastSquares returns the least-squares solution of a·x = b, column by column,
// and the diagonal of the hat matrix, the projection onto the columns of a:
// with a = QR its entries are the squares of the rows of Q = A·R⁻¹.
func leastSquares(a, b *mat.Dense) (x *mat.Dense, hat []float64, err error) {
	var qr mat.QR
	qr.Factorize(a)
	if !(qr.Cond() < 1e8) {
		return nil, nil, errSingular
	}
	x = new(mat.Dense)
	if err := qr.SolveTo(x, false, b); err != nil {
		return nil, nil, errSingular
	}
	var r mat.Dense
	qr.RTo(&r)
	n, p := a.Dims()
	hat = make([]float64, n)
	q := make([]float64, p)
	for i := range n {
		for j := range p {
			q[j] = a.At(i, j)
			for k := range j {
				q[j] -= q[k] * r.At(k, j)
			}
			q[j] /= r.At(j, j)
			hat[i] += q[j] * q[j]
		}
	}
	return x, hat, nil
}

// weights returns how much each of n marks counts in least squares beside one that is not
// loose: as the inverse of its noise, where marks are read to 0.2 mm (common practice).
func weights(loose []float64, n int) []float64 {
	const read = 0.2
	out := slices.Repeat([]float64{1}, n)
	for i, by := range loose {
		out[i] = read / math.Hypot(read, by)
	}
	return out
}

// fitTerms fits each machine coordinate as a sum of terms, by least squares.
func fitTerms(model string, marks []Mark, weights []float64, f frame, of terms) (fitted, error) {
	n, p := len(marks), len(of(paths.Point{}))
	a, b := mat.NewDense(n, p, nil), mat.NewDense(n, 2, nil)
	for i, m := range marks {
		row, w := of(f.local(m.Place)), weights[i]
		for j := range row {
			row[j] *= w
		}
		a.SetRow(i, row)
		d := m.At.Sub(f.to).Mul(w)
		b.SetRow(i, []float64{d.X, d.Y})
	}
	x, hat, err := leastSquares(a, b)
	if err != nil {
		return fitted{}, err
	}
	out := fitted{model: model, spare: n > p}
	out.at = func(place weave.Place) paths.Point {
		q := f.to
		for j, t := range of(f.local(place)) {
			q.X += t * x.At(j, 0)
			q.Y += t * x.At(j, 1)
		}
		return q
	}
	out.measure(marks, func(i int) float64 { return hat[i] })
	return out, nil
}

// measure sets the residuals. For a fit that is linear in its marks the deleted
// residual is the residual over 1-h, h the mark's own entry of the hat matrix
// (Allen, Technometrics 16 (1974) 125-127).
func (f *fitted) measure(marks []Mark, h func(int) float64) {
	for i, m := range marks {
		e := m.At.Sub(f.at(m.Place))
		f.residual = append(f.residual, e)
		if 1-h(i) < 1e-9 { // this mark alone determines a number of the fit
			f.spare = false
		}
		if f.spare {
			f.deleted = append(f.deleted, e.Mul(1/(1-h(i))))
		}
	}
}

// fitSimilarity fits a turn, a scale and a move: both coordinates share their
// numbers, so a mark is two rows, deleted together.
func fitSimilarity(marks []Mark, weights []float64, f frame) (fitted, error) {
	n := len(marks)
	a, b := mat.NewDense(2*n, 4, nil), mat.NewDense(2*n, 1, nil)
	for i, m := range marks {
		w := weights[i]
		p, d := f.local(m.Place).Mul(w), m.At.Sub(f.to).Mul(w)
		a.SetRow(2*i, []float64{p.X, -p.Y, w, 0})
		a.SetRow(2*i+1, []float64{p.Y, p.X, 0, w})
		b.Set(2*i, 0, d.X)
		b.Set(2*i+1, 0, d.Y)
	}
	x, hat, err := leastSquares(a, b)
	if err != nil {
		return fitted{}, err
	}
	m := paths.Affine{A: x.At(0, 0), B: x.At(1, 0), C: -x.At(1, 0), D: x.At(0, 0), E: x.At(2, 0), F: x.At(3, 0)}
	out := fitted{model: Similarity, spare: n > 2}
	out.at = func(p weave.Place) paths.Point { return f.to.Add(m.Apply(f.local(p))) }
	// By symmetry a mark's block of the hat matrix is a multiple of the unit.
	out.measure(marks, func(i int) float64 { return hat[2*i] })
	return out, nil
}
