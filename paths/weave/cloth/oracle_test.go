package cloth_test

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"weftplot/paths"
	"weftplot/paths/weave"
)

// What can be told of an error at all? An oracle knows how [newBacking] draws cloths
// and the noise of the marks, and nothing else. What it knows of a cloth after the
// marks is sampled by a Markov chain (Metropolis et al., J. Chem. Phys. 21 (1953)
// 1087-1092) that begins at the true cloth. The true cloth is itself a draw from what
// is to be known, so the chain needs no time to settle; that the error the oracle
// tells holds in 95 of 100 cloths shows that it is long enough.

var (
	thorough    = flag.Bool("thorough", false, "compare what is told with an oracle and with cells of cloths alike")
	oracleSteps = flag.Int("oracle-steps", 30000, "steps of the oracle's chain")
)

// A guess is a cloth that may be the one at hand: its numbers, each within bounds.
type guess struct {
	v      [14]float64
	form   int
	course int // how the bow changes over the rug: it grows, has a belly, or is even
}

// bounds are those of newBacking, in the order of guess.v. The last is how far the
// bow grows or bellies.
var bounds = [14][2]float64{
	{20, 90}, {20, 90}, {-.02, .02}, {-.02, .02}, {-.01, .01}, {-.01, .01}, {-.01, .01}, {-.01, .01},
	{-.01, .01}, {-.04, .04}, {-.005, .005}, {-.05, .05}, {-.03, .03}, {0, 1},
}

// bowAt is the first of the numbers that make the bow.
const bowAt = 12

func guessOf(b backing, r *rand.Rand) guess {
	g := guess{v: [14]float64{b.x0, b.y0, b.countX, b.countY, b.driftX, b.driftY, b.crossX, b.crossY, b.leanX, b.leanY, b.sway, b.turn, b.bow, r.Float64()}, form: b.bowForm, course: 2}
	switch {
	case b.bowTop != b.bow:
		g.course, g.v[13] = 0, b.bowTop/b.bow
	case b.belly != 0:
		g.course, g.v[13] = 1, b.belly/b.bow+.5
	}
	return g
}

func (g guess) within() bool {
	for i, b := range bounds {
		if g.v[i] < b[0] || g.v[i] > b[1] {
			return false
		}
	}
	return true
}

// cloth returns the cloth, of the size of like.
func (g guess) cloth(like backing) backing {
	v, b := g.v, like
	b.x0, b.y0, b.countX, b.countY, b.driftX, b.driftY, b.crossX, b.crossY = v[0], v[1], v[2], v[3], v[4], v[5], v[6], v[7]
	b.leanX, b.leanY, b.sway, b.turn, b.bow, b.bowTop, b.belly, b.bowForm = v[8], v[9], v[10], v[11], v[12], v[12], 0, g.form
	switch g.course {
	case 0:
		b.bowTop = b.bow * v[13]
	case 1:
		b.belly = b.bow * (v[13] - .5)
	}
	return b
}

// An oracle samples cloths that may be the one that was read.
type oracle struct {
	like  backing
	at    []weave.Place
	read  []paths.Point
	step  *mat.Cholesky // of the covariance of the numbers, near the truth
	slope *mat.Dense    // of the marks by the numbers
	rest  *mat.Cholesky // of the precision of those that do not make the bow
	r     *rand.Rand
}

func newOracle(b backing, truth guess, at []weave.Place, read []paths.Point, r *rand.Rand) *oracle {
	o := &oracle{like: b, at: at, read: read, r: r, slope: mat.NewDense(2*len(at), len(bounds), nil)}
	for i, w := range bounds {
		h := 1e-5 * (w[1] - w[0])
		lo, hi := truth, truth
		lo.v[i] -= h
		hi.v[i] += h
		l, u := lo.cloth(b), hi.cloth(b)
		for k, p := range at {
			d := u.at(p).Sub(l.at(p)).Mul(1 / (2 * h))
			o.slope.Set(2*k, i, d.X)
			o.slope.Set(2*k+1, i, d.Y)
		}
	}
	precision := func(n int) *mat.SymDense {
		out := mat.NewSymDense(n, nil)
		out.SymOuterK(1/(b.noise*b.noise), o.slope.Slice(0, 2*len(at), 0, n).T())
		for i, w := range bounds[:n] {
			out.SetSym(i, i, out.At(i, i)+12/((w[1]-w[0])*(w[1]-w[0])))
		}
		return out
	}
	var whole mat.Cholesky
	whole.Factorize(precision(len(bounds)))
	var cov mat.SymDense
	whole.InverseTo(&cov)
	o.step, o.rest = new(mat.Cholesky), new(mat.Cholesky)
	o.step.Factorize(&cov)
	o.rest.Factorize(precision(bowAt))
	return o
}

