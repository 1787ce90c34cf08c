package panels

import (
	"context"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/near"
	_ "weftplot/paths/samecases"
	"weftplot/paths/weave"
)

var (
	pictures = flag.String("pictures", "", "a folder for pictures of plans, for looking at")
	cases    = flag.Int("cases", 4, "how many random drawings are held against exact answers")
	from     = flag.Int("from", 0, "the first seed of those")
)

func pt(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

var grid = weave.Grid{Across: 2, Along: 2}

func rectangle(x0, y0, x1, y1 float64) paths.Stroke {
	return paths.Polyline(pt(x0, y0), pt(x1, y0), pt(x1, y1), pt(x0, y1), pt(x0, y0))
}

func plain(strokes ...paths.Stroke) []Stroke {
	out := make([]Stroke, len(strokes))
	for i, s := range strokes {
		out[i].Stroke = s
	}
	return out
}

// A runner of a border, stripes and a sun on three loads.
func runner() []Stroke {
	out := []Stroke{{Stroke: rectangle(0, 0, 400, 1200), Name: "border"}, {Stroke: rectangle(20, 20, 380, 1180), Name: "border"}}
	for y := 60.; y < 1160; y += 60 {
		out = append(out, Stroke{Stroke: paths.Polyline(pt(20, y), pt(380, y)), Name: "stripes"})
	}
	for x := 60.; x < 360; x += 80 {
		out = append(out, Stroke{Stroke: paths.Polyline(pt(x, 20), pt(x, 1180)), Name: "warp"})
	}
	return append(out, Stroke{Stroke: paths.Stroke{paths.Circle(pt(200, 600), 150)}, Name: "sun"})
}

// medley is a rug of many kinds of strokes, as a seed has it.
func medley(r *rand.Rand, width, height float64, n int) []Stroke {
	out := []Stroke{{Stroke: rectangle(0, 0, width, height), Name: "border"}}
	any := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	word := 0
	for len(out) < n {
		size := any(10, 60)
		if r.IntN(12) == 0 {
			size = any(60, 0.45*min(width, height))
		}
		x, y := any(size, width-size), any(size, height-size)
		switch r.IntN(6) {
		case 0:
			out = append(out, Stroke{Stroke: paths.Stroke{paths.Circle(pt(x, y), size)}, Name: "rings"})
		case 1:
			out = append(out, Stroke{Stroke: rectangle(2*math.Round(x/2), 2*math.Round(y/2), 2*math.Round((x+size)/2), 2*math.Round((y+size)/2)), Name: "tiles"})
		case 2:
			out = append(out, Stroke{Stroke: paths.Stroke{paths.Cubic{A: pt(x-size, y), B: pt(x, y+size), C: pt(x, y-size), D: pt(x+size, y)}}, Name: "waves"})
		case 3:
			c := 2 * math.Round(x/2)
			out = append(out, Stroke{Stroke: paths.Polyline(pt(c, y-size), pt(c, y+size)), Name: "rungs"})
		case 4:
			c := 2 * math.Round(y/2)
			out = append(out, Stroke{Stroke: paths.Polyline(pt(x-size, c), pt(x+size, c)), Name: "rows"})
		default:
			word++
			s := min(size, 40)
			for k := range 3 {
				at := x - s + float64(k)*0.7*s
				out = append(out, Stroke{Stroke: paths.Polyline(pt(at, y), pt(at+0.3*s, y+0.4*s), pt(at+0.5*s, y)), Word: word, Name: "letters"})
			}
		}
	}
	return out
}

// A tester is a test, or one case of a property.
type tester interface {
	Errorf(string, ...any)
	Helper()
}

// check holds a plan to what it promises.
func check(t tester, strokes []Stroke, opt Options, p Plan) {
	t.Helper()
	joints := checkJoints(t, strokes, opt, p)
	checkLoads(t, strokes, opt, p)
	drawn := make([][]Part, len(strokes))
	for _, l := range p.Loads {
		for _, part := range l.Parts {
			drawn[part.Stroke] = append(drawn[part.Stroke], part)
		}
	}
	for i, s := range strokes {
		checkDrawn(t, i, s.Stroke, drawn[i], float64(joints[i])*opt.Lap)
	}
}

// Joints lie in both windows with their laps, and no word has one. It returns how many each
// stroke has.
func checkJoints(t tester, strokes []Stroke, opt Options, p Plan) map[int]int {
	t.Helper()
	joints := map[int]int{}
	for _, j := range p.Joints {
		joints[j.Stroke]++
		if strokes[j.Stroke].Word > 0 {
			t.Errorf("stroke %d of a word is cut", j.Stroke)
		}
		if j.Loads[0] >= j.Loads[1] {
			t.Errorf("a joint of loads %v", j.Loads)
		}
		if _, _, d := near.OnStroke(strokes[j.Stroke].Stroke, j.At); d > 1e-6 {
			t.Errorf("the joint at %v is %g mm off its stroke", j.At, d)
		}
		for _, n := range j.Loads {
			if !p.Loads[n].Window.Grow(2 * hair).Contains(j.At) {
				t.Errorf("the joint at %v lies outside the window of load %d", j.At, n)
			}
		}
	}
	if len(joints) != p.Cuts {
		t.Errorf("%d strokes have joints, %d are said to be cut", len(joints), p.Cuts)
	}
	return joints
}

// Windows are no larger than they may be, hold their parts, and words are in one load.
func checkLoads(t tester, strokes []Stroke, opt Options, p Plan) {
	t.Helper()
	words := map[int]int{}
	for n, l := range p.Loads {
		if len(l.Parts) == 0 {
			t.Errorf("load %d draws nothing", n)
		}
		if l.Window.Width() > opt.Width+hair || l.Window.Height() > opt.Height+hair {
			t.Errorf("load %d has a window of %v", n, l.Window)
		}
		for _, part := range l.Parts {
			if by, _ := l.Window.Excess(part.Piece.Bounds()); by > 20*hair {
				t.Errorf("load %d: a part of stroke %d is %g mm beyond the window", n, part.Stroke, by)
			}
			if err := part.Piece.Validate(); err != nil {
				t.Errorf("load %d: stroke %d: %v", n, part.Stroke, err)
			}
			if w := strokes[part.Stroke].Word; w > 0 {
				if m, seen := words[w]; seen && m != n {
					t.Errorf("word %d is drawn in loads %d and %d", w, m, n)
				}
				words[w] = n
			}
		}
	}
}

// All of a stroke is drawn, and nothing twice beyond the laps.
func checkDrawn(t tester, i int, s paths.Stroke, parts []Part, laps float64) {
	t.Helper()
	whole := 0.
	for _, part := range parts {
		whole += part.Piece.Length()
		if d := part.To - part.From - part.Piece.Length(); math.Abs(d) > 1e-5 {
			t.Errorf("stroke %d: a part said to be %g mm is %g mm longer", i, part.To-part.From, -d)
		}
	}
	if d := whole - s.Length() - laps; math.Abs(d) > 1e-4 {
		t.Errorf("stroke %d, of %g mm: %g mm too much is drawn", i, s.Length(), d)
	}
	for _, q := range s.Flatten(0.5) {
		least := math.Inf(1)
		for _, part := range parts {
			_, _, d := near.OnStroke(part.Piece, q)
			least = min(least, d)
		}
		if least > 1e-6 {
			t.Errorf("stroke %d is not drawn at %v", i, q)
		}
	}
}

func TestRunner(t *testing.T) {
	opt := Options{Grid: grid, Width: 500, Height: 480, Lap: 2}
	p, err := Divide(context.Background(), runner(), opt)
	if err != nil {
		t.Fatal(err)
	}
	check(t, runner(), opt, p)
	draw(t, "runner", runner(), p)
	if len(p.Loads) != 3 || !p.Exact {
		t.Fatalf("%d loads, exact %v", len(p.Loads), p.Exact)
	}
	for _, j := range p.Joints {
		if !j.OnWeave {
			t.Errorf("joint %v lies off the weave", j)
		}
	}
	for n := range p.Loads {
		at, err := p.Findable(n)
		if err != nil {
			t.Fatal(err)
		}
		names := map[string]bool{}
		for _, q := range at {
			if names[q.Name] {
				t.Errorf("load %d: two points are called %q", n, q.Name)
			}
			names[q.Name] = true
			if len(p.Around(n, q.At, 5)) == 0 {
				t.Errorf("load %d: no ink round %s", n, q.Name)
			}
		}
	}
}

func TestMedley(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		seed := rapid.Uint64Range(0, 1000).Draw(rt, "seed")
		r := rand.New(rand.NewPCG(seed, 1))
		strokes := medley(r, 200+400*r.Float64(), 200+600*r.Float64(), 10+r.IntN(60))
		opt := Options{Grid: grid, Width: 150 + 200*r.Float64(), Height: 150 + 200*r.Float64(), Lap: 4 * r.Float64()}
		if r.IntN(4) == 0 {
			opt.Lap = 30 * r.Float64()
		}
		p, err := Divide(context.Background(), strokes, opt)
		if err != nil {
			rt.Fatal(err)
		}
		check(rt, strokes, opt, p)
		draw(t, fmt.Sprint("medley-", seed), strokes, p)
	})
}

