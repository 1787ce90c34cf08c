package language_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/language"
	"weftplot/plot/motion"
	"weftplot/plot/program"
	"weftplot/plot/program/programtest"
	"weftplot/profiles"
)

// TestRefused: what is not understood is refused with what it is, unless it is to be
// sent as it is; broken limits are refused in any case.
func TestRefused(t *testing.T) {
	m := machine(t, "practice")
	const head, tail = "G21 G90\nG0 Z5\nG0 X10 Y10\nG1 Z0 F600\n", "G0 Z5\nM2\n"
	for _, c := range []struct {
		text string
		kind fault.Kind // "" for none
		says string
		asIs fault.Kind
	}{
		{head + "X50 F1200\n" + tail, "", "", ""},
		{head + "M104 S200\nX50 F1200\n" + tail, fault.Input, `line 5, "M104 S200": M104`, ""},
		{head + "X700 F1200\n" + tail, fault.Fit, "leaves the reach", fault.Fit},
		{head + "M104\nX700 F1200\n" + tail, fault.Input, "M104", fault.Fit},
		{head + "X50 F1200\nM2\n", fault.Input, "ends with the pen down", ""},
		{head + "G0 X50\n" + tail, fault.Fit, "rapid move", fault.Fit},
		{head + "Z-1\nX50 F1200\n" + tail, fault.Fit, "Z-1 is 1 mm below", fault.Fit},
		{"G21 G90\nG0 Z7\nG0 X10\nM2\n", fault.Fit, "Z7 is 2 mm above", fault.Fit},
		{"G21 G90\nG0 Z1\nG0 X10\nM2\n", fault.Input, "less than half as high", ""},
		{"G21 G90\nM5\nG0 X10\nM2\n", fault.Input, "M5 is no word of this machine's own pen lines", ""},
		{head + programtest.Numbered("G%d\n", 0) + strings.Repeat("Q1\n", 3) + programtest.Numbered("M%d\n", 0) + tail, fault.Input, "Q is not followed (3 times", ""},
	} {
		p, err := language.ReadAny(context.Background(), "test", []byte(c.text), &m)
		if err != nil {
			t.Fatal(err)
		}
		j := language.Judge(p, m)
		for _, way := range []struct {
			asItIs bool
			kind   fault.Kind
		}{{false, c.kind}, {true, c.asIs}} {
			err := j.Refused("test", way.asItIs)
			if way.kind == "" && err != nil || way.kind != "" && !errors.Is(err, way.kind) {
				t.Errorf("%q, as it is %v: %v, want kind %q", c.text, way.asItIs, err, way.kind)
			}
			if !way.asItIs && err != nil && !strings.Contains(err.Error(), c.says) {
				t.Errorf("%q: %v, want %q", c.text, err, c.says)
			}
		}
	}
}

// TestRefusedIsBounded: a program of nothing but strange words is refused in a few
// words, the rest counted.
func TestRefusedIsBounded(t *testing.T) {
	m := machine(t, "practice")
	p, err := language.ReadAny(context.Background(), "test", []byte("G21\n"+programtest.Numbered("M1%02d\n", 90)), &m)
	if err != nil {
		t.Fatal(err)
	}
	err = language.Judge(p, m).Refused("test", false)
	if err == nil || len(err.Error()) > 1000 || !strings.Contains(err.Error(), "and 12 more") {
		t.Errorf("%v", err)
	}
}

