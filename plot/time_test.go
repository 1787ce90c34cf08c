package plot

import (
	"math"
	"testing"

	"weftplot/paths"
	"weftplot/plot/motion"
	"weftplot/plot/program"
)

// machineTime is how long a machine takes over blocks, found by another road than
// the planner's. It cuts every way into steps of a thirtieth of a mm and knows of
// it only where those end: how sharply it bends from three of them, in which
// direction it leaves a joint from two. The greatest speed at each step is the
// least of feed, axes and bend; it is drawn in backward and forward to what the
// acceleration allows, and the time is the sum of step over mean speed.
func machineTime(blocks []program.Block, l motion.Limits) float64 {
	var total float64
	var chain []program.Block
	down := false
	rest := func() {
		total += chainTime(chain, l)
		chain = chain[:0]
	}
	for _, b := range blocks {
		switch b.Kind {
		case program.Travel, program.Draw:
			chain = append(chain, b)
			continue
		case program.Remark:
			continue
		}
		rest()
		switch {
		case b.Kind == program.PenDown && !down:
			total, down = total+l.DownTime, true
		case b.Kind == program.PenUp && down:
			total, down = total+l.UpTime, false
		case b.Kind == program.Dwell:
			total += b.Seconds
		}
	}
	rest()
	return total
}

func chainTime(chain []program.Block, l motion.Limits) float64 {
	const step = 1. / 30
	var at []paths.Point           // where the steps end
	var limit, stepLimit []float64 // of the speed there, and on the step before it
	var leave paths.Point          // the direction at the end so far
	for _, b := range chain {
		most := l.Draw
		if b.Kind == program.Travel {
			most = l.Travel
		}
		if b.Feed > 0 {
			most = min(most, b.Feed)
		}
		n := max(2, int(math.Ceil(b.Curve.Length()/step)))
		pts := make([]paths.Point, n+1)
		for i := range pts {
			pts[i] = b.Curve.At(float64(i) / float64(n))
		}
		_, straight := b.Curve.(paths.Line)
		if len(at) > 0 {
			corner := l.Corner / max(1e-6, direction(pts, 0, straight).Sub(leave).Len())
			limit[len(limit)-1] = min(limit[len(limit)-1], corner, most)
		} else {
			at, limit, stepLimit = append(at, pts[0]), append(limit, 0), append(stepLimit, 0)
		}
		leave = direction(pts, n, straight)
		for i := 1; i <= n; i++ {
			v := most
			if !straight {
				k := min(max(i, 1), n-1)
				v = min(v, math.Sqrt(l.Accel*threePointRadius(pts[k-1], pts[k], pts[k+1])))
			}
			d := pts[i].Sub(pts[i-1]).Unit()
			for axis, share := range [2]float64{math.Abs(d.X), math.Abs(d.Y)} {
				if l.Axes[axis] > 0 && share > 0 {
					v = min(v, l.Axes[axis]/share)
				}
			}
			limit[len(limit)-1] = min(limit[len(limit)-1], v)
			at, limit, stepLimit = append(at, pts[i]), append(limit, v), append(stepLimit, v)
		}
	}
	if len(at) == 0 {
		return 0
	}
	v := limit
	v[len(v)-1] = 0
	for i := len(v) - 2; i >= 0; i-- {
		v[i] = min(v[i], math.Sqrt(v[i+1]*v[i+1]+2*l.Accel*at[i].Dist(at[i+1])))
	}
	var t float64
	for i := 1; i < len(v); i++ {
		d := at[i].Dist(at[i-1])
		v[i] = min(v[i], math.Sqrt(v[i-1]*v[i-1]+2*l.Accel*d))
		if d > 0 {
			// Up and down again where a single step has room for it.
			peak := min(stepLimit[i], math.Sqrt((v[i-1]*v[i-1]+v[i]*v[i])/2+l.Accel*d))
			ramps := (2*peak*peak - v[i-1]*v[i-1] - v[i]*v[i]) / (2 * l.Accel)
			t += (2*peak-v[i-1]-v[i])/l.Accel + max(0, d-ramps)/peak
		}
	}
	return t
}

// direction is that of a way at one of its ends, from the points there: half a
// step back from where the first two point, as far as the next two turn.
func direction(pts []paths.Point, end int, straight bool) paths.Point {
	n := len(pts) - 1
	a, b := pts[1].Sub(pts[0]).Unit(), pts[2].Sub(pts[1]).Unit()
	if end == n {
		a, b = pts[n].Sub(pts[n-1]).Unit(), pts[n-1].Sub(pts[n-2]).Unit()
	}
	if straight {
		return a
	}
	return a.Add(a.Sub(b).Mul(0.5)).Unit()
}

func threePointRadius(p, q, r paths.Point) float64 {
	cross := math.Abs(q.Sub(p).Cross(r.Sub(p)))
	if cross == 0 {
		return math.Inf(1)
	}
	return p.Dist(q) * q.Dist(r) * r.Dist(p) / (2 * cross)
}

// checkTime holds the predicted time of a job within half a per cent of the
// machine that lives through it.
func checkTime(t *testing.T, j Job) {
	t.Helper()
	m := j.Inputs.Machine
	for _, r := range j.PenRuns {
		want := machineTime(r.Program.Blocks, motion.LimitsOf(m))
		off := (r.Timing.Total - want) / want
		t.Logf("%-14s %-24s %8.2f s predicted, %8.2f s integrated, %+.3f %%", m.Name, j.Inputs.Design.Name, r.Timing.Total, want, 100*off)
		if math.Abs(off) > 0.005 {
			t.Errorf("%s on %s: %.2f s predicted, %.2f s integrated", j.Inputs.Design.Name, m.Name, r.Timing.Total, want)
		}
	}
}

// TestMachineTime: the closed forms of a move from rest to rest: over 100 mm at 50
// mm/s and 500 mm/s², d/v + v/a = 2.1 s; over 2 mm, 2·√(d/a) = 0.126491 s; round a
// circle of radius 2 mm at √(a·r) = 31.62 mm/s, d/v + v/a. Textbook kinematics.
func TestMachineTime(t *testing.T) {
	l := motion.Limits{Draw: 50, Travel: 120, Accel: 500, Corner: 8}
	v := math.Sqrt(1000)
	for _, c := range []struct {
		curve paths.Curve
		want  float64
	}{
		{paths.Line{B: paths.Point{X: 100}}, 2.1},
		{paths.Line{B: paths.Point{X: 2}}, 0.126491},
		{paths.Circle(paths.Point{}, 2), 4*math.Pi/v + v/500},
	} {
		if got := machineTime([]program.Block{{Kind: program.Draw, Curve: c.curve}}, l); math.Abs(got-c.want) > 0.001*c.want {
			t.Errorf("%v takes %.5f s, want %.5f s", c.curve, got, c.want)
		}
	}
}
