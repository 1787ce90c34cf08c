package papers

import (
	"math"
	"math/rand/v2"

	"weftplot/paths"
)

// outline is one stroke as it is meant: a polyline, y up, in mm. Its corners are
// its vertices where it turns sharply.
type outline struct {
	points []paths.Point
	ring   bool // it ends where it starts
}

// drawing is a sheet of strokes as they are meant.
type drawing struct {
	random *rand.Rand
	gap    float64 // the least distance between neighbouring lines, mm
	lines  []outline
}

func at(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

// newDrawing lays out about `most` strokes over a sheet of w by h mm for lines
// `width` mm wide: a border, and a motif in each cell. Where pitch is not 0, the
// border's lines lie on multiples of it.
func newDrawing(random *rand.Rand, w, h, width float64, most int, pitch float64) drawing {
	d := drawing{random: random, gap: max(2.5, 2.7*width)}
	margin := 9 + 4*random.Float64() + width/2
	low, high := at(margin, margin), at(w-margin, h-margin)
	if pitch > 0 {
		for _, v := range []*float64{&low.X, &low.Y, &high.X, &high.Y} {
			*v = math.Round(*v/pitch) * pitch
		}
	}
	d.border(low, high)
	low, high = low.Add(at(2+d.gap, 2+d.gap)), high.Sub(at(2+d.gap, 2+d.gap))
	cell := max(38, 4.6*d.gap)
	nx, ny := max(1, int((high.X-low.X)/cell)), max(1, int((high.Y-low.Y)/cell))
	cw, ch := (high.X-low.X)/float64(nx), (high.Y-low.Y)/float64(ny)
	kinds := d.motifs()
	order := random.Perm(len(kinds))
	for k, c := range random.Perm(nx * ny) {
		if len(d.lines) >= most {
			break
		}
		mid := at(low.X+cw*(float64(c%nx)+0.5), low.Y+ch*(float64(c/nx)+0.5))
		r := min(cw, ch)/2 - d.gap/2
		from := len(d.lines)
		kinds[order[k%len(order)]](r)
		d.place(from, mid)
	}
	return d
}

// place turns the strokes from number `from` on by a random angle about the
// origin, and moves them to mid.
func (d *drawing) place(from int, mid paths.Point) {
	turn := paths.Rotate(2 * math.Pi * d.random.Float64()).Then(paths.Translate(mid))
	for _, l := range d.lines[from:] {
		for i, p := range l.points {
			l.points[i] = turn.Apply(p)
		}
	}
}

// motifs are the things a drawing is made of: each draws within a distance r of
// the origin.
func (d *drawing) motifs() []func(r float64) {
	return []func(r float64){
		d.crossedCircle, d.lattice, d.star, d.house, d.spiral, d.waves, d.leaf, d.diamonds,
		d.rings, d.scissors, d.comb, d.pebbles, d.chain, d.tent, d.flower,
	}
}

func (d *drawing) open(p ...paths.Point) { d.lines = append(d.lines, outline{points: p}) }

func (d *drawing) closed(p ...paths.Point) {
	d.lines = append(d.lines, outline{append(p, p[0]), true})
}

// arc returns points along a circle, from angle a through a turn of `sweep`.
func arc(c paths.Point, r, a, sweep float64) []paths.Point {
	n := max(3, int(math.Abs(sweep)*r/0.25))
	out := make([]paths.Point, n+1)
	for i := range out {
		b := a + sweep*float64(i)/float64(n)
		out[i] = c.Add(at(math.Cos(b), math.Sin(b)).Mul(r))
	}
	return out
}

func (d *drawing) circle(c paths.Point, r float64) {
	p := arc(c, r, 2*math.Pi*d.random.Float64(), 2*math.Pi)
	d.closed(p[:len(p)-1]...)
}

// border is drawn in one go, or as four strokes that meet at the corners.
func (d *drawing) border(a, b paths.Point) {
	corners := []paths.Point{a, at(b.X, a.Y), b, at(a.X, b.Y)}
	if d.random.IntN(2) == 0 {
		d.closed(corners...)
		return
	}
	for i, p := range corners {
		d.open(p, corners[(i+1)%4])
	}
}

func (d *drawing) crossedCircle(r float64) {
	r = max(d.gap*1.2, min(r, 9))
	d.circle(at(0, 0), r)
	d.open(at(-r, 0), at(r, 0))
	d.open(at(0, -r), at(0, r))
}

func (d *drawing) lattice(r float64) {
	g := max(d.gap, r/2.5)
	for i := range 2 {
		t := g * (float64(i) - 0.5)
		d.open(at(-r*0.9, t), at(r*0.9, t))
		d.open(at(t, -r*0.9), at(t, r*0.9))
	}
}

func (d *drawing) star(r float64) {
	n := 4 + d.random.IntN(3)
	var p []paths.Point
	for i := range 2 * n {
		k := r
		if i%2 == 1 {
			k = r * 0.45
		}
		a := math.Pi * float64(i) / float64(n)
		p = append(p, at(k*math.Cos(a), k*math.Sin(a)))
	}
	d.closed(p...)
}

// house is walls, a roof that ends on them and a wall across: strokes that meet
// at their ends and in a T.
func (d *drawing) house(r float64) {
	w, h := r*0.7, r*0.6
	d.open(at(-w, h*0.3), at(-w, -h), at(w, -h), at(w, h*0.3))
	d.open(at(-w, h*0.3), at(0, r*0.85), at(w, h*0.3))
	d.open(at(-w, h*0.3), at(w, h*0.3))
	d.open(at(0, -h), at(0, h*0.3))
}

func (d *drawing) spiral(r float64) {
	turns := min(3, r/d.gap)
	var p []paths.Point
	n := int(turns * 60)
	for i := range n + 1 {
		t := float64(i) / float64(n)
		a := 2 * math.Pi * turns * t
		p = append(p, at(math.Cos(a), math.Sin(a)).Mul(r*(0.12+0.88*t)))
	}
	d.open(p...)
}

func (d *drawing) waves(r float64) {
	n := 1 + min(2, int(r/d.gap/1.5))
	for k := range n {
		y := (float64(k) - float64(n-1)/2) * max(d.gap, r/2)
		var p []paths.Point
		for i := range 121 {
			x := float64(i)/60 - 1
			p = append(p, at(r*0.9*x, y+r*0.16*math.Sin(2*math.Pi*1.2*x)))
		}
		d.open(p...)
	}
}

// leaf is two arcs that meet in acute tips, and a vein from tip to tip.
func (d *drawing) leaf(r float64) {
	const half = 0.95 // of the angle that each arc turns through
	k := r / math.Sin(half)
	c := k * math.Cos(half)
	d.open(arc(at(0, -c), k, math.Pi/2+half, -2*half)...)
	d.open(arc(at(0, c), k, -math.Pi/2+half, -2*half)...)
	if r > 3*d.gap {
		d.open(at(-r, 0), at(r, 0))
	}
}

func (d *drawing) diamonds(r float64) {
	for k := r; k > d.gap*1.3; k -= max(d.gap*1.6, r/3) {
		d.closed(at(k, 0), at(0, k*0.8), at(-k, 0), at(0, -k*0.8))
	}
}

func (d *drawing) rings(r float64) {
	for k := r * 0.95; k > d.gap*0.7; k -= max(d.gap, r/3) {
		d.circle(at(0, 0), k)
	}
}

// scissors are two lines that cross at 20 to 60 degrees.
func (d *drawing) scissors(r float64) {
	a := (10 + 20*d.random.Float64()) * math.Pi / 180
	u, v := at(math.Cos(a), math.Sin(a)).Mul(r), at(math.Cos(a), -math.Sin(a)).Mul(r)
	d.open(u.Mul(-1), u)
	d.open(v.Mul(-1), v)
}

func (d *drawing) comb(r float64) {
	d.open(at(-r*0.95, 0), at(r*0.95, 0))
	n := max(2, min(4, int(1.6*r/d.gap)))
	for i := range n {
		x := r * 1.6 * (float64(i)/float64(n-1) - 0.5)
		d.open(at(x, 0), at(x, r*0.5))
	}
}

func (d *drawing) pebbles(r float64) {
	k := d.gap * (0.55 + 0.2*d.random.Float64())
	for i := range 3 {
		a := 2 * math.Pi * float64(i) / 3
		d.circle(at(math.Cos(a), math.Sin(a)).Mul(max(r*0.5, 2*d.gap)), k)
	}
}

// chain is two circles that cross twice.
func (d *drawing) chain(r float64) {
	for _, x := range []float64{-0.4, 0.4} {
		d.circle(at(x*r, 0), 0.58*r)
	}
}

// tent is a zigzag of sharp corners over a base line that closes it.
func (d *drawing) tent(r float64) {
	n := max(1, min(3, int(1.4*r/(2*d.gap))))
	var p []paths.Point
	for i := range 2*n + 1 {
		x := 1.8 * r * (float64(i)/float64(2*n) - 0.5)
		p = append(p, at(x, r*(float64(i%2)*0.8-0.4)))
	}
	d.open(p...)
	d.open(p[0], p[len(p)-1])
}

// flower is petals round a ring that they end on.
func (d *drawing) flower(r float64) {
	in := max(d.gap*0.9, r*0.25)
	n := max(3, min(6, int(2*math.Pi*in/(d.gap*1.1))))
	d.circle(at(0, 0), in)
	for i := range n {
		a, half := 2*math.Pi*float64(i)/float64(n), math.Pi/float64(n)*0.62
		from := at(math.Cos(a-half), math.Sin(a-half)).Mul(in)
		to := at(math.Cos(a+half), math.Sin(a+half)).Mul(in)
		tip := at(math.Cos(a), math.Sin(a)).Mul(r * 1.15)
		var p []paths.Point
		for k := range 41 {
			t := float64(k) / 40
			p = append(p, from.Lerp(tip, t).Lerp(tip.Lerp(to, t), t))
		}
		d.open(p...)
	}
}