// TestCheckTimes: a pen time is what the pen lines take, distance over feed and
// the waits, with some more for starting and stopping. A rapid move takes what the
// controller's own speed makes it take.
func TestCheckTimes(t *testing.T) {
	for _, name := range profiles.Names(profiles.MachineKind) {
		if err := language.CheckTimes(name, machine(t, name)); err != nil {
			t.Error(err)
		}
	}
	z, servo := []string{"G0 Z5"}, []string{"M5", "G4 P0.25"}
	for _, c := range []struct {
		up, down         []string
		upTime, downTime paths.Duration
		key              string // "" where they are good
	}{
		{z, []string{"G1 Z0 F600"}, 0.2, 0.5, ""}, // 5 mm at 10 mm/s
		{z, []string{"G1 Z0 F600"}, 0.2, 0.8, ""},
		{z, []string{"G1 Z0 F600"}, 0.2, 0.25, "lift.down_time"},
		{z, []string{"G1 Z0 F600"}, 0.2, 0.9, "lift.down_time"},
		{z, []string{"G0 Z1", "G1 Z0 F60"}, 0.2, 1.1, ""}, // 1 mm at 1 mm/s
		{z, []string{"G0 Z1", "G1 Z0 F60"}, 0.2, 1, "lift.down_time"},
		{z, []string{"G1 Z0 F600"}, 0, 0.5, "lift.up_time"}, // a rapid takes time
		{z, []string{"G0 Z1", "G1 Z0 F60"}, 0.2, 0.9, "lift.down_time"},
		{z, []string{"G0 Z1", "G1 Z0 F60"}, 0.2, 9, ""},
		{[]string{"G1 Z5 F300"}, []string{"G0 Z0"}, 0.9, 0.1, "lift.up_time"}, // 1 s
		{[]string{"G1 Z5 F300"}, []string{"G0 Z0"}, 1, 0.1, ""},
		{servo, []string{"M3 S90", "G4 P0.25"}, 0.25, 0.25, ""},
		{servo, []string{"M3 S90", "G4 P0.25"}, 0.1, 0.25, "lift.up_time"},
		{servo, []string{"M3 S90", "G4 P0.25"}, 0.25, 2.5, "lift.down_time"},
	} {
		m := machine(t, "practice")
		m.Lift = profiles.Lift{Up: c.up, Down: c.down, UpTime: c.upTime, DownTime: c.downTime}
		err := language.CheckTimes("my.toml", m)
		var bad *fault.Error
		if c.key == "" && err != nil || c.key != "" && (!errors.As(err, &bad) || bad.Where != "my.toml: "+c.key) {
			t.Errorf("%q in %v, %q in %v: %v, want trouble with %q", c.up, c.upTime, c.down, c.downTime, err, c.key)
		}
	}
}

// TestCheckLift: the pen lines of a profile lift, lower and wait, and nothing else.
func TestCheckLift(t *testing.T) {
	for _, name := range profiles.Names(profiles.MachineKind) {
		if err := language.CheckLift(name, machine(t, name)); err != nil {
			t.Error(err)
		}
	}
	for _, c := range []struct {
		up, down, words []string
		key             string // "" where they are good
	}{
		{[]string{"G0 Z5"}, []string{"G1 Z-0.5 F300"}, nil, ""},
		{[]string{"G0 Z0"}, []string{"G1 Z-30 F300"}, nil, ""},
		{[]string{"M3 S30", "G4 P0.2"}, []string{"M3 S90", "G4 P0.2"}, nil, ""},
		{[]string{"M280 P0 S90"}, []string{"M280 P0 S30"}, nil, ""},
		{[]string{"M8"}, []string{"M9"}, nil, ""},
		{[]string{"M17"}, []string{"M18"}, []string{"M17", "M18"}, ""},
		{[]string{"G0 Z-5"}, []string{"G1 Z0 F600"}, nil, "lift"},              // up below down
		{[]string{"G0 Z5"}, []string{"G0 Z5"}, nil, "lift"},                    // the same
		{[]string{"M5"}, []string{"M5"}, nil, "lift"},                          // the same
		{[]string{"M5"}, []string{"G1 Z0 F600"}, nil, "lift"},                  // one on Z
		{[]string{"G0 Z40"}, []string{"G0 Z-20"}, nil, "lift"},                 // 60 mm
		{[]string{"G0 Z5 X9"}, []string{"G1 Z0 F600"}, nil, "lift.up"},         // a move
		{[]string{"G0 Z5"}, []string{"G1 Z-200 F600"}, nil, "lift.down"},       // 200 mm
		{[]string{"G0 Z5"}, []string{"G1 Z0"}, nil, "lift.down"},               // no feed
		{[]string{"G0 Z5"}, []string{"G1 Z0 F90000"}, nil, "lift.down"},        // too fast
		{[]string{"Z5"}, []string{"G1 Z0 F600"}, nil, "lift.up"},               // whatever is in force
		{[]string{"G0 Z5", "M0"}, []string{"G1 Z0 F600"}, nil, "lift.up"},      // a stop
		{[]string{"G0 Z5", "M112"}, []string{"G1 Z0 F600"}, nil, "lift.up"},    // an emergency stop
		{[]string{"G91 G0 Z5"}, []string{"G1 Z0 F600"}, nil, "lift.up"},        // incremental
		{[]string{"G0 Z5", "G4 P250"}, []string{"G1 Z0 F600"}, nil, "lift.up"}, // milliseconds
		{[]string{"up you go"}, []string{"G1 Z0 F600"}, nil, "lift.up"},        // nonsense
		{[]string{"!"}, []string{"G1 Z0 F600"}, nil, "lift.up"},                // acted on at once
		{[]string{"G0 Z5 (up)"}, []string{"G1 Z0 F600"}, nil, "lift.up"},       // a comment
		{[]string{"G4 P0.1"}, []string{"G1 Z0 F600"}, nil, "lift.up"},          // nothing moves
		{[]string{"G28 Z0"}, []string{"G1 Z0 F600"}, nil, "lift.up"},           // home
		{[]string{"M17"}, []string{"M18"}, nil, "lift.up"},                     // not named
		{[]string{"M17"}, []string{"M18"}, []string{"M17", "M112"}, "lift.up"}, // never
		{[]string{"M17"}, []string{"M18"}, []string{"G28"}, "lift.up"},         // no M word
	} {
		m := machine(t, "practice")
		m.Lift.Up, m.Lift.Down, m.Lift.Words = c.up, c.down, c.words
		err := language.CheckLift("my.toml", m)
		var bad *fault.Error
		if c.key == "" && err != nil || c.key != "" && (!errors.As(err, &bad) || bad.Kind != fault.Input || bad.Where != "my.toml: "+c.key) {
			t.Errorf("%q and %q: %v, want trouble with %q", c.up, c.down, err, c.key)
		}
	}
}

