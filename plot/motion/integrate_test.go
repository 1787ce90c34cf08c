package motion

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
)

// integrate finds the time of a chain by a different method from the planner's:
// it simulates a machine in small steps. At each step it checks every limit
// ahead and speeds up only if it could still brake for all of them. It samples
// the curves at points close together.
func integrate(s paths.Stroke, l Limits, dt float64) float64 {
	lengths := make([]float64, len(s))
	for i, c := range s {
		lengths[i] = c.Length()
	}
	type gate struct{ at, speed float64 } // from here on the speed is no greater
	var gates []gate
	length := 0.0
	for i, c := range s {
		n := lengths[i]
		v := l.Draw
		switch c := c.(type) {
		case paths.Arc:
			v = min(v, math.Sqrt(l.Accel*c.Radius()))
		case paths.Cubic:
			gates = append(gates, cubicGates(c, length, l, func(at, speed float64) gate { return gate{at, speed} })...)
			v = 0 // its gates are already there
		}
		corner := 0.0
		if i > 0 {
			in, out := s[i-1].Tangent(1), c.Tangent(0)
			corner = l.Corner / max(1e-12, 2*math.Sin(angleBetween(in, out)/2))
		}
		gates = append(gates, gate{length, corner})
		if v > 0 {
			gates = append(gates, gate{length, v}, gate{length + n, v})
		}
		length += n
	}
	gates = append(gates, gate{length, 0})

	// limitAt is the limit in force between gates, by brute force.
	limitAt := func(x float64) float64 {
		at := 0.0
		for i, c := range s {
			n := lengths[i]
			if x <= at+n {
				switch c := c.(type) {
				case paths.Arc:
					return min(l.Draw, math.Sqrt(l.Accel*c.Radius()))
				case paths.Cubic:
					return min(l.Draw, math.Sqrt(l.Accel*radiusAt(c, (x-at)/n)))
				}
				return l.Draw
			}
			at += n
		}
		return l.Draw
	}
	x, v, t := 0.0, 0.0, 0.0
	for x < length-1e-7 && t < 1e4 {
		faster := v + l.Accel*dt
		next := x + (v+faster)/2*dt
		ok := faster <= limitAt(next)
		for _, g := range gates {
			if g.at >= x-1e-12 && g.at > 0 && faster*faster-2*l.Accel*max(0, g.at-next) > g.speed*g.speed {
				ok = false
				break
			}
		}
		if ok {
			v, x = faster, next
		} else {
			// Hold if that can still be braked from, else brake.
			hold := x + v*dt
			brake := v > limitAt(hold)
			for _, g := range gates {
				if g.at >= x-1e-12 && g.at > 0 && v*v-2*l.Accel*max(0, g.at-hold) > g.speed*g.speed {
					brake = true
					break
				}
			}
			if brake {
				slower := max(v-l.Accel*dt, l.Accel*dt/2)
				x, v = x+(v+slower)/2*dt, slower
			} else {
				x = hold
			}
		}
		t += dt
	}
	return t
}

func angleBetween(a, b paths.Point) float64 { return math.Abs(math.Atan2(a.Cross(b), a.Dot(b))) }

// radiusAt returns the radius of the circle through three near points.
func radiusAt(c paths.Cubic, u float64) float64 {
	const h = 1e-3
	u = min(1-h, max(h, u))
	p, q, r := c.At(u-h), c.At(u), c.At(u+h)
	cross := math.Abs(q.Sub(p).Cross(r.Sub(p)))
	if cross == 0 {
		return math.Inf(1)
	}
	return p.Dist(q) * q.Dist(r) * r.Dist(p) / (2 * cross)
}

func cubicGates[G any](c paths.Cubic, from float64, l Limits, make func(at, speed float64) G) []G {
	var out []G
	const n = 400
	at, before := from, c.A
	for i := 1; i < n; i++ {
		p := c.At(float64(i) / n)
		at += p.Dist(before)
		before = p
		out = append(out, make(at, min(l.Draw, math.Sqrt(l.Accel*radiusAt(c, float64(i)/n)))))
	}
	return out
}

// TestAgainstIntegration checks that the planner agrees to 0.5 % with the
// machine simulated step by step.
func TestAgainstIntegration(t *testing.T) {
	square := line(0, 0, 30, 0, 30, 30, 0, 30, 0, 0)
	zigzag := line(0, 0, 3, 1, 6, 0, 7, 5, 7.5, 0, 20, 2, 20.5, 2.5, 21, 2)
	arcs := paths.Stroke{
		paths.ArcBulge(paths.Point{}, paths.Point{X: 10}, 1),
		paths.Line{A: paths.Point{X: 10}, B: paths.Point{X: 10, Y: 20}},
		paths.ArcBulge(paths.Point{X: 10, Y: 20}, paths.Point{X: 14, Y: 20}, -1),
		paths.ArcBulge(paths.Point{X: 14, Y: 20}, paths.Point{X: 15, Y: 20}, 0.8),
	}
	gentle := paths.Stroke{paths.Cubic{A: paths.Point{}, B: paths.Point{X: 30}, C: paths.Point{X: 30, Y: 30}, D: paths.Point{X: 60, Y: 30}}}
	for name, s := range map[string]paths.Stroke{"square": square, "zigzag": zigzag, "arcs": arcs, "gentle": gentle} {
		want := integrate(s, limits, 2e-5)
		got := Time(draws(s), limits).Total
		t.Logf("%s: planned %.5f s, integrated %.5f s", name, got, want)
		if math.Abs(got-want) > 0.005*want {
			t.Errorf("%s: planned %.5f s, integrated %.5f s", name, got, want)
		}
	}
}

func TestRandomAgainstIntegration(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var s paths.Stroke
		at := paths.Point{}
		step := rapid.Float64Range(-15, 15)
		for range rapid.IntRange(1, 5).Draw(t, "n") {
			to := at.Add(paths.Point{X: step.Draw(t, "dx"), Y: step.Draw(t, "dy")})
			if to.Dist(at) < 0.5 {
				continue
			}
			s = append(s, paths.ArcBulge(at, to, rapid.SampledFrom([]float64{0, 0, 0.2, -1, 1.5}).Draw(t, "bulge")))
			at = to
		}
		if len(s) == 0 {
			return
		}
		want := integrate(s, limits, 1e-4)
		got := Time(draws(s), limits).Total
		if math.Abs(got-want) > 0.005*want+2e-3 { // the error of the integration's own step
			t.Errorf("planned %.5f s, integrated %.5f s for %v", got, want, s)
		}
	})
}
