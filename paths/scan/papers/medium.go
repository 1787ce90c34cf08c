package papers

import (
	"math"
	"math/rand/v2"

	"weftplot/paths"
)

// medium is what a line is drawn with. Ranges are of what a page may have.
type medium struct {
	width   [2]float64 // of the line, mm
	density [2]float64 // natural logarithm of what a full deposit leaves of the light
	load    [2]float64 // of the tooth that pigment reaches in the middle of a line: 1 reaches all of it
	tooth   float64    // size of the paper's tooth as this medium feels it, mm
	round   float64    // how much less it presses at the edge of the line than in its middle, 0 to 1
	swell   float64    // how much the width follows the pressure
	smudge  float64    // of the pigment, what is rubbed into the paper about it
	colours [][3]float64
}

// Colours are how strongly a pigment takes red, green and blue away.
var (
	blacks = [][3]float64{{1, 1, 1}}
	greys  = [][3]float64{{1, 0.98, 0.95}}
	inks   = [][3]float64{{1, 1, 0.97}, {1, 0.85, 0.35}, {0.25, 1, 1}, {1, 1, 0.9}}
	waxes  = [][3]float64{{0.25, 1, 1}, {1, 0.75, 0.3}, {1, 0.45, 0.95}, {0.6, 0.9, 1}, {1, 1, 1}}
)

// named are the pigments of pens by their colour word.
var named = map[string][3]float64{
	"black": {1, 1, 1}, "grey": {1, 0.98, 0.95}, "red": {0.2, 1, 0.95}, "blue": {1, 0.85, 0.35}, "green": {1, 0.4, 0.9},
}

var (
	feltTip      = medium{width: [2]float64{0.7, 1.1}, density: [2]float64{1.7, 2.2}, load: [2]float64{2, 2}, tooth: 0.2, round: 0.1, swell: 0.15, colours: inks}
	ballpoint    = medium{width: [2]float64{0.35, 0.5}, density: [2]float64{1.3, 1.8}, load: [2]float64{1.05, 1.3}, tooth: 0.12, round: 0.3, swell: 0.25, colours: inks}
	smoothPencil = medium{width: [2]float64{0.5, 0.8}, density: [2]float64{0.85, 1.2}, load: [2]float64{0.95, 1.1}, tooth: 0.14, round: 0.5, swell: 0.3, colours: greys}
	grainyPencil = medium{width: [2]float64{0.6, 1.0}, density: [2]float64{0.9, 1.3}, load: [2]float64{0.62, 0.75}, tooth: 0.24, round: 0.5, swell: 0.3, colours: greys}
	// 20 to 38 % of the light is taken away.
	faintPencil = medium{width: [2]float64{0.45, 0.7}, density: [2]float64{0.223, 0.478}, load: [2]float64{0.7, 0.9}, tooth: 0.18, round: 0.45, swell: 0.25, colours: greys}
	crayon      = medium{width: [2]float64{2.6, 2.6}, density: [2]float64{0.9, 1.4}, load: [2]float64{0.55, 0.7}, tooth: 0.45, round: 0.4, swell: 0.2, colours: waxes}
	charcoal    = medium{width: [2]float64{1.8, 3.0}, density: [2]float64{1.1, 1.7}, load: [2]float64{0.5, 0.65}, tooth: 0.32, round: 0.5, swell: 0.4, smudge: 0.1, colours: blacks}
	marker      = medium{width: [2]float64{3, 5}, density: [2]float64{1.0, 1.6}, load: [2]float64{2, 2}, tooth: 0.3, round: 0.05, swell: 0.06, colours: inks}
)

// stick is one pen or pencil: a medium with its ranges settled.
type stick struct {
	medium
	width, density, load float64
	colour               [3]float64
}

func (m medium) pick(random *rand.Rand) stick {
	within := func(r [2]float64) float64 { return r[0] + (r[1]-r[0])*random.Float64() }
	return stick{m, within(m.width), within(m.density), within(m.load), m.colours[random.IntN(len(m.colours))]}
}

