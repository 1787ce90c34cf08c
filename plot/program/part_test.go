package program

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	_ "weftplot/paths/samecases"
)

// twoPens is a program of five strokes, the second of which is a dot; pen 1
// draws the first three and pen 4 the others.
func twoPens() Program {
	at := paths.Point{}
	var p Program
	add := func(b Block) {
		b.Line = len(p.Blocks) + 1
		p.Blocks = append(p.Blocks, b)
	}
	way := func(k Kind, x, y float64) {
		to := paths.Point{X: x, Y: y}
		add(Block{Kind: k, Curve: paths.Line{A: at, B: to}})
		at = to
	}
	for n := range 5 {
		if n == 0 || n == 3 {
			add(Block{Kind: Pen, Number: 1 + n})
		}
		way(Travel, float64(10*n), 10)
		add(Block{Kind: PenDown})
		if n != 1 {
			way(Draw, float64(10*n), 20)
			way(Draw, float64(10*n)+5, 20)
		}
		add(Block{Kind: PenUp})
	}
	way(Travel, 0, 0)
	return p
}

func TestPick(t *testing.T) {
	p := twoPens()
	if got := p.Pens(); !slices.Equal(got, []int{1, 4}) {
		t.Errorf("the pens are %v", got)
	}
	for _, c := range []struct {
		part         Part
		numbers      []int
		strokes      int
		draw, travel float64
		pens         []int
		firstX       float64
	}{
		{Part{}, []int{1, 2, 3, 4, 5}, 5, 60, 0, []int{1, 4}, 0},
		{Part{From: 2, To: 2}, []int{2}, 1, 0, 11.18034, []int{1}, 10}, // from (5,20) to (10,10): sqrt(125)
		{Part{From: 4, To: 4}, []int{4}, 1, 15, 11.18034, []int{4}, 30},
		{Part{From: 5}, []int{5}, 1, 15, 11.18034 + 49.24429, []int{4}, 40}, // home from (45,20): sqrt(2425)
		{Part{Pen: 4}, []int{4, 5}, 2, 30, 2*11.18034 + 49.24429, []int{4}, 30},
		{Part{From: 3, To: 4, Pen: 1}, []int{3}, 1, 15, 10, []int{1}, 20},
		{Part{From: 4, To: 4, Pen: 1}, nil, 0, 0, 0, nil, 0},
	} {
		got, numbers := p.Pick(c.part)
		sum := Total(got)
		if c.part == (Part{}) {
			c.travel = Total(p).TravelMM
		}
		if sum.Strokes != c.strokes || sum.Lifts != c.strokes || !near(sum.DrawMM, c.draw) || !near(sum.TravelMM, c.travel) || !slices.Equal(got.Pens(), c.pens) {
			t.Errorf("%+v holds %d strokes, %d lifts, %v mm drawn, %v mm of travel, pens %v; want %+v", c.part, sum.Strokes, sum.Lifts, sum.DrawMM, sum.TravelMM, got.Pens(), c)
		}
		if !slices.Equal(numbers, c.numbers) {
			t.Errorf("%+v has the strokes %v, want %v", c.part, numbers, c.numbers)
		}
		if s := got.Strokes(); len(s) > 0 && s[0].Start().X != c.firstX {
			t.Errorf("%+v starts at %v", c.part, s[0].Start())
		}
	}
	if len(p.Blocks) != len(twoPens().Blocks) {
		t.Error("the program was changed")
	}
}

func near(a, b float64) bool { return a-b < 1e-4 && b-a < 1e-4 }

// TestPartsMakeTheWhole: wherever a program is cut, the parts hold every stroke
// and every travel once.
func TestPartsMakeTheWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyProgram(t)
		n := len(p.Strokes())
		if n < 2 {
			return
		}
		cut := rapid.IntRange(1, n-1).Draw(t, "cut")
		first, numbers := p.Pick(Part{From: 1, To: cut})
		second, others := p.Pick(Part{From: cut + 1})
		if !slices.Equal(append(numbers, others...), counted(n)) {
			t.Fatalf("the strokes are %v and %v of %d", numbers, others, n)
		}
		a, b, all := Total(first), Total(second), Total(p)
		if a.Strokes != cut || a.Strokes+b.Strokes != n || !near(a.DrawMM+b.DrawMM, all.DrawMM) ||
			!near(a.TravelMM+b.TravelMM, all.TravelMM) {
			t.Fatalf("%+v and %+v do not make %+v", a, b, all)
		}
	})
}

func counted(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i + 1
	}
	return out
}

// anyProgram draws blocks in any order, sensible or not.
func anyProgram(t *rapid.T) Program {
	at := paths.Point{}
	var p Program
	for range rapid.IntRange(0, 60).Draw(t, "blocks") {
		b := Block{Kind: Kind(rapid.IntRange(int(Travel), int(Remark)).Draw(t, "kind"))}
		switch b.Kind {
		case Travel, Draw:
			to := paths.Point{X: rapid.Float64Range(-9, 9).Draw(t, "x"), Y: rapid.Float64Range(-9, 9).Draw(t, "y")}
			b.Curve, at = paths.Line{A: at, B: to}, to
		case Pen:
			b.Number = rapid.IntRange(0, 3).Draw(t, "number")
		}
		p.Blocks = append(p.Blocks, b)
	}
	return p
}

func TestDown(t *testing.T) {
	for k, want := range map[Kind][2]bool{ // the pen was up; it was down
		PenDown: {true, true}, Draw: {true, true}, PenUp: {}, Travel: {}, Pen: {},
		Dwell: {false, true}, Pause: {false, true}, Remark: {false, true},
	} {
		if got := [2]bool{k.Down(false), k.Down(true)}; got != want {
			t.Errorf("kind %d leaves the pen %v, want %v", k, got, want)
		}
	}
}
