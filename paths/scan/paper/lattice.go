package paper

import (
	"cmp"
	"math"
	"slices"
	"sync"

	"weftplot/paths/scan/skeleton"
)

// strips are the means of the faintness of a plane along the lines of a wave: over
// pieces of lines a strip wide, for each place across.
type strips struct {
	wave
	sin, cos float64
	wide     float64 // of a strip, pixels
	u0, v0   float64 // where the first strip and its first place begin
	n, m     int     // strips, and places across, a pixel apart
	sum      []float32
	count    []int32
}

// stripMM is how wide strips are: short enough for bent paper.
const stripMM = 12

// stripsOf sums up a plane. It looks at one pixel in every few, in the direction
// nearer to the lines.
func stripsOf(p skeleton.Plane, w wave, mm float64, every int) strips {
	s := strips{wave: w, wide: stripMM / mm}
	s.sin, s.cos = math.Sincos(w.angle)
	box := [4][2]float64{{0, 0}, {float64(p.W), 0}, {0, float64(p.H)}, {float64(p.W), float64(p.H)}}
	u1, v1 := math.Inf(-1), math.Inf(-1)
	s.u0, s.v0 = math.Inf(1), math.Inf(1)
	for _, c := range box {
		u, v := s.of(c[0], c[1])
		s.u0, s.v0, u1, v1 = min(s.u0, u), min(s.v0, v), max(u1, u), max(v1, v)
	}
	s.n, s.m = int((u1-s.u0)/s.wide)+1, int(v1-s.v0)+2
	s.sum, s.count = make([]float32, s.n*s.m), make([]int32, s.n*s.m)
	dx, dy := every, 1
	if math.Abs(s.sin) > math.Abs(s.cos) {
		dx, dy = 1, every
	}
	// Places are counted in steps of 2^-32: that is quicker than rounding each.
	const one = 1 << 32
	du, dv := int64(float64(dx)*s.cos/s.wide*one), int64(float64(dx)*-s.sin*one)
	for y := 0; y < p.H; y += dy {
		u, v := s.of(0, float64(y))
		i, j := int64((u-s.u0)/s.wide*one), int64((v-s.v0+0.5)*one)
		row := p.Pixels[y*p.W:][:p.W]
		for x := 0; x < p.W; x += dx {
			at := int(i>>32)*s.m + int(j>>32)
			s.sum[at] += faint[row[x]]
			s.count[at]++
			i, j = i+du, j+dv
		}
	}
	return s
}

// faint is the faintness of each grey.
var faint = func() (t [256]float32) {
	for g := range t {
		t[g] = float32(faintness(uint8(g)))
	}
	return t
}()

// of returns how far along and across the lines a place is.
func (s strips) of(x, y float64) (u, v float64) {
	return x*s.cos + y*s.sin, -x*s.sin + y*s.cos
}

// fold returns where within the pitch the lines lie best for the places about j across
// of strip i, far to each side: as a share of the pitch, from the pixel v = 0, and how
// much darker they are there than the median.
func (s strips) fold(i, j, far int) (phase, rise float64) {
	bins := max(4, int(math.Round(s.pitch)))
	sum, n := make([]float64, bins), make([]float64, bins)
	for k := j - far; k <= j+far; k++ {
		if d, ok := s.value(i, k); ok {
			q := (float64(k) + s.v0) / s.pitch
			b := min(bins-1, int((q-math.Floor(q))*float64(bins)))
			sum[b], n[b] = sum[b]+d, n[b]+1
		}
	}
	for b := range sum {
		if n[b] < 1 {
			return 0, 0
		}
		sum[b] /= n[b]
	}
	best := 0
	at := func(b int) float64 { return sum[(b+bins)%bins] }
	soft := func(b int) float64 { return at(b-1)/4 + at(b)/2 + at(b+1)/4 }
	for b := range sum {
		if soft(b) > soft(best) {
			best = b
		}
	}
	a, c, e := soft(best-1), soft(best), soft(best+1)
	shift := 0.0
	if bend := a - 2*c + e; bend < -1e-9 {
		shift = (a - e) / 2 / bend
	}
	sorted := slices.Clone(sum)
	slices.Sort(sorted)
	return (float64(best) + 0.5 + shift) / float64(bins), c - sorted[bins/2]
}

