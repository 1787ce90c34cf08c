package finding_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
	"weftplot/paths/weave/lying"
	"weftplot/plot/finding"
)

// Ink that was drawn on cloth that lay shifted and turned stands beside the threads that have
// its numbers. The threads are renumbered so that the drawing goes on straight from the ink:
// far from it, where no ink tells, the drawing lies where the turn and the shift put it.
func TestRenumbered(t *testing.T) {
	g := weave.Grid{Across: 2.1, Along: 2}
	box := paths.Rect{Max: paths.Point{X: 420, Y: 600}}
	worst := 0.
	for seed := range uint64(6) {
		r := rand.New(rand.NewPCG(seed, 3))
		lies := lying.Random(r, g, box, paths.Point{X: 300, Y: 400}, lying.Slack{Shift: 30, Turn: 3, Lean: 0.02, Bow: 0.02, Count: 0.01})
		turn, dx, dy := (2*r.Float64()-1)*3*math.Pi/180, 20*r.Float64()-10, 20*r.Float64()-10
		onThread := func(p weave.Place) weave.Place {
			return weave.Place{Across: p.Across*math.Cos(turn) - p.Along*math.Sin(turn) + dx, Along: p.Across*math.Sin(turn) + p.Along*math.Cos(turn) + dy}
		}
		var ink, threads []cloth.Mark
		for i := range 10 {
			p := weave.Place{Across: float64(5 + 21*i), Along: float64(10 + 25*(i%3))}
			ink = append(ink, cloth.Mark{Place: p, At: lying.Read(r, lies.Point(onThread(p)), 0.2)})
		}
		for i := range 4 {
			for k := range 4 {
				p := weave.Place{Across: float64(66 * i), Along: float64(99 * k)}
				threads = append(threads, cloth.Mark{Place: p, At: lying.Read(r, lies.Point(p), 0.2)})
			}
		}
		opt := cloth.FitOptions{Expect: paths.Count{Across: 1 / g.Across, Along: 1 / g.Along}, Extent: g.PlaceOf(box.Max), Beyond: true}
		numbered, err := finding.Renumbered(ink, threads, 0.2, 0.03, opt)
		if err != nil {
			t.Fatal(seed, err)
		}
		if len(numbered) < 6 || len(numbered) >= len(threads) {
			t.Errorf("cloth %d: %d of %d threads lie beside the ink or not", seed, len(threads)-len(numbered), len(threads))
		}
		fit, err := cloth.Fit(append(ink, numbered...), opt)
		if err != nil {
			t.Fatal(seed, err)
		}
		for _, p := range []weave.Place{{Across: 100, Along: 60}, {Across: 100, Along: 180}, {Across: 60, Along: 270}} {
			worst = max(worst, fit.Point(p).Dist(lies.Point(onThread(p)))/g.Along)
		}
	}
	// A point that is read to 0.2 mm over 50 channels along turns what is 240 away by
	// about 0.2·240/50/√10 = 0.3 channel, in one case of twenty by twice that (arithmetic).
	if worst > 1 {
		t.Errorf("the drawing goes on %.2f channels beside", worst)
	}
}

// Too few threads do not tell how the cloth lies.
func TestRenumberedByTooFew(t *testing.T) {
	ink := []cloth.Mark{{At: paths.Point{X: 1}}}
	if _, err := finding.Renumbered(ink, []cloth.Mark{{At: paths.Point{X: 5}}}, 0.2, 0.03, cloth.FitOptions{}); err == nil {
		t.Error("one thread tells how a cloth lies")
	}
}