// TestCalibrationAndFeeds: feeds are of the pen over the cloth. A machine that draws
// too long by its scale is told that much less, on every axis: what is written times
// the scale is never more than was asked, reads back as what was asked but for
// rounding, breaks no limit, and takes the same time.
func TestCalibrationAndFeeds(t *testing.T) {
	for _, name := range []string{"practice", "flatbed-hpgl", "flatbed-hpgl2"} {
		for _, scale := range [][2]float64{{1, 1}, {1.25, 1.25}, {0.8, 0.8}, {1.02, 0.97}} {
			m := machine(t, name)
			m.Calib.Scale = scale
			limit := float64(m.Speed.Draw)
			line := paths.Line{A: paths.Point{X: 10, Y: 10}, B: paths.Point{X: 110, Y: 60}}
			p := program.Program{Language: string(m.Language), Machine: m.Name, Blocks: programtest.Blocks(limit, paths.Stroke{line})}
			back, text, err := language.Rewrite(p, m)
			if err != nil {
				t.Fatal(err)
			}
			if err := language.Judge(back, m).Refused(name, false); err != nil {
				t.Errorf("%v: %v in\n%s", scale, err, text)
			}
			// A tenth of a mm/s is a step of VS: 7470A, 3-3.
			feed := program.Total(back).MaxFeed
			if feed > limit*(1+1e-9) || feed < limit-1.3 {
				t.Errorf("%s, %v: %v mm/s come back of %v", name, scale, feed, limit)
			}
			if written := writtenFeed(t, text); math.Abs(written*max(scale[0], scale[1])-feed) > 1e-6 {
				t.Errorf("%s, %v: %v mm/s are written for %v", name, scale, written, feed)
			}
			want, got := motion.Time(p.Blocks, motion.LimitsOf(m)).Total, motion.Time(back.Blocks, motion.LimitsOf(m)).Total
			if math.Abs(got-want) > 0.05*want {
				t.Errorf("%s, %v: it takes %v s and %v s", name, scale, want, got)
			}
		}
	}
}

// writtenFeed returns the greatest feed in a text as the machine counts, mm/s: F is
// in mm a minute, VS in cm/s.
func writtenFeed(t *testing.T, text []byte) float64 {
	t.Helper()
	fastest := 0.0
	for line := range strings.SplitSeq(string(text), "\n") {
		var v float64
		if _, after, ok := strings.Cut(line, "F"); ok && strings.HasPrefix(strings.TrimPrefix(line, "G1"), "X") {
			if _, err := fmt.Sscanf(after, "%g", &v); err != nil {
				t.Fatal(err)
			}
			fastest = max(fastest, v/60)
		} else if n, _ := fmt.Sscanf(line, "VS%g;", &v); n == 1 {
			fastest = max(fastest, v*10)
		}
	}
	return fastest
}

// TestTiniestCircle: a circle far smaller than any number that is written is no
// panic anywhere on a program's way.
func TestTiniestCircle(t *testing.T) {
	for _, m := range machines(t) {
		for _, r := range []float64{1e-300, 5e-324, 1e-160, 1e-9} {
			at := paths.Point{X: 10, Y: 10}
			circle := paths.ArcAround(at, r, 0, 2*math.Pi)
			p := program.Program{Language: string(m.Language), Blocks: programtest.Blocks(10, paths.Stroke{circle})}
			program.Total(p)
			motion.Time(p.Blocks, motion.LimitsOf(m))
			language.Judge(p, m)
			back, _, err := language.Rewrite(p, m)
			if err != nil {
				t.Errorf("%s, %g: %v", m.Name, r, err)
				continue
			}
			if got := len(back.Strokes()); got != 1 {
				t.Errorf("%s, %g: %d strokes come back", m.Name, r, got)
			}
		}
	}
}
