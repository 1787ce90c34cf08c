package device_test

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"weftplot/device"
	"weftplot/device/sim"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/profiles"
)

func TestPilot(t *testing.T) {
	for _, name := range profiles.Names(profiles.MachineKind) {
		t.Run(name, func(t *testing.T) {
			m := machine(t, name)
			p := sim.New(m)
			line := sim.NewLine(p, m.Serial)
			pilot, err := device.NewPilot(context.Background(), line, m)
			if err != nil {
				t.Fatal(err)
			}
			for _, to := range []paths.Point{pt(100, 50), pt(100.1, 50), pt(100.1, 60), pt(0, 0)} {
				if err := pilot.MoveTo(to); err != nil {
					t.Fatal(err)
				}
				if pilot.At().Dist(to) > 1e-9 || !p.Idle() {
					t.Errorf("at %v, idle %v; sent to %v", pilot.At(), p.Idle(), to)
				}
				if off := p.Cloth().At.Dist(to); off > m.Step() {
					t.Errorf("the pen is %.3f mm from %v, where it was sent", off, to)
				}
			}
			var f *fault.Error
			if err := pilot.MoveTo(paths.Point{X: 1e5}); !errors.As(err, &f) || f.Kind != fault.Fit {
				t.Errorf("out of reach: %v", err)
			}
			c := p.Cloth()
			if len(c.Strokes()) > 0 || len(c.Errors) > 0 || c.Reach.Max.Dist(pt(100.1, 60)) > 0.03 {
				t.Errorf("%d strokes, errors %q, reached %v", len(c.Strokes()), c.Errors, c.Reach)
			}
		})
	}
}

// A machine that is found elsewhere than it was sent is no longer believed: a
// mark taken there would spoil the fit.
func TestPilotLosesItsPlace(t *testing.T) {
	m := machine(t, "practice")
	p := sim.NewController(m)
	line := sim.NewLine(p, m.Serial)
	pilot, err := device.NewPilot(context.Background(), line, m)
	if err != nil {
		t.Fatal(err)
	}
	if err := pilot.MoveTo(pt(100, 50)); err != nil {
		t.Fatal(err)
	}
	// The first digit of the next X is lost on the way: G0 X100.000 Y60.000.
	line.WithFaults(sim.Fault{Kind: sim.DropDown, Skip: 4})
	err = pilot.MoveTo(pt(100, 60))
	if at := p.Cloth().At; at.Dist(pt(0, 60)) > 0.01 {
		t.Fatalf("the pen is at %v: nothing was lost, so nothing is tested", at)
	}
	if !errors.Is(err, device.Garbled) || !strings.Contains(err.Error(), "pen is up") {
		t.Errorf("got %v", err)
	}
}

func TestAsk(t *testing.T) {
	for name, want := range map[string]string{
		"practice":      "line-ack",
		"gantry-servo":  "line-ack",
		"flatbed-hpgl":  "space-query enq-ack",
		"flatbed-hpgl2": "space-query enq-ack",
	} {
		m := machine(t, name)
		p := sim.New(m)
		manners, err := device.Ask(context.Background(), sim.NewLine(p, m.Serial), m.Serial)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, x := range manners {
			got = append(got, string(x.Flow))
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%s answers to %q, want %q: %+v", name, got, want, manners)
		}
		if c := p.Cloth(); c.Travelled > 0 || c.Drawn > 0 {
			t.Errorf("%s moved", name)
		}
	}
	m := machine(t, "practice")
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	if got, err := device.Ask(ctx, sim.NewLine(&parrot{}, m.Serial), m.Serial); err != nil || len(got) > 0 {
		t.Errorf("nobody answered as %v, %v", got, err)
	}
}
