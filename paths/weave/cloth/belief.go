package cloth

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
	"gonum.org/v1/gonum/mat"

	"weftplot/paths"
	"weftplot/paths/weave/cloth/models"
)

// A belief is what marks tell of a cloth. The cloth's map is an unknown sum of
// shapes over a flat map, each with a normal prior whose size depends on the kind
// of cloth; a mark reads the map with normal noise. The kind of cloth, one each
// way, and the size of the noise are unknown too, and so is whether one of the
// marks is wrong. All that is known is summed up by its probability, so that what
// no mark sees stays as uncertain as it was: Bayesian linear regression (Rasmussen
// and Williams, Gaussian Processes for Machine Learning, MIT Press 2006, sections
// 2.1 and 5.4; smoothing splines are the same with one kind, Wahba 1990, chapter
// 1).
type belief struct {
	sheet  sheet
	prior  Prior
	noises []weighted
	kinds  [2][]kind       // each way
	rows   *mat.Dense      // the shapes at the marks, a row to a mark
	read   [2][]float64    // where the marks were found off the flat map, mm in the sheet's directions
	loose  []float64       // variance of each mark beside that of reading it, mm²
	grams  []*mat.SymDense // by noise, the products of the rows, each over its variance
	gram   *mat.SymDense   // the products alone
	sizes  [2][][]float64  // each way, by kind
	given  [2][][]given    // each way, by noise and kind

	right  []float64 // by noise, the probability that no mark is wrong
	wrongs []wrong
}

// given is what follows, one way, where noise and kind are given.
type given struct {
	root     *mat.TriDense // U, U'U the precision of the shapes in their prior sizes
	evidence float64       // logarithm of the probability of the marks
	deleted  []float64     // how far each mark is from where the others put it, mm
	variance []float64     // of that
}

// newBelief weighs marks, which are loose by so many mm (nil is by nothing). determined
// reports whether they determine an affine map.
func newBelief(marks []Mark, loose []float64, s sheet, prior Prior, determined bool) *belief {
	b := &belief{sheet: s, prior: prior, noises: prior.noises(), kinds: [2][]kind{prior.kinds(0), prior.kinds(1)}}
	n, m := len(marks), len(shapes)
	b.loose = make([]float64, n)
	for i, by := range loose {
		b.loose[i] = by * by
	}
	b.rows = mat.NewDense(n, m, nil)
	for i, mk := range marks {
		b.rows.SetRow(i, s.values(mk.Place))
		d := s.into(mk.At.Sub(s.base.At(mk.Place)))
		b.read[0], b.read[1] = append(b.read[0], d.X), append(b.read[1], d.Y)
	}
	b.gram = mat.NewSymDense(m, nil)
	b.gram.SymOuterK(1, b.rows.T())
	for s := range b.noises {
		b.grams = append(b.grams, b.weighedGram(s))
	}
	for way := range 2 {
		for _, k := range b.kinds[way] {
			b.sizes[way] = append(b.sizes[way], prior.sizes(k, s, way, determined))
		}
		for s := range b.noises {
			row := make([]given, len(b.kinds[way]))
			for k := range b.kinds[way] {
				row[k] = b.weigh(s, b.sizes[way][k], b.read[way])
			}
			b.given[way] = append(b.given[way], row)
		}
	}
	b.judge()
	return b
}

// variance returns that of what a mark tells, mm², where the noise is given.
func (b *belief) variance(noise, mark int) float64 {
	v := b.noises[noise].value
	return v*v + b.loose[mark]
}

// weighedGram returns the sum over the marks of the products of their rows, each over the
// mark's variance.
func (b *belief) weighedGram(noise int) *mat.SymDense {
	n, m := b.rows.Dims()
	scaled := mat.NewDense(n, m, nil)
	for i := range n {
		root := math.Sqrt(b.variance(noise, i))
		for j, v := range b.rows.RawRowView(i) {
			scaled.Set(i, j, v/root)
		}
	}
	g := mat.NewSymDense(m, nil)
	g.SymOuterK(1, scaled.T())
	return g
}

