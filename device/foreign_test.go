package device_test

import (
	"context"
	"errors"
	"path/filepath"
	"testing"

	"weftplot/device"
	"weftplot/device/sim"
	"weftplot/profiles"
)

// A controller that reads G-code refuses every line of an HP-GL job. That is an
// error with every handshake, and its journal calls nothing drawn.
func TestPlotterJobToAController(t *testing.T) {
	for _, flow := range []profiles.Flow{profiles.XonXoff, profiles.NoFlow, profiles.SpaceQuery, profiles.EnqAck} {
		t.Run(string(flow), func(t *testing.T) {
			m := machine(t, "flatbed-hpgl")
			m.Serial.Flow = flow
			job := written(t, m, centred(m, sampler())...)
			j, err := device.StartJournal(filepath.Join(t.TempDir(), "journal"), job)
			if err != nil {
				t.Fatal(err)
			}
			defer j.Close()
			p := sim.NewController(machine(t, "practice"))
			_, err = device.Send(context.Background(), sim.NewLine(p, m.Serial), job, device.Options{Journal: j})
			if !errors.Is(err, device.Garbled) && !errors.Is(err, device.Silent) || j.Drawn() > 0 || j.Done() {
				t.Errorf("%v; %d strokes called drawn", err, j.Drawn())
			}
			if c := p.Cloth(); c.Drawn > 0 {
				t.Errorf("%.1f mm are drawn", c.Drawn)
			}
			t.Log(err)
		})
	}
}
