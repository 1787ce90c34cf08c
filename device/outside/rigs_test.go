package outside

import (
	"context"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"weftplot/device"
	"weftplot/paths"
	"weftplot/plot/language"
	"weftplot/plot/program"
	"weftplot/plot/program/programtest"
	"weftplot/profiles"
)

// rig is a plotter and the profile that it is sent to by.
type rig struct {
	name    string
	machine profiles.Machine
	build   func(c *cloth) machine
	// places: it tells where it is when asked. ends: it can be told from its
	// answers that all it was sent is carried out. talks: it answers at all.
	places, ends, talks bool
	restarts            bool
}

// air is a profile of a gantry whose pen is set down by air through a valve.
const air = `
name = "gantry-air"
about = "gantry whose pen is set down by air; for tests"
language = "gcode"
area = ["600mm", "900mm"]
park = ["0mm", "0mm"]
[speed]
draw = "45mm/s"
travel = "140mm/s"
accel = "900mm/s2"
corner = "10mm/s"
[lift]
up = ["M9", "G4 P0.2"]
down = ["M8", "G4 P0.2"]
up_time = "0.2s"
down_time = "0.2s"
[serial]
baud = 57600
flow = "line-ack"
buffer = 96
`

func profile(t testing.TB, name string) profiles.Machine {
	t.Helper()
	m, err := profiles.MachineNamed(name)
	if name == "gantry-air" {
		m, err = profiles.ParseMachine("air.toml", []byte(air))
	}
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func reach(m profiles.Machine) box {
	r := m.Reach()
	return box{r.Min.X, r.Min.Y, r.Max.X, r.Max.Y}
}

func gantry(m profiles.Machine, name string, w ways) rig {
	w.buffer, w.area, w.travel = m.Serial.Buffer, reach(m), float64(m.Speed.Travel)
	return rig{
		name: name, machine: m, places: w.reports, ends: w.reports || !w.dwellQueued, talks: true, restarts: w.restarts,
		build: func(c *cloth) machine {
			return newController(w, float64(m.Speed.Accel), float64(m.Speed.Corner), c)
		},
	}
}

func flatbed(m profiles.Machine, name string, flow profiles.Flow, h habits) rig {
	m.Serial.Flow = flow
	h.buffer, h.unit, h.area = m.Serial.Buffer, float64(m.HPGL.Unit), reach(m)
	h.draw, h.travel, h.lift = float64(m.Speed.Draw), float64(m.Speed.Travel), float64(m.Lift.UpTime)
	h.xonxoff = flow == profiles.XonXoff
	return rig{
		name: name, machine: m, places: h.outputs && !h.silent, ends: !h.silent, talks: !h.silent,
		build: func(c *cloth) machine {
			return newPlotter(h, float64(m.Speed.Accel), float64(m.Speed.Corner), c)
		},
	}
}

// rigs are the machines that are judged.
func rigs(t testing.TB) []rig {
	z, servo, air := profile(t, "gantry-z"), profile(t, "gantry-servo"), profile(t, "gantry-air")
	bed, bed2, cutter := profile(t, "flatbed-hpgl"), profile(t, "flatbed-hpgl2"), profile(t, "knife-cutter")
	return []rig{
		gantry(z, "z", ways{pen: "z", greeting: true, reports: true, height: true}),
		gantry(z, "z-no-height", ways{pen: "z", greeting: true, reports: true}),
		gantry(z, "z-restarts", ways{pen: "z", greeting: true, restarts: true, reports: true, height: true}),
		gantry(z, "z-restarts-mutely", ways{pen: "z", restarts: true, reports: true, height: true}),
		gantry(z, "z-slips", ways{pen: "z", greeting: true, reports: true, height: true, slipsOnReset: true}),
		gantry(z, "z-early-dwell", ways{pen: "z", greeting: true, reports: true, height: true, dwellQueued: true}),
		gantry(z, "z-no-reports", ways{pen: "z", greeting: true}),
		gantry(z, "z-no-reports-early-dwell", ways{pen: "z", greeting: true, dwellQueued: true}),
		gantry(servo, "servo", ways{pen: "servo", greeting: true, reports: true, height: true}),
		gantry(servo, "servo-restarts", ways{pen: "servo", greeting: true, restarts: true, reports: true}),
		gantry(servo, "servo-early-dwell", ways{pen: "servo", greeting: true, reports: true, height: true, dwellQueued: true}),
		gantry(servo, "servo-no-reports", ways{pen: "servo"}),
		gantry(air, "air", ways{pen: "air", greeting: true, reports: true, height: true}),
		gantry(air, "air-no-reports", ways{pen: "air", greeting: true}),
		flatbed(bed, "hpgl-xon", profiles.XonXoff, habits{outputs: true}),
		flatbed(bed, "hpgl-xon-no-outputs", profiles.XonXoff, habits{}),
		flatbed(bed, "hpgl-xon-silent", profiles.XonXoff, habits{silent: true}),
		flatbed(bed, "hpgl-space", profiles.SpaceQuery, habits{outputs: true}),
		flatbed(bed, "hpgl-none", profiles.NoFlow, habits{outputs: true}),
		flatbed(bed, "hpgl-none-silent", profiles.NoFlow, habits{silent: true}),
		flatbed(cutter, "hpgl-enq", profiles.EnqAck, habits{outputs: true, dummy: true}),
		flatbed(cutter, "hpgl-enq-set", profiles.EnqAck, habits{outputs: true}),
		flatbed(cutter, "hpgl-enq-no-outputs", profiles.EnqAck, habits{}),
		flatbed(bed2, "hpgl2-space", profiles.SpaceQuery, habits{outputs: true}),
		flatbed(bed2, "hpgl2-space-no-outputs", profiles.SpaceQuery, habits{}),
		flatbed(bed2, "hpgl2-xon", profiles.XonXoff, habits{outputs: true}),
	}
}

// work is a job and the lines that it asks for, in mm as the machine counts.
type work struct {
	job   device.Job
	asked [][]pt
}

// workFor makes one of a few jobs: open and closed strokes of lines and arcs,
// each in a place of its own, at least 4 mm from the next.
func workFor(t testing.TB, m profiles.Machine, seed uint64) work {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 77))
	var strokes []paths.Stroke
	r := m.Reach()
	corner := paths.Point{X: 30, Y: 30}
	if r.Min.X < 0 {
		corner = paths.Point{X: -70, Y: -50}
	}
	for k := range 6 {
		x, y := corner.X+float64(k%3)*45, corner.Y+float64(k/3)*45
		at := func(u, v float64) paths.Point {
			return paths.Point{X: quarter(x + u*36), Y: quarter(y + v*36)}
		}
		strokes = append(strokes, shape(rng, at))
	}
	p := program.Program{Language: string(m.Language), Machine: m.Name, Blocks: programtest.Blocks(math.Min(40, float64(m.Speed.Draw)), strokes...)}
	text, err := language.Write(context.Background(), p, m)
	if err != nil {
		t.Fatal(err)
	}
	read, err := language.ReadAny(context.Background(), "job", text, &m)
	if err != nil {
		t.Fatal(err)
	}
	w := work{job: device.Job{Program: read, Text: text, Machine: m}}
	for _, s := range strokes {
		var line []pt
		for _, c := range s {
			n := 1
			if _, straight := c.(paths.Line); !straight {
				n = 120
			}
			for i := range n + 1 {
				q := c.At(float64(i) / float64(n))
				line = append(line, pt{q.X, q.Y})
			}
		}
		w.asked = append(w.asked, line)
	}
	return w
}

// quarter rounds to what all languages can name.
func quarter(v float64) float64 { return math.Round(v*4) / 4 }

func shape(rng *rand.Rand, at func(u, v float64) paths.Point) paths.Stroke {
	switch rng.IntN(4) {
	case 0:
		return paths.Polyline(at(0, 0), at(1, 0), at(1, 1), at(0, 1), at(0, 0))
	case 1:
		return paths.Stroke{paths.Circle(at(0.5, 0.5), 12)}
	case 2:
		var pts []paths.Point
		for i := range 5 {
			pts = append(pts, at(float64(i)/4, float64(i%2)*(0.4+0.6*rng.Float64())))
		}
		return paths.Polyline(pts...)
	}
	var pts []paths.Point
	for i := range 25 {
		a := float64(i) / 24
		pts = append(pts, at(a, 0.5+0.4*math.Sin(a*5)))
	}
	return paths.Polyline(pts...)
}

func rigNamed(t testing.TB, name string) rig {
	for _, r := range rigs(t) {
		if r.name == name {
			return r
		}
	}
	var names []string
	for _, r := range rigs(t) {
		names = append(names, r.name)
	}
	t.Fatalf("no machine %q; there are %s", name, strings.Join(names, ", "))
	return rig{}
}