// precision returns the root of the precision of the shapes, in units of their
// sizes, after marks with the products gram, over the square of noise, were read.
func precision(gram *mat.SymDense, sizes []float64, noise float64) *mat.TriDense {
	m := len(sizes)
	data := make([]float64, m*m)
	a := blas64.Symmetric{Uplo: blas.Upper, N: m, Stride: m, Data: data}
	for i := range m {
		for j := i; j < m; j++ {
			data[i*m+j] = gram.At(i, j) * sizes[i] * sizes[j] / (noise * noise)
		}
		data[i*m+i]++ // which keeps it positive
	}
	lapack64.Potrf(a)
	return mat.NewTriDense(m, mat.Upper, data)
}

// seen returns U⁻ᵀ times the sizes times each row: a column to a row. The
// covariance of the map at two places is the product of their columns.
func seen(rows *mat.Dense, root *mat.TriDense, sizes []float64) *mat.Dense {
	n, m := rows.Dims()
	out := mat.NewDense(m, n, nil)
	for i := range n {
		row := rows.RawRowView(i)
		for j := range m {
			out.Set(j, i, row[j]*sizes[j])
		}
	}
	blas64.Trsm(blas.Left, blas.Trans, 1, root.RawTriangular(), out.RawMatrix())
	return out
}

// weigh works out what follows from a noise and a kind's sizes. A deleted
// residual is the residual over 1-h (Allen 1974), and its variance noise²/(1-h).
func (b *belief) weigh(noise int, sizes, read []float64) given {
	n := len(read)
	g := given{root: precision(b.grams[noise], sizes, 1), variance: make([]float64, n), deleted: make([]float64, n)}
	logDet := 0.
	for i := range sizes {
		logDet += 2 * math.Log(g.root.At(i, i))
	}
	x := seen(b.rows, g.root, sizes)
	var t, fit mat.VecDense
	t.MulVec(x, b.overVariance(noise, read))
	fit.MulVec(x.T(), &t)
	square := 0. // over the variances
	for i, v := range read {
		h, variance := 0., b.variance(noise, i)
		for j := range sizes {
			h += x.At(j, i) * x.At(j, i)
		}
		h /= variance
		e := v - fit.AtVec(i)
		square += v * e / variance
		logDet += math.Log(2 * math.Pi * variance)
		g.variance[i] = variance / max(1-h, 1e-12)
		g.deleted[i] = e * g.variance[i] / variance
	}
	g.evidence = -square/2 - logDet/2
	return g
}

// overVariance returns what was read at each mark over its variance.
func (b *belief) overVariance(noise int, read []float64) *mat.VecDense {
	out := mat.NewVecDense(len(read), nil)
	for i, v := range read {
		out.SetVec(i, v/b.variance(noise, i))
	}
	return out
}

// logNormal is the logarithm of the normal density.
func logNormal(x, variance float64) float64 {
	return -x*x/(2*variance) - math.Log(2*math.Pi*variance)/2
}

// logSum returns the logarithm of the sum of what v are the logarithms of.
func logSum(v []float64) float64 {
	top := slices.Max(v)
	if math.IsInf(top, -1) {
		return top
	}
	sum := 0.
	for _, x := range v {
		sum += math.Exp(x - top)
	}
	return top + math.Log(sum)
}

// shapesOf returns what the shapes are known to once noise and kind are given, and
// their mean, with one mark changed or, for a slip of unknown size, left out.
func (b *belief) shapesOf(noise, k, way int, w wrong) (root *mat.TriDense, mean []float64) {
	sizes := b.sizes[way][k]
	root = b.given[way][noise][k].root
	read := slices.Clone(b.read[way])
	if w.mark >= 0 {
		if w.slip.known {
			read[w.mark] -= float64(w.slip.by[way]) * b.pitch(way)
		} else {
			read[w.mark] = 0
			row := b.rows.RawRowView(w.mark)
			gram := mat.NewSymDense(len(sizes), nil)
			gram.SymRankOne(b.grams[noise], -1/b.variance(noise, w.mark), mat.NewVecDense(len(row), row))
			root = precision(gram, sizes, 1)
		}
	}
	var t mat.VecDense
	t.MulVec(b.rows.T(), b.overVariance(noise, read))
	mean = t.RawVector().Data
	for j := range mean {
		mean[j] *= sizes[j]
	}
	v := blas64.Vector{N: len(mean), Inc: 1, Data: mean}
	blas64.Trsv(blas.Trans, root.RawTriangular(), v)
	blas64.Trsv(blas.NoTrans, root.RawTriangular(), v)
	for j := range mean {
		mean[j] *= sizes[j]
	}
	return root, mean
}

