package inspect

import (
	"math"
	"math/rand/v2"
	"testing"

	"weftplot/paths"
)

// A segment is found from every direction that is not farther from its own than lines that
// run close together may be: from all of its own sector and half of one beside it.
func TestSectorsHoldWhatIsParallel(t *testing.T) {
	rnd := rand.New(rand.NewPCG(19, 12))
	for range 2000 {
		way := 2 * math.Pi * rnd.Float64()
		sin, cos := math.Sincos(way)
		s := segment{a: paths.Point{}, b: at(cos, sin), u: at(cos, sin), length: 1}
		p := (&drawing{Options: Options{}.withDefaults(), segs: []segment{s}, first: []int32{0, 1}}).newPairing(func(int32) bool { return false })
		other := way + crooked*0.9999*(2*rnd.Float64()-1) + math.Pi*float64(rnd.IntN(2))
		sin, cos = math.Sincos(other)
		if ids, _ := p.besides(sectorOf(at(cos, sin)), nil); len(ids) != 1 {
			t.Fatalf("a segment in direction %g is not found from direction %g", way, other)
		}
	}
}