// sheet is paper with pigment on it. Rows go from the top down.
type sheet struct {
	w, h    int
	mm      float64 // a pixel
	pigment []float32
	seed    uint64

	// Of the stroke that is being laid down: the pixels it touches, how far each is
	// from its middle, and the nearest point of it.
	touched []int32
	dist    []float32
	nearest []int32
}

func newSheet(w, h, mm float64, seed uint64) *sheet {
	s := &sheet{w: int(math.Round(w / mm)), h: int(math.Round(h / mm)), mm: mm, seed: seed}
	s.pigment = make([]float32, s.w*s.h)
	s.dist = make([]float32, s.w*s.h)
	s.nearest = make([]int32, s.w*s.h)
	for i := range s.dist {
		s.dist[i] = math.MaxFloat32
	}
	return s
}

// another returns an empty sheet of the same paper.
func (s *sheet) another() *sheet {
	return newSheet((float64(s.w)+0.1)*s.mm, (float64(s.h)+0.1)*s.mm, s.mm, s.seed)
}

// lay puts a stroke on the paper. Where strokes cross, their densities add.
func (s *sheet) lay(d drawn, with stick) {
	reach := with.width/2*(1+with.swell) + s.mm
	for i := range d.points {
		s.touch(d.points[max(0, i-1)], d.points[i], int32(i), reach)
	}
	for _, i := range s.touched {
		k := s.nearest[i]
		press := d.pressure[k]
		half := with.width / 2 * (1 + with.swell*(press-1))
		r := float64(s.dist[i])
		s.dist[i] = math.MaxFloat32
		edge := min(1, max(0, (half-r)/s.mm+0.5)) // of the pixel that lies inside the line
		if edge == 0 {
			continue
		}
		t := min(1, r/half)
		x, y := float64(int(i)%s.w)*s.mm, float64(int(i)/s.w)*s.mm
		contact := with.load * press * (1 - with.round*t*t)
		held := min(1, max(0, (contact-s.toothAt(x, y, with.tooth))/0.25+0.5))
		slow := 1 + 0.15*(1-d.speed[k])
		s.pigment[i] += float32(edge * with.density * slow * held * min(1.1, 0.6+0.4*press))
	}
	s.touched = s.touched[:0]
}

// toothAt is how deep the paper lies at a place, from 0 for what is touched
// first to 1.
func (s *sheet) toothAt(x, y, size float64) float64 {
	n := 0.6*noise(x/size, y/size, s.seed+1) + 0.4*noise(x/size*2.3, y/size*2.3, s.seed+2)
	return min(1, max(0, 0.5+1.7*(n-0.5)))
}

// touch enters the segment from a to b as point k of the stroke.
func (s *sheet) touch(a, b paths.Point, k int32, reach float64) {
	top := float64(s.h) * s.mm
	x0, x1 := int((min(a.X, b.X)-reach)/s.mm), int((max(a.X, b.X)+reach)/s.mm)
	y0, y1 := int((top-max(a.Y, b.Y)-reach)/s.mm), int((top-min(a.Y, b.Y)+reach)/s.mm)
	for y := max(0, y0); y <= min(s.h-1, y1); y++ {
		for x := max(0, x0); x <= min(s.w-1, x1); x++ {
			p := at((float64(x)+0.5)*s.mm, top-(float64(y)+0.5)*s.mm)
			d := float32(toSegment(p, a, b))
			i := y*s.w + x
			if float64(d) > reach || d >= s.dist[i] {
				continue
			}
			if s.dist[i] == math.MaxFloat32 {
				s.touched = append(s.touched, int32(i))
			}
			s.dist[i], s.nearest[i] = d, k
		}
	}
}

// toSegment is the distance from p to the segment from a to b.
func toSegment(p, a, b paths.Point) float64 {
	u := b.Sub(a)
	t := 0.0
	if l := u.Dot(u); l > 0 {
		t = min(1, max(0, p.Sub(a).Dot(u)/l))
	}
	return p.Dist(a.Lerp(b, t))
}

// rub spreads a share of the pigment over a mm about it.
func (s *sheet) rub(share float64) {
	if share == 0 {
		return
	}
	soft := blurred(s.pigment, s.w, 0.8/s.mm)
	for i, v := range soft {
		s.pigment[i] += float32(share) * v
	}
}