// pitch returns the length in mm of a channel, each way.
func (b *belief) pitch(way int) float64 {
	if way == 0 {
		return b.sheet.width / (b.sheet.hi.Across - b.sheet.lo.Across)
	}
	return b.sheet.height / (b.sheet.hi.Along - b.sheet.lo.Along)
}

// kindsGiven returns the probability of every kind, one way, where the noise is
// given and a mark may be wrong.
func (b *belief) kindsGiven(noise, way int, w wrong) []float64 {
	out := b.weighKinds(noise, way, w)
	total := logSum(out)
	for k := range out {
		out[k] = math.Exp(out[k] - total)
	}
	return out
}

// mean returns the mean of every shape, each way, where no mark is wrong: the map
// of least expected square error.
func (b *belief) mean() (out [2][]float64) {
	total := 0.
	for _, p := range b.right {
		total += p
	}
	for way := range out {
		out[way] = make([]float64, len(shapes))
		for s, p := range b.right {
			if p < 1e-5*total {
				continue
			}
			for k, q := range b.kindsGiven(s, way, noWrong) {
				if q < 1e-5 {
					continue
				}
				_, mean := b.shapesOf(s, k, way, noWrong)
				for j, v := range mean {
					out[way][j] += v * p * q / total
				}
			}
		}
	}
	return out
}

// noise returns how far marks are read off, in mm each way: the mean.
func (b *belief) noise() float64 {
	var sum, total float64
	for s, p := range b.right {
		sum, total = sum+p*b.noises[s].value, total+p
	}
	return sum / total
}

// hopeless returns how likely it is that marks are read worse than a person can.
func (b *belief) hopeless() (sum float64) {
	for s, p := range b.right {
		if b.noises[s].value >= hopeless {
			sum += p
		}
	}
	for _, w := range b.wrongs {
		for s, p := range w.by {
			if b.noises[s].value >= hopeless {
				sum += p
			}
		}
	}
	return sum
}

// deleted returns how far mark i lies from where the others put it, mm in the
// sheet's directions.
func (b *belief) deleted(i int) paths.Point {
	var d [2]float64
	total := 0.
	for s, p := range b.right {
		total += p
		for way := range d {
			for k, q := range b.kindsGiven(s, way, noWrong) {
				d[way] += p * q * b.given[way][s][k].deleted[i]
			}
		}
	}
	return paths.Point{X: d[0] / total, Y: d[1] / total}
}

// model returns the stiffest model that has what is more than flat of the shapes.
func (b *belief) model(mean [2][]float64) string {
	lattice := b.sheet.lattice(latticeSteps)
	for _, m := range []struct {
		name string
		has  func(shape) bool
	}{
		{models.Affine, func(s shape) bool { return s.i+s.j <= 1 }},
		{models.Bilinear, func(s shape) bool { return s.i <= 1 && s.j <= 1 }},
		{models.Biquadratic, func(s shape) bool { return s.i+s.j <= 2 }},
		{models.Cubic, func(s shape) bool { return s.i+s.j <= 3 }},
	} {
		most := 0.
		for _, p := range lattice {
			var d paths.Point
			for k, v := range b.sheet.values(p) {
				if !m.has(shapes[k]) {
					d.X += mean[0][k] * v
					d.Y += mean[1][k] * v
				}
			}
			most = max(most, b.sheet.channels(d))
		}
		if most < flat {
			return m.name
		}
	}
	return models.Smooth
}
