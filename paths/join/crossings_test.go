package join

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/fault"
)

// meeting is the tolerance of these tests, mm.
const meeting = 0.01

// Counts of the least strokes are Euler's: half of the odd nodes of each connected part,
// at least one.
func TestThroughCrossings(t *testing.T) {
	tests := []struct {
		name           string
		strokes        []paths.Stroke
		apart, through int
	}{
		// Two odd ends each: the four of a cross take two strokes either way, straight through.
		{"a cross", []paths.Stroke{line(-10, 0, 10, 0), line(0, -10, 0, 10)}, 2, 2},
		{"two rings", []paths.Stroke{{paths.Circle(pt(0, 0), 10)}, {paths.Circle(pt(12, 0), 10)}}, 2, 1},
		{"a ring on a line", []paths.Stroke{{paths.Circle(pt(0, 0), 10)}, line(-30, 1, 30, 1)}, 2, 1},
		// n lines through one point have 2n odd ends.
		{"a star", []paths.Stroke{line(-10, 0, 10, 0), line(-7, -7, 7, 7), line(0, -10, 0, 10)}, 3, 3},
		{"a net", []paths.Stroke{line(0, 1, 9, 1), line(0, 5, 9, 5), line(1, 0, 1, 9), line(5, 0, 5, 9)}, 4, 4},
		{"a wave over a ring", []paths.Stroke{{paths.Circle(pt(0, 0), 10)}, {paths.Cubic{A: pt(-20, 1), B: pt(-5, 20), C: pt(5, -20), D: pt(20, -1)}}}, 2, 1},
	}
	for _, test := range tests {
		for _, through := range []bool{false, true} {
			want := test.apart
			if through {
				want = test.through
			}
			got, _ := mustStrokes(t, test.strokes, Options{Tolerance: meeting, Through: through})
			if len(got) != want {
				t.Errorf("%s, through %t: %d strokes, want %d", test.name, through, len(got), want)
			}
			covers(t, got, test.strokes, 2*meeting)
			sameLength(t, got, test.strokes, meeting)
		}
	}
	// Where nothing is saved, the pen goes straight on.
	got, _ := mustStrokes(t, tests[0].strokes, Options{Tolerance: meeting, Through: true})
	for _, s := range got {
		if len(s) != 1 {
			t.Errorf("the pen turns off in %v", s)
		}
	}
}

// Whatever is drawn, it is drawn once, with no more strokes than without; and the strokes
// are as few as the crossings that a look at every pair finds allow.
func TestThroughCrossingsKeepsTheDrawing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2))
		strokes := randomDrawing(r, rapid.IntRange(1, 14).Draw(t, "strokes"), 0)
		apart, _ := mustStrokes(t, strokes, Options{Tolerance: meeting})
		got, report := mustStrokes(t, strokes, Options{Tolerance: meeting, Through: true})
		checkValid(t, got)
		covers(t, got, strokes, 2*meeting)
		sameLength(t, got, apart, 4*meeting*float64(len(strokes)+report.Nodes))
		if len(got) > len(apart) {
			t.Errorf("%d strokes, and %d without", len(got), len(apart))
		}
	})
}

// The pairs that are crossed are all that cross.
func TestPairsAgainstAll(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	for range 40 {
		parts, _ := explode(randomDrawing(r, 30, 1), make([]bool, 30), meeting)
		want := map[[2]int]bool{}
		for i := range parts {
			for j := range i {
				if len(paths.Crossings(parts[j].Curve, parts[i].Curve, rounding)) > 0 {
					want[[2]int{j, i}] = true
				}
			}
		}
		seen := map[[2]int]int{}
		if err := pairsOf(parts, newWork(nil), func(i, j int) int { seen[[2]int{i, j}]++; return 0 }); err != nil {
			t.Fatal(err)
		}
		for p := range want {
			if seen[p] != 1 {
				t.Errorf("the pair %v was looked at %d times", p, seen[p])
			}
		}
	}
}

// The looks grow with the parts and their crossings together, not with the pairs.
func TestLooksAtCrossingsGrow(t *testing.T) {
	var logs [2][]float64
	for _, n := range []int{1000, 2000, 4000, 8000} {
		r := rand.New(rand.NewPCG(uint64(n), 5))
		var strokes []paths.Stroke
		side := math.Sqrt(float64(n)) * 10
		for range n {
			a := pt(r.Float64()*side, r.Float64()*side)
			strokes = append(strokes, paths.Polyline(a, a.Add(pt(r.Float64()*30-15, r.Float64()*30-15))))
		}
		w := newWork(nil)
		_, report, err := withWork(strokes, Options{Tolerance: meeting, Through: true}, w)
		if err != nil {
			t.Fatal(err)
		}
		logs[0] = append(logs[0], math.Log(float64(n+report.Nodes)))
		logs[1] = append(logs[1], math.Log(float64(mostLooks-w.left)))
	}
	last := len(logs[0]) - 1
	exponent := (logs[1][last] - logs[1][0]) / (logs[0][last] - logs[0][0])
	if exponent > 1.2 || slices.Max(logs[1]) > math.Log(mostLooks) {
		t.Errorf("looks grow with the power %.2f", exponent)
	}
}

// Curves that run along one another take thousands of halvings to cross: that counts as
// work, so that many of them are refused soon.
func TestCrossingsAlongOneAnotherAreWork(t *testing.T) {
	w := newWork(nil)
	_, _, err := withWork(shaken(4, 1e-3), Options{Tolerance: 1e-4, KeepDoubles: true, Through: true}, w)
	if took := mostLooks - w.left; err != nil || took < 10_000 {
		t.Errorf("four curves took %d looks, error %v", took, err)
	}
	w = newWork(nil)
	w.left = 100_000
	_, _, err = withWork(shaken(400, 1e-3), Options{Tolerance: 1e-4, KeepDoubles: true, Through: true}, w)
	if !errors.Is(err, fault.Fit) || !strings.Contains(err.Error(), "where they cross") {
		t.Errorf("400 curves along one another: error %v", err)
	}
	if over := -w.left; over > 400_000 {
		t.Errorf("%d looks past the limit", over)
	}
}
