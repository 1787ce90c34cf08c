package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"

	"weftplot/paths"
)

// A laidCloth is how a cloth lies on a machine for one load, for judging jobs by their
// files alone: it knows nothing of how weftplot fits cloth. On is a map from mm on the
// relaxed cloth, counted from the drawing's lower left corner, to mm on the machine:
//
//   - the cloth is laid at a place, up to 30 mm off and turned by up to 3 degrees;
//   - it leans by up to 2 %, its counts change by up to 1 %, and its threads bow by up
//     to 2 % of the length between the frame's sides, each way, one end up to half more
//     than the other.
//
// The sizes are those of a cloth that is taken off a frame and put on it again (common
// practice).
type laidCloth struct {
	at             paths.Point // where the corner was to be laid
	shift          paths.Point
	turn           float64     // radians
	middle, half   paths.Point // of what lies on the machine, mm on the cloth
	lean, change   paths.Point // shares
	bow, bowGrowth paths.Point // shares
}

// layCloth lays a cloth at random where a job asks for it, on a machine of a size.
func layCloth(r *rand.Rand, at, area paths.Point) laidCloth {
	both := func(most float64) paths.Point {
		return paths.Point{X: (2*r.Float64() - 1) * most, Y: (2*r.Float64() - 1) * most}
	}
	return laidCloth{
		at: at, shift: both(30), turn: both(3).X * math.Pi / 180,
		middle: area.Mul(.5).Sub(at), half: area.Mul(.5),
		lean: both(.02), change: both(.01), bow: both(.02), bowGrowth: both(.5),
	}
}

// on returns where a place of the relaxed cloth lies on the machine.
func (c laidCloth) on(p paths.Point) paths.Point {
	d := p.Sub(c.middle)
	u, v := d.X/c.half.X, d.Y/c.half.Y
	q := paths.Point{
		X: d.X*(1+c.change.X) + c.lean.X*d.Y + c.bow.X*2*c.half.Y*(1-v*v)*(1+c.bowGrowth.X*u),
		Y: d.Y*(1+c.change.Y) + c.lean.Y*d.X + c.bow.Y*2*c.half.X*(1-u*u)*(1+c.bowGrowth.Y*v),
	}
	sin, cos := math.Sincos(c.turn)
	turned := paths.Point{X: q.X*cos - q.Y*sin, Y: q.X*sin + q.Y*cos}
	return turned.Add(c.middle).Add(c.at).Add(c.shift)
}

// under returns which place of the relaxed cloth lies at a point of the machine, to a
// micrometre.
func (c laidCloth) under(p paths.Point) paths.Point {
	g := p.Sub(c.at)
	for range 100 {
		e := p.Sub(c.on(g))
		g = g.Add(e)
		if e.Len() < 1e-4 {
			break
		}
	}
	return g
}

// gcodeWord is one word of a block of G-code (NISTIR 6556, section 3.3).
var gcodeWord = regexp.MustCompile(`([A-Z])\s*([-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+))`)

// drawnByGcode returns what a program draws on a machine whose pen is on the cloth at
// Z 0 and off it above, as polylines in mm. It reads what NISTIR 6556 says of G0 to G3 in
// the plane XY and in mm, with centres and with radii, and refuses all other motion.
func drawnByGcode(program string) ([][]paths.Point, error) {
	var lines [][]paths.Point
	var at paths.Point
	motion, down := 0, false
	for n, line := range strings.Split(program, "\n") {
		line = regexp.MustCompile(`\([^)]*\)|;.*`).ReplaceAllString(line, "")
		words, to, moves := map[string]float64{}, at, false
		for _, w := range gcodeWord.FindAllStringSubmatch(strings.ToUpper(line), -1) {
			v, err := strconv.ParseFloat(w[2], 64)
			if err != nil {
				return nil, err
			}
			switch {
			case w[1] == "G" && v <= 3:
				motion = int(v)
			case w[1] == "G" && v != 17 && v != 21 && v != 90 && v != 94 && v != 4:
				return nil, fmt.Errorf("line %d: G%g is not read here", n+1, v)
			case w[1] == "X":
				to.X, moves = v, true
			case w[1] == "Y":
				to.Y, moves = v, true
			case w[1] == "Z":
				down = v <= 0
				if down {
					lines = append(lines, []paths.Point{at})
				}
			default:
				words[w[1]] = v
			}
		}
		_, centred := words["I"]
		if _, ok := words["J"]; ok {
			centred = true
		}
		if !moves && !(motion >= 2 && centred) {
			continue
		}
		if down {
			last := &lines[len(lines)-1]
			if motion >= 2 {
				*last = append(*last, arcOf(at, to, motion == 3, words)...)
			} else {
				*last = append(*last, to)
			}
		}
		at = to
	}
	return lines, nil
}

// arcOf returns points of an arc of G-code, its end included, a fifth of a millimetre
// apart.
func arcOf(from, to paths.Point, counterclockwise bool, words map[string]float64) []paths.Point {
	centre := from.Add(paths.Point{X: words["I"], Y: words["J"]})
	if r, ok := words["R"]; ok {
		chord := to.Sub(from)
		h := math.Sqrt(max(0, r*r-chord.Len()*chord.Len()/4))
		// The middle lies to the left of the chord for the lesser arc counter-clockwise.
		if counterclockwise != (r > 0) {
			h = -h
		}
		centre = from.Add(chord.Mul(.5)).Add(paths.Point{X: -chord.Y, Y: chord.X}.Mul(h / chord.Len()))
	}
	a, b := from.Sub(centre), to.Sub(centre)
	sweep := math.Atan2(a.X*b.Y-a.Y*b.X, a.X*b.X+a.Y*b.Y)
	switch {
	case counterclockwise && sweep <= 1e-12:
		sweep += 2 * math.Pi
	case !counterclockwise && sweep >= -1e-12:
		sweep -= 2 * math.Pi
	}
	chord := min(.2, math.Sqrt(8*1e-4*a.Len())) // 0.0001 mm off the arc at most
	n := int(math.Abs(sweep)*a.Len()/chord) + 1
	out := make([]paths.Point, 0, n)
	for i := 1; i < n; i++ {
		sin, cos := math.Sincos(sweep * float64(i) / float64(n))
		out = append(out, centre.Add(paths.Point{X: a.X*cos - a.Y*sin, Y: a.X*sin + a.Y*cos}))
	}
	return append(out, to)
}