// log is the logarithm of how likely the marks are, but for what all cloths share.
func (o *oracle) log(g guess) (sum float64) {
	c := g.cloth(o.like)
	for k, p := range o.at {
		d := o.read[k].Sub(c.at(p))
		sum -= d.Dot(d)
	}
	return sum / (2 * o.like.noise * o.like.noise)
}

// walk proposes a cloth near g.
func (o *oracle) walk(g guess) guess {
	var l mat.TriDense
	o.step.LTo(&l)
	z := mat.NewVecDense(len(bounds), nil)
	for i := range len(bounds) {
		z.SetVec(i, o.r.NormFloat64())
	}
	var d mat.VecDense
	d.MulVec(&l, z)
	far := math.Pow(10, between(o.r, -1, .2)) * 2.4 / math.Sqrt(float64(len(bounds)))
	for i := range g.v {
		g.v[i] += far * d.AtVec(i)
	}
	return g
}

// jump proposes a bow of another form or course, of the same height, and moves the
// other numbers so that the marks stay about where they are. The way back moves them
// back by as much.
func (o *oracle) jump(g guess) guess {
	to := g
	if o.r.IntN(2) == 0 {
		to.form = o.r.IntN(4)
	} else {
		to.course, to.v[13] = o.r.IntN(3), o.r.Float64()
	}
	bowOnly := func(g guess) backing {
		only := guess{form: g.form, course: g.course}
		only.v[11], only.v[12], only.v[13] = o.like.turn, g.v[12], g.v[13]
		return only.cloth(o.like)
	}
	was, is := bowOnly(g), bowOnly(to)
	moved := mat.NewVecDense(2*len(o.at), nil)
	for k, p := range o.at {
		d := is.at(p).Sub(was.at(p)).Mul(1 / (o.like.noise * o.like.noise))
		moved.SetVec(2*k, d.X)
		moved.SetVec(2*k+1, d.Y)
	}
	var by, t mat.VecDense
	t.MulVec(o.slope.Slice(0, 2*len(o.at), 0, bowAt).T(), moved)
	if o.rest.SolveVecTo(&by, &t) != nil {
		return g
	}
	for i := range bowAt {
		to.v[i] -= by.AtVec(i)
	}
	return to
}

// sample returns cloths that may be the one at hand.
func (o *oracle) sample(truth guess, steps int) (out []backing) {
	g, now := truth, o.log(truth)
	for s := range steps {
		to := o.walk(g)
		if s%3 == 0 {
			to = o.jump(g)
		}
		if to.within() {
			if l := o.log(to); math.Log(o.r.Float64()) < l-now {
				g, now = to, l
			}
		}
		if s%(steps/300) == 0 {
			out = append(out, g.cloth(o.like))
		}
	}
	return out
}

// tell returns how far the oracle's map, the mean of its cloths, may be off, 95 and
// 2 of 3, and how far it is, in channels.
func (o *oracle) tell(truth guess, steps int) (told, likely, off float64) {
	cloths := o.sample(truth, steps)
	worst := make([]float64, len(cloths))
	s, c := math.Sincos(-o.like.turn)
	far := func(d paths.Point) float64 { return math.Hypot((c*d.X-s*d.Y)/pitchX, (s*d.X+c*d.Y)/pitchY) }
	for i := range 13 {
		for j := range 13 {
			p := weave.Place{Across: o.like.nx * float64(i) / 12, Along: o.like.ny * float64(j) / 12}
			var mean paths.Point
			at := make([]paths.Point, len(cloths))
			for k, b := range cloths {
				at[k] = b.at(p)
				mean = mean.Add(at[k].Mul(1 / float64(len(cloths))))
			}
			for k := range cloths {
				worst[k] = max(worst[k], far(at[k].Sub(mean)))
			}
			off = max(off, far(o.like.at(p).Sub(mean)))
		}
	}
	return quantile(worst, .95), quantile(worst, 2./3), off
}

// A ratios holds what was told over what was true.
type ratios struct{ told, likely, oracleTold, oracleLikely []float64 }

func (n ratios) String() string {
	return fmt.Sprintf("%4d cloths: told holds %3.0f %%, within 2 %3.0f %%, likely within 2 %3.0f %% | oracle's told holds %3.0f %%, within 2 %3.0f %%, likely within 2 %3.0f %%",
		len(n.told), below(n.told), within(n.told), within(n.likely), below(n.oracleTold), within(n.oracleTold), within(n.oracleLikely))
}

