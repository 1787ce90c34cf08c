package paper

import (
	"cmp"
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/dsp/fourier"

	"weftplot/paths/scan/skeleton"
)

// The pitches of rulings that are looked for, in mm: from the finest graph paper to
// wide lines.
const (
	leastPitch = 0.9
	mostPitch  = 13.0
)

// clip is how much darker than paper a pixel counts at most when rulings are looked
// for, in steps of grey, so that ink does not outweigh them.
const clip = 60

// wave is an even row of parallel lines: the angle of the lines in radians, x towards
// y, and their pitch in pixels.
type wave struct{ angle, pitch float64 }

// spectrum is the power of a plane by frequency, as the mean over tiles (Welch, "The
// use of fast Fourier transform for the estimation of power spectra", IEEE
// Transactions on Audio and Electroacoustics 15 (1967)). It is divided by the median
// of all directions at that frequency, so that 1 is usual.
type spectrum struct {
	n     int // the tiles are n x n pixels
	power []float32
}

// tileSizes are the sizes of tiles to choose from, in pixels.
var tileSizes = []int{512, 256}

// spectrumOf returns the spectrum of a plane; ok is false where it is too small.
func spectrumOf(p skeleton.Plane) (s spectrum, ok bool) {
	for _, n := range tileSizes {
		if p.W >= n && p.H >= n {
			s.n = n
			break
		}
	}
	if s.n == 0 {
		return s, false
	}
	across, down := min(3, (p.W+s.n/2)/s.n), min(3, (p.H+s.n/2)/s.n)
	tiles := make([][]float32, across*down)
	var all sync.WaitGroup
	for k := range tiles {
		x, y := between(k%across, across, p.W-s.n), between(k/across, down, p.H-s.n)
		all.Go(func() { tiles[k] = powerOf(p, x, y, s.n) })
	}
	all.Wait()
	s.power = make([]float32, s.n*s.n)
	for _, t := range tiles {
		for i, v := range t {
			s.power[i] += v
		}
	}
	s.level()
	return s, true
}

// between returns the i-th of n places spread evenly from 0 to last.
func between(i, n, last int) int {
	if n < 2 {
		return last / 2
	}
	return i * last / (n - 1)
}

// powerOf returns the power of the tile at x, y, by the number of waves across and down.
func powerOf(p skeleton.Plane, x, y, n int) []float32 {
	var mean float64
	for j := range n {
		for _, g := range p.Pixels[(y+j)*p.W+x:][:n] {
			mean += faintness(g)
		}
	}
	mean /= float64(n * n)
	hann := make([]float64, n)
	for i := range hann {
		hann[i] = 0.5 - 0.5*math.Cos(2*math.Pi*(float64(i)+0.5)/float64(n))
	}
	half := n/2 + 1 // the other half of a real picture's waves mirrors this one
	rows, row := make([]complex128, n*half), make([]float64, n)
	real1 := fourier.NewFFT(n)
	for j := range n {
		for i, g := range p.Pixels[(y+j)*p.W+x:][:n] {
			row[i] = (faintness(g) - mean) * hann[i] * hann[j]
		}
		real1.Coefficients(rows[j*half:][:half], row)
	}
	power, column := make([]float32, n*n), make([]complex128, n)
	fft := fourier.NewCmplxFFT(n)
	for i := range half {
		for j := range n {
			column[j] = rows[j*half+i]
		}
		fft.Coefficients(column, column)
		for j, c := range column {
			v := float32(real(c)*real(c) + imag(c)*imag(c))
			power[j*n+i] = v
			power[(n-j)%n*n+(n-i)%n] = v
		}
	}
	return power
}

// faintness returns how much darker than paper a grey is, up to clip.
func faintness(g uint8) float64 { return float64(min(clip, max(0, skeleton.Paper-int(g)))) }

// level divides the power at each frequency by the median over all directions.
func (s spectrum) level() {
	n := s.n
	rings := make([][]float32, n/2)
	each := func(f func(i, ring int)) {
		for j := range n {
			for i := range n {
				if r := int(math.Hypot(float64(signed(i, n)), float64(signed(j, n)))); r < n/2 {
					f(j*n+i, r)
				}
			}
		}
	}
	each(func(i, r int) { rings[r] = append(rings[r], s.power[i]) })
	usual := make([]float32, n/2)
	for r, list := range rings {
		slices.Sort(list)
		usual[r] = max(1e-6, list[len(list)/2])
	}
	each(func(i, r int) { s.power[i] /= usual[r] })
}

