package snap

import (
	"math"
	"testing"

	"weftplot/paths"
	"weftplot/paths/weave/snap/web"
)

// What touches a straight stays on it, between its ends, also where its parts lean far over
// some microns, where a slanting line that it touches too is nearly parallel, and where the
// curve that it is drawn as bulges away. Each case is a random sketch that once failed,
// made small.
func TestTouchesStayOnTheirStraights(t *testing.T) {
	const tiny = 0x1p-21
	for name, c := range map[string]struct {
		angle float64
		in    []paths.Stroke
	}{
		"the tail of a straight": {1, []paths.Stroke{
			paths.Polyline(pt(6.5, tiny), pt(0.0078125, tiny)),
			{paths.Cubic{A: pt(0.015625, 2*tiny), B: pt(1, 1), C: pt(1, 1), D: pt(1, 1)}},
			paths.Polyline(pt(0.125, 6.75), pt(0.125, 8*tiny), pt(0.0078125, tiny)),
		}},
		"an end that a slanting line moves": {3.7310117070018056, []paths.Stroke{
			{paths.Line{A: pt(0, 0.001744985580444336), B: pt(1.3125, 0)},
				paths.Cubic{A: pt(1.3125, 0), B: pt(1.3125, 0), C: pt(1.2113718269525278, 83.6982421875), D: pt(0, 0.001744985580444336)}},
			paths.Polyline(pt(1.3125, 0), pt(5.724639892578125, 0)),
			paths.Polyline(pt(1.3094728613383686, 96), pt(1.3125, 0)),
			paths.Polyline(pt(0, 0), pt(0, 12.666717529296875), pt(0.0002717295501497574, -0.0022173571721924752)),
			paths.Polyline(pt(0.307283974095897, 0.24733734130859375), pt(1.3264742414624138, 0.007312264176437525)),
			paths.Polyline(pt(61.609850405574015, 67.32542096162582), pt(1.3125, 1.862645149230957e-05), pt(0.08593197306618094, -0.05911523103713989)),
		}},
	} {
		s := &snapper{Web: web.New(c.in), grid: monks, opt: mustCheck(t, Options{Angle: c.angle})}
		s.place()
		s.carry()
		if len(s.touches) == 0 {
			t.Errorf("%s: nothing touches", name)
		}
		for _, x := range s.touches {
			fixed, along := x.axis.Split(s.moved[x.vertex])
			lo, hi := math.Inf(1), math.Inf(-1)
			for _, v := range x.on.verts {
				_, u := x.axis.Split(s.moved[v])
				lo, hi = min(lo, u), max(hi, u)
			}
			held := s.on[1-x.axis][x.vertex] != nil
			if want := float64(x.on.channel) * monks.Pitch(x.axis); fixed != want || !held && (along < lo || along > hi) {
				t.Errorf("%s: what touched a straight in %g from %g to %g went to %v", name, want, lo, hi, s.moved[x.vertex])
			}
		}
	}
}

// Of two straights that share a vertex and are far apart elsewhere one is left as it leans,
// also when others lie between them: in one channel the line that closes the wedge would
// have no length. A random sketch that once failed, made small.
func TestForksAreFoundBehindOthers(t *testing.T) {
	a, b, c, d := pt(0.125, 1), pt(0.140625, 27.578125), pt(6.5, 1.0000001204637883), pt(0, 1.477257251739502)
	in := []paths.Stroke{
		{paths.Cubic{A: a, B: a, C: pt(1, 1.4), D: b}, paths.Line{A: b, B: c}, paths.Line{A: c, B: d}, paths.Line{A: d, B: b}},
		{paths.Line{A: d, B: pt(1.285, 1)}},
		{paths.Cubic{A: pt(-0.275, 0.5), B: b, C: b, D: pt(0.5, 54.142822265625)}, paths.Line{A: pt(0.5, 54.142822265625), B: pt(112.6, 1)}},
	}
	out := mustSnap(t, in, monks, Options{Angle: 13.986229834219557})
	for _, l := range out.Lines {
		if !hasLine(out.Strokes, l) {
			t.Errorf("nothing is drawn in the channel of %+v", l)
		}
	}
	if from, to := out.Strokes[0][2].Start(), out.Strokes[0][2].End(); from.Dist(to) < 3 {
		t.Errorf("a line of 6.5 mm came to lie from %v to %v", from, to)
	}
}
