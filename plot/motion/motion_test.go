package motion

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	_ "weftplot/paths/samecases"
	"weftplot/plot/program"
	"weftplot/profiles"
)

var limits = Limits{Draw: 50, Travel: 120, Accel: 500, Corner: 8, UpTime: 0.2, DownTime: 0.25}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.9g, want %.9g", what, got, want)
	}
}

func draws(s paths.Stroke) []program.Block {
	var out []program.Block
	for _, c := range s {
		out = append(out, program.Block{Kind: program.Draw, Curve: c})
	}
	return out
}

func line(pts ...float64) paths.Stroke {
	var out []paths.Point
	for i := 0; i+1 < len(pts); i += 2 {
		out = append(out, paths.Point{X: pts[i], Y: pts[i+1]})
	}
	return paths.Polyline(out...)
}

// TestClosedForms: rest to rest over d at most v with acceleration a takes
// d/v + v/a when d >= v²/a, else 2·sqrt(d/a). Textbook kinematics; the values
// were worked by hand.
func TestClosedForms(t *testing.T) {
	for _, c := range []struct{ d, want float64 }{{100, 2.1}, {5, 0.2}, {2, 0.126491}} {
		near(t, "time", Time(draws(line(0, 0, c.d, 0)), limits).Total, c.want, 1e-6)
	}
	// A slower feed: 10 mm at 10 mm/s and 500 mm/s²: 10/10 + 10/500.
	b := draws(line(0, 0, 10, 0))
	b[0].Feed = 10
	near(t, "slow feed", Time(b, limits).Total, 1.02, 1e-12)
	// A travel has its own limit: 120 mm/s over 60 mm is 60/120 + 120/500.
	b = []program.Block{{Kind: program.Travel, Curve: paths.Line{B: paths.Point{X: 60}}}}
	near(t, "travel", Time(b, limits).Travel, 0.74, 1e-12)
	// A circle of radius 2 at sqrt(500·2) = 31.62 mm/s: d/v + v/a.
	v := math.Sqrt(1000)
	b = draws(paths.Stroke{paths.Circle(paths.Point{}, 2)})
	near(t, "circle", Time(b, limits).Total, 4*math.Pi/v+v/500, 1e-9)
}

// TestCorner: at a right angle the direction jumps by √2, so with a corner
// limit of 8 mm/s the pen passes the corner at 8/√2 mm/s; each leg of 100 mm
// then takes (50-0)/a + cruise/50 + (50-8/√2)/a.
func TestCorner(t *testing.T) {
	w := 8 / math.Sqrt2
	cruise := 100 - (2*50*50-w*w)/(2*500)
	leg := 50./500 + cruise/50 + (50-w)/500
	p := Plan(draws(line(0, 0, 100, 0, 100, 100)), limits)
	near(t, "time", p.Timing().Total, 2*leg, 1e-9)
	near(t, "speed at the corner", p.pieces[1].in, w, 1e-9)

	straight := Time(draws(line(0, 0, 100, 0)), limits).Total
	near(t, "cut straight line", Time(draws(line(0, 0, 20, 0, 21, 0, 100, 0)), limits).Total, straight, 1e-9)
	// Reversal jumps by 2: half the corner limit.
	near(t, "reversal", Plan(draws(line(0, 0, 100, 0, 0, 0)), limits).pieces[1].in, 4, 1e-9)
	// With no jump allowed the pen stops at each corner.
	stop := limits
	stop.Corner = 0
	near(t, "stop", Time(draws(line(0, 0, 100, 0, 100, 100)), stop).Total, 2*straight, 1e-9)
}

func TestStopsAndSums(t *testing.T) {
	l := limits
	blocks := []program.Block{
		{Kind: program.Remark, Text: "start"},
		{Kind: program.PenUp}, // it is up already
		{Kind: program.Travel, Curve: paths.Line{B: paths.Point{X: 60}}},
		{Kind: program.PenDown},
		{Kind: program.Draw, Curve: paths.Line{A: paths.Point{X: 60}, B: paths.Point{X: 160}}},
		{Kind: program.Remark, Text: "no stop"},
		{Kind: program.Draw, Curve: paths.Line{A: paths.Point{X: 160}, B: paths.Point{X: 161}}},
		{Kind: program.PenUp},
		{Kind: program.Pen, Number: 2},
		{Kind: program.Pause, Text: "change the pen"},
		{Kind: program.Dwell, Seconds: 1.5},
		{Kind: program.PenDown}, {Kind: program.PenUp}, // a dot
	}
	got := Time(blocks, l)
	near(t, "travel", got.Travel, 0.74, 1e-9)
	near(t, "draw", got.Draw, 101./50+50./500, 1e-9)
	near(t, "pen", got.Pen, 2*(0.2+0.25), 1e-12)
	near(t, "wait", got.Wait, 1.5, 1e-12)
	near(t, "total", got.Total, got.Draw+got.Travel+got.Pen+got.Wait, 1e-9)
	near(t, "end of the travel", got.Ends[2], 0.74, 1e-9)
	near(t, "end of the program", got.Ends[len(blocks)-1], got.Total, 1e-12)
	near(t, "remark in a chain", got.Ends[5], got.Ends[4], 1e-12)
	for i := 1; i < len(got.Ends); i++ {
		if got.Ends[i] < got.Ends[i-1] {
			t.Errorf("block %d ends before block %d", i, i-1)
		}
	}
	if Time(nil, l).Total != 0 {
		t.Error("an empty program takes time")
	}
}

