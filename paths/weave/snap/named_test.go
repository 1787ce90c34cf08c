package snap

import (
	"errors"
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"testing"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
	"weftplot/paths/weave/snap/choice"
)

// A line that is named lies in its channel or is refused with the channels that it has
// room in; at both ends of these it is taken, and next to them it is not.
func TestNamedLines(t *testing.T) {
	g := weave.Grid{Across: 2, Along: 2.2}
	r := rand.New(rand.NewPCG(61, 62))
	room := regexp.MustCompile(`room for it in (?:the channels (-?\d+) to (-?\d+)|channel (-?\d+))$`)
	taken, refused := 0, 0
	for n := range 150 {
		var strokes []paths.Stroke
		for range 3 + r.IntN(9) {
			x, y := 20+95*r.Float64(), 20+100*r.Float64()
			strokes = append(strokes, paths.Polyline(pt(x, y), pt(x, y+10+60*r.Float64())))
		}
		if n%3 == 0 { // its own mirror image
			for _, k := range strokes[:len(strokes):len(strokes)] {
				strokes = append(strokes, k.Transform(paths.MirrorX(120)))
			}
		}
		opt := Options{}
		if n%2 == 0 {
			_, opt.Fixed, _, _ = weave.Border(120, 100, []int{4}, g)
			opt.Room = &Room{Left: 8, Right: 112, Bottom: 8, Top: 92}
		}
		which := r.IntN(len(strokes))
		at := strokes[which][0].Start().X / g.Across
		try := func(channel int) (lo, hi int, ok bool) {
			opt.Named = []Named{{Name: "it", Of: func(i int) bool { return i == which }, Axis: weave.Across, Channel: channel + 7, Zero: -7}}
			out, err := Strokes(strokes, g, opt)
			if err == nil {
				if x := out.Strokes[which][0].Start().X; math.Abs(x-float64(channel)*g.Across) > 1e-9 {
					t.Fatalf("design %d: line named %d lies at %g", n, channel, x/g.Across)
				}
				checkOrder(t, strokes, out, g)
				return channel, channel, true
			}
			var f *fault.Error
			if !errors.As(err, &f) || f.Kind != fault.Input {
				t.Fatalf("design %d: %v", n, err)
			}
			m := room.FindStringSubmatch(f.What)
			if m == nil {
				t.Fatalf("design %d: %v", n, err)
			}
			num := func(s string) int { v, _ := strconv.Atoi(s); return v - 7 }
			if m[3] != "" {
				return num(m[3]), num(m[3]), false
			}
			return num(m[1]), num(m[2]), false
		}
		lo, hi, ok := try(int(math.Round(at)) + r.IntN(121) - 60)
		if taken++; ok {
			continue
		}
		taken, refused = taken-1, refused+1
		for channel, want := range map[int]bool{lo: true, hi: true, lo - 1: false, hi + 1: false} {
			// A far end may be the end of how far lines are looked for, not of the room.
			if _, _, ok := try(channel); ok != want && (want || math.Abs(float64(channel)-at) < 8) {
				t.Errorf("design %d: room from %d to %d for a line at %.2f, and %d is taken: %v", n, lo, hi, at, channel, ok)
			}
		}
	}
	if taken < 20 || refused < 20 {
		t.Errorf("%d taken, %d refused: too few of one kind to say much", taken, refused)
	}
}

// checkOrder finds upright lines that overlap and changed places, or came into one
// channel.
func checkOrder(t *testing.T, strokes []paths.Stroke, out Result, g weave.Grid) {
	t.Helper()
	for i, a := range strokes {
		for j, b := range strokes {
			p, q := a.Bounds(), b.Bounds()
			if min(p.Max.Y, q.Max.Y) < max(p.Min.Y, q.Min.Y) || q.Min.X-p.Min.X <= choice.Apart*g.Across {
				continue
			}
			if d := out.Strokes[j].Bounds().Min.X - out.Strokes[i].Bounds().Min.X; d < g.Across*(1-1e-9) && len(out.Warnings) == 0 {
				t.Errorf("lines drawn %.2f channels apart are %.2f apart", (q.Min.X-p.Min.X)/g.Across, d/g.Across)
			}
		}
	}
}

// What cannot be meant is refused.
func TestNamedLinesRefused(t *testing.T) {
	g := weave.Grid{Across: 2, Along: 2}
	strokes := []paths.Stroke{paths.Polyline(pt(10, 0), pt(10, 50)), paths.Polyline(pt(30, 0), pt(30, 50)), paths.Polyline(pt(50, 0), pt(80, 40))}
	for _, c := range []struct {
		of    []int
		also  int // another name for stroke 0, or 0
		what  string
		taken bool
	}{
		{of: []int{0}, taken: true},
		{of: []int{0}, also: 6, what: "it cannot lie in channel 5 and in channel 6"},
		{of: []int{0, 1}, what: "it has 2 lines"},
		{of: []int{2}, what: "it has no line"},
	} {
		named := func(channel int) Named {
			return Named{Name: "it", Axis: weave.Across, Channel: channel, Of: func(i int) bool {
				for _, k := range c.of {
					if i == k {
						return true
					}
				}
				return false
			}}
		}
		opt := Options{Named: []Named{named(5)}}
		if c.also != 0 {
			opt.Named = append(opt.Named, named(c.also))
		}
		if _, err := Strokes(strokes, g, opt); (err == nil) != c.taken {
			t.Errorf("%v: %v", c, err)
		}
	}
}
