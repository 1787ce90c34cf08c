package cloth

import (
	"math"

	"weftplot/paths/fault"
)

// Prior says how cloth of a kind lies before a mark is read: the sizes that its
// bends and slips usually have. A field that is 0 takes the value beside it,
// common practice for rug backing on a frame.
type Prior struct {
	// Bow is a great bow, as a share of the length of the threads: 19 in 20 cloths
	// have a lesser one. Counts that change over the rug are smaller than a bow and
	// are not given apart. 0.03.
	Bow float64
	// Lean and Count are how much the directions and the counts differ from those
	// expected, as shares, in two of three cloths. 0.03 and 0.02. They only matter
	// where there are too few marks to tell.
	Lean, Count float64
	// Noise is how far the pen stands from the middle of a hole when a person says
	// that it is over it, mm each way, root mean square. 0 is not known: it is
	// learnt from the marks, between 0.06 mm and 1.1 mm.
	Noise float64
}

func (p Prior) withDefaults() Prior {
	or := func(v, otherwise float64) float64 {
		if v == 0 {
			return otherwise
		}
		return v
	}
	return Prior{Bow: or(p.Bow, 0.03), Lean: or(p.Lean, 0.03), Count: or(p.Count, 0.02), Noise: p.Noise}
}

// check refuses sizes that no cloth has.
func (p Prior) check() error {
	for _, v := range []float64{p.Bow, p.Lean, p.Count, p.Noise} {
		if !(v >= 0) || math.IsInf(v, 0) {
			return fault.Bad("", "give sizes of 0 and more", "cloth does not bend by %g", v)
		}
	}
	return nil
}

// A weighted value has the logarithm of its probability.
type weighted struct{ value, log float64 }

func weigh(values, shares []float64) (out []weighted) {
	var sum float64
	for _, s := range shares {
		sum += s
	}
	for i, v := range values {
		out = append(out, weighted{v, math.Log(shares[i] / sum)})
	}
	return out
}

// noises are the sizes of noise that are thought of, in mm. The last two are of
// marks of which several are wrong; the one before them also stands for cloth
// that bends more sharply than the shapes can.
func (p Prior) noises() []weighted {
	if p.Noise > 0 {
		return weigh([]float64{0.7 * p.Noise, p.Noise, 1.4 * p.Noise}, []float64{0.2, 0.6, 0.2})
	}
	return weigh(
		[]float64{0.06, 0.12, 0.2, 0.32, 0.48, 0.7, 1.1, hopeless, 2 * hopeless},
		[]float64{0.1, 0.17, 0.24, 0.24, 0.16, 0.07, 0.01, 0.005, 0.005})
}

// hopeless is a noise, in mm, that no person makes.
const hopeless = 2.4

// A kind is a kind of cloth, one way. What moves a thread aside is a bow, and what
// moves it along itself a stretch, a count that changes. Both have the standard
// deviation of the shape of degree 2, as a share of the thread's length.
type kind struct {
	bow, stretch float64
	finer        float64 // a degree more, over 2
	variation
	log float64 // of the probability
}

// A variation is how a bow changes from one edge of the rug to the other, as shares
// of the bow.
type variation struct {
	growing float64 // degree 1: it is greater at one edge than at the other
	belly   float64 // degree 2 and more: it is greater, or less, half way between them
}

// variations are those that are thought of, and their shares. A bow that is nothing
// at one edge grows by its own mean height, which is as far as it goes: two standard
// deviations of 0.5. The bars of a frame hold the edges, and the cloth gives in the
// middle without growing from edge to edge, so the two go apart. A belly of half the
// bow is 0.5·4/9·3/2 = 0.33 of it, in the inner shape (see [shape.inner]); it is as
// much as there is, and 1.7 standard deviations.
var variations = []struct {
	variation
	share float64
}{
	{variation{0.03, 0.02}, 0.35},
	{variation{0.2, 0.04}, 0.15},
	{variation{0.5, 0.05}, 0.2},
	{variation{0.12, 0.2}, 0.3},
}

// kinds are those that are thought of. A bow of height b has the share 2/3·b of
// the second Legendre polynomial. A count that changes evenly by 2 % from edge to
// edge has the share 0.0017, a sixth of a bow of 1.5 % (arithmetic).
func (p Prior) kinds(way int) (out []kind) {
	most := p.Bow / 3 // half of 2/3 of a bow that 19 in 20 do not reach; so do the shares make it
	shares := []float64{0.06, 0.12, 0.22, 0.6}
	if way == 0 {
		shares = []float64{0.3, 0.4, 0.2, 0.1}
	}
	for _, b := range weigh([]float64{0.05, 0.2, 0.5, 1.15}, shares) {
		for _, st := range weigh([]float64{0.04, 0.2}, []float64{0.5, 0.5}) {
			for _, f := range weigh([]float64{0.06, 0.2}, []float64{0.5, 0.5}) {
				for _, v := range variations {
					out = append(out, kind{b.value * most, st.value * most, f.value, v.variation, b.log + st.log + f.log + math.Log(v.share)})
				}
			}
		}
	}
	return out
}

// A bow's fourth degree is 0.08 of its second for half a sine wave and 0.11 for an
// arc of 120 degrees; its sixth is 0.02 of it for the arc (arithmetic).
const fourth, fifth = 0.1, 0.02

// fine is how much less a shape of this degree is than that of degree 2; below 2
// it is no bend.
func (k kind) fine(degree int) float64 {
	switch degree {
	case 0, 1:
		return 0
	case 2:
		return 1
	case 3:
		return k.finer
	case 4:
		return fourth
	}
	return fifth
}

// vary is how much less a shape is for being of this degree in the other
// direction. A third degree is a fifth of the second.
func (v variation) vary(degree int) float64 {
	switch degree {
	case 0:
		return 1
	case 1:
		return v.growing
	}
	return v.belly * math.Pow(0.2, float64(degree-2))
}

// sizes returns the standard deviation of every shape, in mm, for a kind of cloth
// over a sheet, of what moves its places across (way 0) or along (1). Affine
// shapes are taken as unknown where the marks determine them.
func (p Prior) sizes(k kind, s sheet, way int, determined bool) []float64 {
	long := math.Max(s.width, s.height)
	out := make([]float64, len(shapes))
	for n, sh := range shapes {
		length := (float64(sh.i)*s.width + float64(sh.j)*s.height) / math.Max(1, float64(sh.i+sh.j))
		aside, along := sh.i, sh.j // degrees of what bows a thread, and of what stretches it
		if way == 0 {
			aside, along = sh.j, sh.i
		}
		switch {
		case sh.i+sh.j == 0 || sh.i+sh.j == 1 && determined:
			out[n] = long
		case sh.i+sh.j == 1:
			out[n] = math.Hypot(p.Lean, p.Count) / math.Sqrt2 * length / 2
		case sh.i == 1 && sh.j == 1:
			out[n] = k.stretch * length
		default:
			out[n] = length * math.Hypot(k.bow*k.fine(aside)*k.vary(along), k.stretch*k.fine(along)*k.vary(aside))
		}
	}
	return out
}
