package device_test

import (
	"context"
	"math"
	"testing"

	"weftplot/device"
	"weftplot/device/sim"
	"weftplot/plot/motion"
)

// What is said beforehand of a line that is too slow is what then happens.
func TestPace(t *testing.T) {
	for _, baud := range []int{1200, 2400, 4800, 9600, 115200} {
		m := machine(t, "practice")
		m.Serial.Baud = baud
		job := written(t, m, wave(1500))
		pace := motion.PaceOf(job.Program.Blocks, m)
		p := sim.NewController(m)
		out, err := device.Send(context.Background(), sim.NewLine(p, m.Serial), job, device.Options{})
		if err != nil {
			t.Fatal(err)
		}
		slowed := out.Seconds > 1.02*out.Predicted
		t.Logf("%d baud: %.1f s foretold, %.1f s of it motion, took %.1f s; %d moves late, %d times dry; %d baud would do",
			baud, pace.Seconds, pace.Motion, out.Seconds, pace.Late, p.Cloth().Underruns, pace.Baud)
		if (pace.Late > 0) != slowed {
			t.Errorf("%d baud: %d moves late, took %.1f s of %.1f", baud, pace.Late, out.Seconds, out.Predicted)
		}
		if pace.Late > 0 && math.Abs(pace.Seconds-out.Seconds) > 0.02*out.Seconds {
			t.Errorf("%d baud: %.1f s foretold, took %.1f s", baud, pace.Seconds, out.Seconds)
		}
		if pace.Baud > 0 {
			m.Serial.Baud = pace.Baud
			job.Machine = m
			p := sim.NewController(m)
			if _, err := device.Send(context.Background(), sim.NewLine(p, m.Serial), job, device.Options{}); err != nil || p.Cloth().Underruns > 0 {
				t.Errorf("at the %d baud advised: %d stalls, %v", pace.Baud, p.Cloth().Underruns, err)
			}
		}
	}
}