func TestEveryMachine(t *testing.T) {
	for _, name := range profiles.Names(profiles.MachineKind) {
		m, err := profiles.MachineNamed(name)
		if err != nil {
			t.Fatal(err)
		}
		l := LimitsOf(m)
		v := l.Draw
		near(t, name, Time(draws(line(0, 0, 200, 0)), l).Total, 200/v+v/l.Accel, 1e-9)
	}
}

// curves draws a chain of lines, arcs and cubics.
func curves() *rapid.Generator[paths.Stroke] {
	return rapid.Custom(func(t *rapid.T) paths.Stroke {
		coord := rapid.Float64Range(-40, 40)
		at := paths.Point{}
		pick := func() paths.Point {
			return at.Add(paths.Point{X: coord.Draw(t, "x"), Y: coord.Draw(t, "y")})
		}
		var s paths.Stroke
		for range rapid.IntRange(1, 6).Draw(t, "n") {
			switch rapid.IntRange(0, 3).Draw(t, "kind") {
			case 0:
				s = append(s, paths.ArcBulge(at, pick(), rapid.Float64Range(-2, 2).Draw(t, "bulge")))
			case 1:
				s = append(s, paths.Cubic{A: at, B: pick(), C: pick(), D: pick()})
			case 2: // a short piece
				s = append(s, paths.Line{A: at, B: at.Lerp(pick(), 0.01)})
			default:
				s = append(s, paths.Line{A: at, B: pick()})
			}
			at = s.End()
		}
		return s
	})
}

// TestWithinLimits plans random chains and checks each rule on the result
// separately.
func TestWithinLimits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Plan(draws(curves().Draw(t, "stroke")), limits)
		a := limits.Accel
		for i, q := range p.pieces {
			if q.peak > q.limit*(1+1e-9) || q.peak > limits.Draw*(1+1e-9) {
				t.Errorf("piece %d: %v mm/s, over its limit of %v", i, q.peak, q.limit)
			}
			if arc, ok := q.curve.(paths.Arc); ok && q.peak*q.peak > a*arc.Radius()*(1+1e-9) {
				t.Errorf("piece %d: %v mm/s is too fast for radius %v", i, q.peak, arc.Radius())
			}
			if d := math.Abs(q.out*q.out - q.in*q.in); d > 2*a*q.len+1e-6 {
				t.Errorf("piece %d: %v to %v mm/s within %v mm", i, q.in, q.out, q.len)
			}
			if i > 0 {
				before := p.pieces[i-1]
				jump := q.curve.Tangent(0).Mul(q.in).Sub(before.curve.Tangent(1).Mul(before.out)).Len()
				if jump > limits.Corner+1e-3 {
					t.Errorf("piece %d: the velocity jumps by %v mm/s", i, jump)
				}
			}
		}
		if n := len(p.pieces); n > 0 && (p.pieces[0].in != 0 || p.pieces[n-1].out != 0) {
			t.Error("the chain does not start and end at rest")
		}
	})
}

// TestStateFollows checks At against the plan: no jumps, the ends exact, the
// speed the derivative of the position.
func TestStateFollows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := curves().Draw(t, "stroke")
		blocks := append([]program.Block{{Kind: program.PenDown}}, draws(s)...)
		p := Plan(append(blocks, program.Block{Kind: program.PenUp}), limits)
		total := p.Timing().Total
		if got := p.At(total + 1).Point; got != s.End() {
			t.Errorf("it ends at %v, want %v", got, s.End())
		}
		const steps = 400
		before := p.At(0)
		for i := 1; i <= steps; i++ {
			now := p.At(total * float64(i) / steps)
			dt := total / steps
			if now.Point.Dist(before.Point) > limits.Draw*dt+1e-3 {
				t.Fatalf("it jumps from %v to %v", before.Point, now.Point)
			}
			if now.Speed > limits.Draw+1e-9 || now.Block < before.Block {
				t.Fatalf("state %+v after %+v", now, before)
			}
			before = now
		}
		if p.At(0.2).Down || !p.At(0.26).Down || p.At(total).Down {
			t.Error("the pen is not down when it should be")
		}
	})
}
