package motion

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/plot/program"
	"weftplot/plot/program/programtest"
)

// TestStretchesOfALine: from rest at 100 mm/s² the speed is 10 mm/s after 0.5
// mm, 20 after 2 and 40 after 8: v²/2a. The line of 100 mm at 40 mm/s slows
// down the same way.
func TestStretchesOfALine(t *testing.T) {
	l := Limits{Draw: 40, Travel: 100, Accel: 100, Corner: 5}
	p := Plan([]program.Block{{Kind: program.Draw, Curve: paths.Line{B: paths.Point{X: 100}}}}, l)
	want := []struct {
		class int
		end   float64
	}{{0, 0.5}, {1, 2}, {2, 98}, {1, 99.5}, {0, 100}}
	got := p.Stretches([]float64{10, 20})
	if len(got) != len(want) {
		t.Fatalf("%d stretches: %v", len(got), got)
	}
	for i, s := range got {
		if s.Class != want[i].class || math.Abs(s.Curve.End().X-want[i].end) > 1e-9 || s.Block != 0 {
			t.Errorf("stretch %d is %+v, want %+v", i, s, want[i])
		}
	}
	if v := p.Fastest(func(int) bool { return true }); v != 40 {
		t.Errorf("the fastest is %v mm/s", v)
	}
}

// TestStretchesAgainstTheClock: for any program the stretches together are all
// the moves, and at any instant the stretch under the pen has the class of its
// speed.
func TestStretchesAgainstTheClock(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Limits{Draw: 40, Travel: 120, Accel: rapid.Float64Range(50, 2000).Draw(t, "accel"), Corner: 10, UpTime: 0.1, DownTime: 0.1}
		blocks := programtest.Blocks(rapid.Float64Range(1, 60).Draw(t, "feed"), programtest.Strokes(paths.Point{X: 50, Y: 50}).Draw(t, "strokes")...)
		p := Plan(blocks, l)
		speeds := []float64{8, 16, 32, 64}
		var sum float64
		stretches := p.Stretches(speeds)
		for _, s := range stretches {
			sum += s.Curve.Length()
		}
		total := program.Total(program.Program{Blocks: blocks})
		if all := total.DrawMM + total.TravelMM; math.Abs(sum-all) > 1e-6*(1+all) {
			t.Fatalf("stretches of %v mm, moves of %v mm", sum, all)
		}
		for i := range 10 {
			s := p.At(p.Timing().Total * (float64(i) + 0.5) / 10)
			if s.Speed > 0 && !holds(stretches, speeds, s, l.Accel) {
				t.Fatalf("at %v, in block %d, the speed is %v mm/s: no stretch there has it", s.Point, s.Block, s.Speed)
			}
		}
	})
}

// holds reports whether there is a stretch at the place of s whose class is
// that of its speed, to within the distance between sampled points.
func holds(stretches []Stretch, speeds []float64, s State, accel float64) bool {
	const points = 40
	for _, q := range stretches {
		if q.Block != s.Block {
			continue
		}
		step := q.Curve.Length() / points
		slack := math.Sqrt(2*accel*step) + 1e-6
		low, high := 0.0, math.Inf(1)
		if q.Class > 0 {
			low = speeds[q.Class-1]
		}
		if q.Class < len(speeds) {
			high = speeds[q.Class]
		}
		if s.Speed < low-slack || s.Speed > high+slack {
			continue
		}
		for j := range points + 1 {
			if q.Curve.At(float64(j)/points).Dist(s.Point) <= 4*step+1e-9 {
				return true
			}
		}
	}
	return false
}