// draw writes a picture of a plan, where one is asked for.
func draw(t *testing.T, name string, strokes []Stroke, p Plan) {
	if *pictures == "" {
		return
	}
	var b strings.Builder
	all := paths.EmptyRect()
	for _, s := range strokes {
		all = all.Union(s.Bounds())
	}
	for _, l := range p.Loads {
		all = all.Union(l.Window)
	}
	all = all.Grow(10)
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="%g %g %g %g"><rect x="%g" y="%g" width="100%%" height="100%%" fill="white"/>`, all.Min.X, -all.Max.Y, all.Width(), all.Height(), all.Min.X, -all.Max.Y)
	colours := []string{"#1b6ca8", "#c0392b", "#27864a", "#8e44ad", "#b9770e", "#148f8f", "#7f5539", "#d6336c", "#5f6a6a"}
	for n, l := range p.Loads {
		c := colours[n%len(colours)]
		w := l.Window
		fmt.Fprintf(&b, `<rect x="%g" y="%g" width="%g" height="%g" fill="%s" fill-opacity=".06" stroke="%s" stroke-dasharray="6 4"/>`, w.Min.X, -w.Max.Y, w.Width(), w.Height(), c, c)
		fmt.Fprintf(&b, `<text x="%g" y="%g" font-size="24" fill="%s">%d</text>`, w.Centre().X, -w.Centre().Y, c, n+1)
		for _, part := range l.Parts {
			fmt.Fprintf(&b, `<polyline fill="none" stroke="%s" stroke-width="1" points="`, c)
			for _, q := range part.Piece.Flatten(0.1) {
				fmt.Fprintf(&b, "%.2f,%.2f ", q.X, -q.Y)
			}
			b.WriteString(`"/>`)
		}
		at, err := p.Findable(n)
		if err != nil {
			t.Fatal(err)
		}
		for i, q := range at {
			fmt.Fprintf(&b, `<circle cx="%g" cy="%g" r="4" fill="none" stroke="%s"/><text x="%g" y="%g" font-size="9" fill="%s">%d</text>`, q.At.X, -q.At.Y, c, q.At.X+4, -q.At.Y-3, c, i+1)
		}
	}
	for _, j := range p.Joints {
		fmt.Fprintf(&b, `<path d="M%g,%g l6,6 m0,-6 l-6,6" stroke="black" stroke-width=".8"/>`, j.At.X-3, -j.At.Y-3)
	}
	b.WriteString("</svg>")
	if err := os.WriteFile(*pictures+"/"+name+".svg", []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
}
