package device_test

import (
	"context"
	"math"
	"testing"
	"time"

	"weftplot/device"
	"weftplot/device/sim"
	"weftplot/plot/motion"
	"weftplot/profiles"
)

func TestLineAck(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"practice", "gantry-z", "gantry-servo"} {
		for _, latency := range []time.Duration{0, time.Millisecond, 8 * time.Millisecond} {
			t.Run(name+" "+latency.String(), func(t *testing.T) {
				m := machine(t, name)
				job := gcodeJob(m, sampler()...)
				c := sim.NewController(m)
				line := sim.NewLine(c, m.Serial).WithLatency(latency)
				out, err := device.Send(context.Background(), line, job, device.Options{})
				if err != nil {
					t.Fatal(err)
				}
				if !c.Idle() {
					t.Error("the machine still had work to do")
				}
				cloth := c.Cloth()
				t.Logf("%+v predicted %.2f", out, motion.Time(job.Program.Blocks, motion.LimitsOf(m)).Total)
				if len(cloth.Errors) > 0 || cloth.Overruns > 0 || cloth.Alarms > 0 || cloth.Underruns > 0 {
					t.Errorf("errors %q, %d overruns, %d alarms, %d underruns", cloth.Errors, cloth.Overruns, cloth.Alarms, cloth.Underruns)
				}
				r := sim.Compare(sampler(), cloth.Strokes(), 0.01)
				if !r.Same() {
					t.Errorf("%+v", r)
				}
				if d := math.Abs(out.Seconds-out.Predicted) / out.Predicted; d > 0.03 {
					t.Errorf("it took %.2f s, %.2f s were predicted", out.Seconds, out.Predicted)
				}
				if cloth.RestMax > 0.1 {
					t.Errorf("the pen rested for %.3f s", cloth.RestMax)
				}
			})
		}
	}
}

func TestStreams(t *testing.T) {
	for _, flow := range []profiles.Flow{profiles.XonXoff, profiles.SpaceQuery, profiles.EnqAck, profiles.NoFlow} {
		for _, latency := range []time.Duration{0, 5 * time.Millisecond} {
			t.Run(string(flow)+" "+latency.String(), func(t *testing.T) {
				m := machine(t, "flatbed-hpgl")
				m.Serial.Flow = flow
				m.Origin = "lower-left"
				job := hpglJob(m, sampler()...)
				p := sim.NewHPGL(m)
				line := sim.NewLine(p, m.Serial).WithLatency(latency)
				out, err := device.Send(context.Background(), line, job, device.Options{})
				if err != nil {
					t.Fatal(err)
				}
				if !p.Idle() {
					t.Error("the plotter still had work to do")
				}
				cloth := p.Cloth()
				t.Logf("%+v, %d bytes, underruns %d, rest %.3f", out, len(job.Text), cloth.Underruns, cloth.RestMax)
				if len(cloth.Errors) > 0 || cloth.Overruns > 0 || cloth.Alarms > 0 {
					t.Errorf("errors %q, %d overruns, %d alarms", cloth.Errors, cloth.Overruns, cloth.Alarms)
				}
				if r := sim.Compare(sampler(), cloth.Strokes(), 0.05); !r.Same() {
					t.Errorf("%+v", r)
				}
			})
		}
	}
}
