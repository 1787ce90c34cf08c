package cloth

import (
	"math"
	"slices"
)

// A slip is what can be wrong with a mark: its count by so many channels, or
// anything.
type slip struct {
	by     [2]int  // what must be added to its count, where that is known
	known  bool    // whether it is a slip in counting
	spread float64 // otherwise, how far it may be off: mm, or a share of the sheet where under 1
	share  float64 // of all slips
}

// slips are those that are looked for: mostly one channel in counting.
var slips = func() (out []slip) {
	for _, s := range []struct {
		across, along int
		share         float64
	}{{1, 0, 0.11}, {0, 1, 0.11}, {2, 0, 0.025}, {0, 2, 0.025}, {1, 1, 0.015}, {1, -1, 0.015}} {
		out = append(out, slip{by: [2]int{s.across, s.along}, known: true, share: s.share},
			slip{by: [2]int{-s.across, -s.along}, known: true, share: s.share})
	}
	return append(out, slip{spread: 12, share: 0.3}, slip{spread: 0.5, share: 0.1})
}()

// log returns the logarithm of how much likelier a mark's deleted residual is
// with this slip than without, one way.
func (s slip) log(deleted, variance float64, way int, b *belief) float64 {
	if s.known {
		d := float64(s.by[way]) * b.pitch(way)
		return d * (2*deleted - d) / (2 * variance)
	}
	spread := s.spread
	if spread < 1 {
		spread *= math.Max(b.sheet.width, b.sheet.height)
	}
	return logNormal(deleted, variance+spread*spread) - logNormal(deleted, variance)
}

// A wrong is a slip at a mark, and its probability by noise.
type wrong struct {
	mark int
	slip slip
	by   []float64
}

// noWrong is that no mark is wrong.
var noWrong = wrong{mark: -1}

// slipShare is how often a mark is wrong: common practice, one in a few dozen
// cloths of nine marks.
const slipShare = 0.002

// judge works out how likely it is that no mark is wrong, and of every mark that
// it is, by Bayes' rule. A mark is judged by what the others say of it; the kind
// of cloth and the noise are judged anew without it.
func (b *belief) judge() {
	none := make([]float64, len(b.noises))
	for s, noise := range b.noises {
		none[s] = noise.log + b.likelihood(s, 0, noWrong) + b.likelihood(s, 1, noWrong)
	}
	all := slices.Clone(none)
	for i := range b.read[0] {
		known := map[[4]int]float64{} // the same slip one way goes with several the other way
		for _, sl := range slips {
			w := wrong{i, sl, make([]float64, len(b.noises))}
			for s, noise := range b.noises {
				w.by[s] = noise.log + math.Log(slipShare*sl.share)
				for way := range 2 {
					key := [4]int{s, way, sl.by[way], int(100 * sl.spread)}
					v, ok := known[key]
					if !ok {
						v = b.likelihood(s, way, w)
						known[key] = v
					}
					w.by[s] += v
				}
				all = append(all, w.by[s])
			}
			b.wrongs = append(b.wrongs, w)
		}
	}
	total := logSum(all)
	// Where a mark is wrong by far, exp would make all of these 0, and nothing could be
	// said of how likely one noise is beside another.
	const least = -600
	up := max(0, least-(logSum(none)-total))
	for _, v := range none {
		b.right = append(b.right, math.Exp(v-total+up))
	}
	for _, w := range b.wrongs {
		for s := range w.by {
			w.by[s] = math.Exp(w.by[s] - total)
		}
	}
}

// likelihood returns the logarithm of the probability of the marks, one way, where
// the noise is given and a mark may be wrong.
func (b *belief) likelihood(noise, way int, w wrong) float64 {
	return logSum(b.weighKinds(noise, way, w))
}

// weighKinds returns the logarithm of the probability of every kind and the marks.
func (b *belief) weighKinds(noise, way int, w wrong) []float64 {
	out := make([]float64, len(b.kinds[way]))
	for k, g := range b.given[way][noise] {
		out[k] = b.kinds[way][k].log + g.evidence
		if w.mark >= 0 {
			out[k] += w.slip.log(g.deleted[w.mark], g.variance[w.mark], way, b)
		}
	}
	return out
}

// suspect returns the mark that is most likely wrong, how many times likelier the
// marks are with it wrong than with none, the same for the next likeliest, and its
// likeliest slip.
func (b *belief) suspect() (mark int, odds, next float64, s slip) {
	none := 0.
	for _, p := range b.right {
		none += p
	}
	most := 0.
	sums := make([]float64, len(b.read[0]))
	likeliest := make([]float64, len(sums))
	of := make([]slip, len(sums))
	for _, w := range b.wrongs {
		p := 0.
		for _, v := range w.by {
			p += v
		}
		sums[w.mark] += p
		if p > likeliest[w.mark] {
			likeliest[w.mark], of[w.mark] = p, w.slip
		}
	}
	for i, p := range sums {
		if p > most {
			mark, most, next = i, p, most
		} else if p > next {
			next = p
		}
	}
	scale := 1 / max(none*slipShare, math.SmallestNonzeroFloat64)
	return mark, most * scale, next * scale, of[mark]
}
