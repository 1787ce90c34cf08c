package device_test

import (
	"context"
	"testing"

	"weftplot/device"
	"weftplot/device/sim"
)

// In one long stroke an acknowledgement comes twice again and again: the lines
// are counted anew often enough that the buffer is not overrun, and the pen does
// not stand still for it.
func TestDoubledAcknowledgementsInALongStroke(t *testing.T) {
	t.Parallel()
	m := machine(t, "practice")
	var script []sim.Fault
	for i := range 12 {
		script = append(script, sim.Fault{At: 5 + 7*float64(i), Kind: sim.DoubleAck})
	}
	want := append(wave(5000), wave(5000).Reverse()...)
	p := sim.NewController(m)
	line := sim.NewLine(p, m.Serial).WithFaults(script...)
	out, err := device.Send(context.Background(), line, written(t, m, want), device.Options{})
	if err != nil {
		t.Fatal(err)
	}
	c := p.Cloth()
	if c.Overruns > 0 || c.Underruns > 0 || len(c.Errors) > 0 || c.RestMax > 0.1 {
		t.Errorf("%d overruns, %d underruns, errors %q, rest %.2f s", c.Overruns, c.Underruns, c.Errors, c.RestMax)
	}
	if out.Seconds > 1.01*out.Predicted {
		t.Errorf("it took %.1f s, %.1f s were predicted", out.Seconds, out.Predicted)
	}
	t.Logf("%.1f s, %.1f predicted", out.Seconds, out.Predicted)
}
