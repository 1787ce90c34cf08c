package choice

import (
	"math/rand/v2"
	"testing"
)

// Boxes with their images are their own mirror image, and runs with theirs turn over; with one
// moved by more than the slack, or one more, they do not. By definition.
func TestMirroredAndTurnedOver(t *testing.T) {
	const middle, slack = 7.5, 0.01
	rnd := rand.New(rand.NewPCG(3, 1))
	for range 200 {
		var boxes []Box
		var runs []Run
		for range 1 + rnd.IntN(12) {
			at, lo := float64(rnd.IntN(20)), float64(rnd.IntN(20)) // many share a place
			w, h := 0.5+rnd.Float64(), 0.5+rnd.Float64()
			off := (rnd.Float64() - 0.5) * slack
			boxes = append(boxes, Box{at, at + w, lo, lo + h}, Box{2*middle - at - w + off, 2*middle - at, lo, lo + h})
			runs = append(runs, Run{int(at), Extent{At: at, Lo: lo, Hi: lo + h}}, Run{int(at), Extent{At: at + off, Lo: 2*middle - lo - h, Hi: 2*middle - lo}})
		}
		rnd.Shuffle(len(boxes), func(i, j int) { boxes[i], boxes[j] = boxes[j], boxes[i] })
		rnd.Shuffle(len(runs), func(i, j int) { runs[i], runs[j] = runs[j], runs[i] })
		if !AreMirrored(boxes, middle, slack) || !TurnOver(runs, middle, slack, slack) {
			t.Fatalf("%v and %v are their own images about %g", boxes, runs, middle)
		}
		k := rnd.IntN(len(boxes))
		boxes[k].Hi += 3
		runs[k].Hi += 3
		if AreMirrored(boxes, middle, slack) || TurnOver(runs, middle, slack, slack) {
			t.Fatalf("%v or %v are no images about %g", boxes, runs, middle)
		}
	}
}