// clearness returns how well the lines of the wave stand out in most of the page: the
// mean over the middle half of all places, so that ink in a few does not count.
func (s strips) clearness() float64 {
	far := s.window()
	var list []float64
	for i := range s.n {
		for j := far; j < s.m; j += 2 * far {
			if _, rise := s.fold(i, j, far); rise > 0 {
				list = append(list, rise)
			}
		}
	}
	if len(list) < 4 {
		return 0
	}
	slices.Sort(list)
	var sum float64
	middle := list[len(list)/4 : len(list)*3/4]
	for _, v := range middle {
		sum += v
	}
	return sum / float64(len(middle))
}

// window is how far to each side places are folded, in pixels.
func (s strips) window() int { return int(max(2.5*s.pitch, s.wide)) }

// aimed returns the wave with its angle and pitch improved, coarse steps first. Of the
// two only another angle needs the plane to be summed up again.
func aimed(p skeleton.Plane, w wave, mm float64) wave {
	every := max(2, int(0.4/mm))
	s := stripsOf(p, w, mm, every)
	for _, by := range []struct {
		angle, pitch float64
		pitches      int
	}{{0.6 * degree, 0.006, 5}, {0.15 * degree, 0.0015, 4}} {
		const steps = 4
		s = clearest(2*steps+1, func(k int) strips {
			if k == steps {
				return s
			}
			return stripsOf(p, wave{s.angle + float64(k-steps)*by.angle, s.pitch}, mm, every)
		}).tuned(by.pitch, by.pitches)
	}
	return s.wave
}

// tuned returns the strips with the pitch at which their lines stand out best: at most n
// steps away, each a share of it.
func (s strips) tuned(step float64, n int) strips {
	return clearest(2*n+1, func(k int) strips {
		v := s
		v.pitch = s.pitch * (1 + float64(k-n)*step)
		return v
	})
}

// clearest returns the one of n strips whose lines stand out best, the first of equal ones.
// They are made all at once.
func clearest(n int, of func(k int) strips) strips {
	list, clear := make([]strips, n), make([]float64, n)
	var all sync.WaitGroup
	for k := range n {
		all.Go(func() {
			list[k] = of(k)
			clear[k] = list[k].clearness()
		})
	}
	all.Wait()
	best := 0
	for k, c := range clear {
		if c > clear[best] {
			best = k
		}
	}
	return list[best]
}

// knot is a place where the phase of a wave was measured: its line number there is
// v/pitch minus phase.
type knot struct {
	i, j         int // the strip and the window
	u, v         float64
	phase, trust float64
}

// standsOut reports whether the lines are to be seen in a fair part of the page.
func (s strips) standsOut() bool {
	far := s.window()
	seen, all := 0, 0
	for i := range s.n {
		for j := far; j < s.m; j += 2 * far {
			all++
			if _, rise := s.fold(i, j, far); rise > leastRise {
				seen++
			}
		}
	}
	return 5*seen > 2*all
}

// knots measures the phase all over the page, and unwraps it: from a usual place
// outwards each is within half a line of its neighbour's.
func (s strips) knots() []knot {
	far := s.window()
	step := max(1, far)
	windows := (s.m + step - 1) / step
	grid := make([]knot, s.n*windows)
	var sure []int
	for i := range s.n {
		for j := range windows {
			at := j*step + step/2
			phase, rise := s.fold(i, at, far)
			k := knot{i, j, s.u0 + (float64(i)+0.5)*s.wide, s.v0 + float64(at), phase, rise}
			grid[i*windows+j] = k
			if rise > leastRise {
				sure = append(sure, i*windows+j)
			}
		}
	}
	if len(sure) == 0 {
		return nil
	}
	slices.SortStableFunc(sure, func(a, b int) int { return cmp.Compare(grid[a].trust, grid[b].trust) })
	start := sure[len(sure)/2]
	done := make([]bool, len(grid))
	done[start] = true
	out := []knot{grid[start]}
	for k := 0; k < len(out); k++ {
		from := out[k]
		for _, d := range [4][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
			i, j := from.i+d[0], from.j+d[1]
			if i < 0 || j < 0 || i >= s.n || j >= windows || done[i*windows+j] {
				continue
			}
			to := grid[i*windows+j]
			if to.trust < leastRise/2 {
				continue
			}
			done[i*windows+j] = true
			to.phase = from.phase + wrapped(to.phase-from.phase, 1)
			out = append(out, to)
		}
	}
	return out
}

// leastRise is how much darker than what is between them the lines of a ruling are at
// least, in steps of grey, in the mean over a strip.
const leastRise = 1.6

func value(c, t [10]float64) (sum float64) {
	for i := range c {
		sum += c[i] * t[i]
	}
	return sum
}