func signed(i, n int) int {
	if i >= n/2 {
		return i - n
	}
	return i
}

// at returns the greatest power about a frequency, given in waves a tile, and whether
// the spectrum reaches that far.
func (s spectrum) at(fx, fy float64) (float64, bool) {
	if math.Hypot(fx, fy) > float64(s.n/2-3) {
		return 0, false
	}
	x, y := int(math.Round(fx)), int(math.Round(fy))
	best := float32(0)
	for dy := -1; dy <= 1; dy++ {
		for dx := -1; dx <= 1; dx++ {
			best = max(best, s.power[(y+dy+s.n)%s.n*s.n+(x+dx+s.n)%s.n])
		}
	}
	return float64(best), true
}

// The power that a peak has at least, in that of its frequency, and how many
// directions are looked into.
const (
	leastPeak      = 12
	mostDirections = 8
)

// waves returns the rows of lines that a page may be ruled with: the directions with
// the highest peaks first, and in each the finest first. mm is the size of a pixel.
func (s spectrum) waves(mm float64) []wave {
	type peak struct {
		angle, r, power float64
	}
	var peaks []peak
	n := s.n
	for y := 0; y < n/2-3; y++ {
		for x := -n/2 + 3; x < n/2-3; x++ {
			r := math.Hypot(float64(x), float64(y))
			v := s.power[y*n+(x+n)%n]
			if y == 0 && x <= 0 || r < 4 || r > float64(n/2-3) || v < leastPeak {
				continue
			}
			if top, _ := s.at(float64(x), float64(y)); float64(v) < top {
				continue
			}
			peaks = append(peaks, peak{math.Atan2(float64(y), float64(x)), r, float64(v)})
		}
	}
	slices.SortStableFunc(peaks, func(a, b peak) int { return cmp.Compare(b.power, a.power) })
	var out []wave
	var angles []float64
	for _, p := range peaks {
		if len(angles) == mostDirections {
			break
		}
		near := func(a float64) bool { return math.Abs(wrapped(a-p.angle, math.Pi)) < 4*degree }
		if slices.ContainsFunc(angles, near) {
			continue
		}
		angles = append(angles, p.angle)
		for _, r := range s.combs(p.angle, p.r, mm) {
			out = append(out, wave{wrapped(p.angle-math.Pi/2, math.Pi), float64(n) / r})
		}
	}
	return out
}

const degree = math.Pi / 180

// wrapped returns a in [-period/2, period/2).
func wrapped(a, period float64) float64 { return a - period*math.Floor(a/period+0.5) }

// mostTeeth is how many multiples of a pitch may have lower power than the strongest.
const mostTeeth = 40

// mostCombs is how many pitches are tried in one direction.
const mostCombs = 3

// combs returns the numbers of waves a tile, in a direction, whose multiples have high
// power and what lies between them has not, the best first. One multiple is near r.
func (s spectrum) combs(angle, r, mm float64) []float64 {
	type comb struct{ f, score float64 }
	var list []comb
	tile := float64(s.n) * mm
	sin, cos := math.Sincos(angle)
	for part := 1; part <= mostTeeth; part++ {
		for shift := -0.8; shift <= 0.81; shift += 0.2 {
			f := (r + shift) / float64(part)
			if f < max(3.5, tile/mostPitch) || f > tile/leastPitch {
				continue
			}
			var on, off float64
			teeth := 0.0
			for m := 1.0; m <= 12; m++ {
				a, in := s.at(m*f*cos, m*f*sin)
				if !in {
					break
				}
				b, _ := s.at((m-0.5)*f*cos, (m-0.5)*f*sin)
				on, off, teeth = on+math.Log(max(a, 0.5)), off+math.Log(max(b, 0.5)), teeth+1
			}
			if score := (on - off) / max(1, teeth); teeth > 0 && on/teeth > 1 {
				list = append(list, comb{f, score})
			}
		}
	}
	slices.SortStableFunc(list, func(a, b comb) int { return cmp.Compare(b.score, a.score) })
	var out []float64
	for _, c := range list {
		same := func(f float64) bool { return math.Abs(f-c.f) < 0.2*f }
		if c.score < 0.5 || slices.ContainsFunc(out, same) {
			continue
		}
		if out = append(out, c.f); len(out) == mostCombs {
			break
		}
	}
	slices.SortFunc(out, func(a, b float64) int { return cmp.Compare(b, a) })
	return out
}
