package papers

import (
	"math"
	"math/rand/v2"

	"weftplot/paths"
)

// spacing is how far apart the points of a drawn stroke lie, in mm.
const spacing = 0.25

// drawn is a stroke as a hand drew it: places of the pen about a spacing apart,
// with its pressure, of which 1 is usual, and its speed, of which 1 is the
// fastest.
type drawn struct {
	points          []paths.Point
	pressure, speed []float64
}

// hand draws strokes as they are meant into strokes as they come out.
type hand struct {
	random *rand.Rand
	seed   uint64
	width  float64 // of the line, mm
}

// draw draws one stroke. The whole sheet is warped by up to half a mm over 30
// mm, so that what meets still meets; a tremor comes on top. Ends run past where
// they should stop, or stop short by so little that the ink still meets. Every
// second ring runs on beyond its start.
func (h *hand) draw(o outline) drawn {
	p := dense(o.points)
	if !o.ring {
		p = h.miss(p)
	} else if h.random.IntN(2) == 0 && len(p) > 24 {
		p = h.overrun(p)
	}
	return h.pressed(h.wavering(p, o.ring))
}

// dense puts points along a polyline, keeping its vertices.
func dense(p []paths.Point) []paths.Point {
	out := []paths.Point{p[0]}
	for i := 1; i < len(p); i++ {
		n := max(1, int(math.Ceil(p[i-1].Dist(p[i])/spacing)))
		for k := 1; k <= n; k++ {
			out = append(out, p[i-1].Lerp(p[i], float64(k)/float64(n)))
		}
	}
	return out
}

// miss moves both ends along the stroke.
func (h *hand) miss(p []paths.Point) []paths.Point {
	p = append([]paths.Point(nil), p...)
	for range 2 {
		by := min(0.7, max(-0.2*h.width, 0.1+0.25*h.random.NormFloat64()))
		n := len(p) - 1
		u := p[n].Sub(p[max(0, n-3)])
		if l := math.Hypot(u.X, u.Y); l > 0 {
			p[n] = p[n].Add(u.Mul(by / l))
		}
		for i, j := 0, n; i < j; i, j = i+1, j-1 {
			p[i], p[j] = p[j], p[i]
		}
	}
	return p
}

// overrun draws the first mm of a ring a second time, a little beside it.
func (h *hand) overrun(p []paths.Point) []paths.Point {
	n := min(len(p)/4, 4+h.random.IntN(8))
	off := 0.22 * h.width * (2*h.random.Float64() - 1)
	for i := 1; i <= n; i++ {
		u := p[i+1].Sub(p[i-1])
		side := at(-u.Y, u.X).Mul(off * float64(i) / float64(n) / math.Hypot(u.X, u.Y))
		p = append(p, p[i].Add(side))
	}
	return p
}

func (h *hand) wavering(p []paths.Point, ring bool) []paths.Point {
	out := make([]paths.Point, len(p))
	tremor := mix(h.seed ^ h.random.Uint64())
	for i, q := range p {
		warp := at(wave2(q, 30, h.seed+11), wave2(q, 30, h.seed+12)).Mul(0.5)
		s := float64(i) * spacing
		calm := min(1, s/2, float64(len(p)-1-i)*spacing/2)
		if ring {
			calm = min(calm, 0.5)
		}
		shake := at(wave(s/3, tremor), wave(s/3, tremor+1)).Mul(0.06 * calm)
		out[i] = q.Add(warp).Add(shake)
	}
	return out
}

func wave2(p paths.Point, size float64, seed uint64) float64 {
	return 2*noise(p.X/size, p.Y/size, seed) - 1
}

// pressed gives a stroke its pressure and speed. A hand slows in bends, by the
// one-third power of the curvature (Lacquaniti, Terzuolo, Viviani 1983; the
// exponent is from memory), and presses harder where it is slow; it lands softly
// and lifts in passing.
func (h *hand) pressed(p []paths.Point) drawn {
	d := drawn{p, make([]float64, len(p)), make([]float64, len(p))}
	seed := h.random.Uint64()
	for i := range p {
		a, b := p[max(0, i-4)], p[min(len(p)-1, i+4)]
		u, v := p[i].Sub(a), b.Sub(p[i])
		turn := math.Abs(math.Atan2(u.X*v.Y-u.Y*v.X, u.Dot(v)))
		curvature := turn / (4 * spacing)
		d.speed[i] = math.Cbrt(0.05 / (0.05 + curvature))
		s, left := float64(i)*spacing, float64(len(p)-1-i)*spacing
		press := 1 + 0.16*wave(s/20, seed) + 0.08*wave(s/4, seed+1) + 0.12*(1-d.speed[i])
		press *= min(1, 0.75+0.25*s) * min(1, 0.6+0.2*left)
		d.pressure[i] = press
	}
	return d
}

// over draws one stroke n times: each pass beside the middle by about spread mm,
// so that their mean is the middle, and some of them not from end to end.
func (h *hand) over(o outline, n int, spread float64) (middle []paths.Point, passes []drawn) {
	p := dense(o.points)
	if !o.ring {
		p = h.miss(p)
	}
	middle = h.wavering(p, o.ring)
	off := make([][]paths.Point, n)
	for k := range off {
		off[k] = make([]paths.Point, len(middle))
		seed := h.random.Uint64()
		for i := range middle {
			s := float64(i) * spacing
			off[k][i] = at(wave(s/18, seed), wave(s/18, seed+1)).Mul(2 * spread)
		}
	}
	for k := range off {
		pass := make([]paths.Point, len(middle))
		for i, m := range middle {
			mean := at(0, 0)
			for j := range off {
				mean = mean.Add(off[j][i].Mul(1 / float64(n)))
			}
			pass[i] = m.Add(off[k][i]).Sub(mean)
		}
		// Two passes go from end to end; the others leave out up to a sixth.
		from, to := 0, len(pass)
		if k >= 2 && len(pass) > 60 {
			from, to = h.random.IntN(len(pass)/6), len(pass)-h.random.IntN(len(pass)/6)
		}
		passes = append(passes, h.pressed(pass[from:to]))
	}
	return middle, passes
}