func (n *ratios) add(o ratios) {
	n.told, n.likely = append(n.told, o.told...), append(n.likely, o.likely...)
	n.oracleTold, n.oracleLikely = append(n.oracleTold, o.oracleTold...), append(n.oracleLikely, o.oracleLikely...)
}

// ask judges what the fit and the oracle tell of one honest cloth.
func ask(seed uint64) (layout string, n ratios) {
	r := rand.New(rand.NewPCG(seed, 77))
	b := newBacking(r)
	layout = layouts[int(seed)%len(layouts)]
	marks := b.find(r, places(layout, r))
	reg, err := b.fit(marks)
	if err != nil {
		return layout, n
	}
	var at []weave.Place
	var read []paths.Point
	for _, m := range marks {
		at, read = append(at, m.Place), append(read, m.At)
	}
	truth := guessOf(b, r)
	told, likely, off := newOracle(b, truth, at, read, r).tell(truth, *oracleSteps)
	rep, ours := reg.Report(), b.off(reg)
	return layout, ratios{[]float64{rep.ExpectedError / ours}, []float64{rep.LikelyError / ours}, []float64{told / off}, []float64{likely / off}}
}

// Of a single reading nobody can tell an error that holds in 95 of 100 cloths and is
// within a factor of two of what it is: the oracle cannot. What is told comes near it.
func TestOracle(t *testing.T) {
	n := 2
	if *thorough {
		n = *cloths
	}
	by, all := map[string]*ratios{}, ratios{}
	for i := range n {
		layout, o := ask(*firstSeed + uint64(i))
		if by[layout] == nil {
			by[layout] = new(ratios)
		}
		by[layout].add(o)
		all.add(o)
	}
	var lines []string
	for _, l := range layouts {
		if by[l] != nil {
			lines = append(lines, fmt.Sprintf("%-16s %v", l, by[l]))
		}
	}
	t.Logf("\n%s\n%-16s %v", strings.Join(lines, "\n"), "all", all)
	if n < 100 {
		return
	}
	if h := below(all.oracleTold); h < 91 {
		t.Errorf("the oracle's error holds in %.0f %% of cloths: its chain is too short", h)
	}
	if within(all.told) < within(all.oracleTold)-20 || within(all.likely) < within(all.oracleLikely)-10 {
		t.Errorf("what is told is farther from the truth than it need be: %v", all)
	}
}

// A cell is cloths alike: of one size, with one layout and noise.
type cell struct {
	layout string
	noise  float64
	nx, ny float64
}

// judge reads many cloths of a cell. It returns how far they are off, and what is told
// of it.
func (c cell) judge(r *rand.Rand, n int) (off, told []float64) {
	at := places(c.layout, rand.New(rand.NewPCG(5, 6)))
	for range n {
		b := newBacking(r)
		b.noise, b.nx, b.ny, b.w, b.h = c.noise, c.nx, c.ny, c.nx*pitchX, c.ny*pitchY
		if reg, err := b.fit(b.find(r, at)); err == nil {
			off, told = append(off, b.off(reg)), append(told, reg.Report().ExpectedError)
		}
	}
	return off, told
}

// The error told is that which 95 of 100 cloths of a cell stay within, to a factor of
// two: the median of what is told in 9 of 10 cells.
func TestToldByCell(t *testing.T) {
	some, sizes, noises, n := []string{"corners", "3x3"}, [][2]float64{{283, 461}}, []float64{.3}, 5
	if *thorough {
		some, sizes, noises, n = layouts, [][2]float64{{150, 180}, {283, 461}, {400, 250}}, []float64{.15, .3, .5}, *cloths
	}
	r := rand.New(rand.NewPCG(*firstSeed, 78))
	cells, near := 0, 0
	var each []float64
	for _, l := range some {
		for _, s := range sizes {
			for _, noise := range noises {
				c := cell{l, noise, s[0], s[1]}
				off, told := c.judge(r, n)
				truth := quantile(off, .95)
				for _, v := range told {
					each = append(each, v/truth)
				}
				ratio := quantile(slices.Clone(told), .5) / truth
				cells++
				if ratio >= .5 && ratio <= 2 {
					near++
				}
				t.Logf("%-16s %3.0f x %3.0f, noise %.2f mm: true 95-of-100 error %5.2f, told / true %.2f", l, s[0], s[1], noise, truth, ratio)
			}
		}
	}
	t.Logf("within a factor of two of the true 95-of-100 error: %d of %d cells, %.0f %% of cloths", near, cells, within(each))
	if near*10 < cells*9 {
		t.Errorf("%d of %d cells are told within a factor of two", near, cells)
	}
}
