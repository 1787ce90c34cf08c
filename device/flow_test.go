package device_test

import (
	"context"
	"math"
	"strings"
	"testing"
	"time"

	"weftplot/device"
	"weftplot/device/sim"
	"weftplot/paths"
	"weftplot/profiles"
)

// swift is a machine that is never what the line waits for.
func swift(m profiles.Machine) profiles.Machine {
	m.Speed.Draw, m.Speed.Travel, m.Speed.Accel, m.Speed.Corner = 2000, 5000, 1e5, 1000
	m.Lift.UpTime, m.Lift.DownTime = 0, 0
	return m
}

// wave is one long stroke of short segments.
func wave(n int) paths.Stroke {
	var pts []paths.Point
	for i := range n {
		pts = append(pts, pt(10+float64(i)*0.1, 100+20*math.Sin(float64(i)/40)))
	}
	return paths.Polyline(pts...)
}

// The line is kept busy: of the bytes that the baud rate carries in the time
// that the job takes, at least 98 of a hundred are used, and none is sent that
// finds the buffer full.
func TestUtilisation(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		machine string
		flow    profiles.Flow
		latency time.Duration
	}{
		{"practice", profiles.LineAck, 0},
		{"practice", profiles.LineAck, time.Millisecond},
		{"practice", profiles.LineAck, 2 * time.Millisecond},
		{"flatbed-hpgl", profiles.XonXoff, 0},
		{"flatbed-hpgl", profiles.XonXoff, 10 * time.Millisecond},
		{"flatbed-hpgl", profiles.SpaceQuery, 0},
		{"flatbed-hpgl", profiles.SpaceQuery, 10 * time.Millisecond},
		{"flatbed-hpgl", profiles.EnqAck, 0},
		{"flatbed-hpgl", profiles.EnqAck, 10 * time.Millisecond},
		{"flatbed-hpgl", profiles.NoFlow, 0},
	} {
		t.Run(c.machine+" "+string(c.flow)+" "+c.latency.String(), func(t *testing.T) {
			m := swift(machine(t, c.machine))
			m.Serial.Flow = c.flow
			m.Origin = "lower-left"
			job := written(t, m, wave(4000), wave(4000).Reverse(), wave(4000), wave(4000).Reverse())
			p := sim.New(m)
			line := sim.NewLine(p, m.Serial).WithLatency(c.latency)
			out, err := device.Send(context.Background(), line, job, device.Options{})
			if err != nil {
				t.Fatal(err)
			}
			used := float64(len(job.Text)) * 10 / float64(m.Serial.Baud) / out.Seconds
			t.Logf("%.2f %% of the line's bytes were the program's, %.2f %% with questions; %d bytes in %.2f s",
				100*used, 100*float64(out.BytesSent)*10/float64(m.Serial.Baud)/out.Seconds, len(job.Text), out.Seconds)
			if used < 0.98 {
				t.Errorf("only %.2f %% of the line is used", 100*used)
			}
			if c := p.Cloth(); c.Overruns > 0 {
				t.Errorf("%d bytes found the buffer full", c.Overruns)
			}
		})
	}
}

// A slow machine fills its buffer; no byte is sent that does not fit.
func TestBuffersHold(t *testing.T) {
	t.Parallel()
	for _, flow := range profiles.Flows {
		for _, buffer := range []int{96, 127, 256, 1024, 8192} {
			m := machine(t, "practice")
			if flow != profiles.LineAck {
				if m = machine(t, "flatbed-hpgl"); buffer < 255 {
					continue // HP 7470A: 255 bytes, page 10-26; none had fewer
				}
				m.Origin = "lower-left"
			}
			m.Serial.Flow, m.Serial.Buffer = flow, buffer
			m.Speed.Draw, m.Speed.Accel = 20, 100
			p := sim.New(m)
			line := sim.NewLine(p, m.Serial).WithLatency(4 * time.Millisecond)
			job := written(t, m, wave(900), wave(200))
			if _, err := device.Send(context.Background(), line, job, device.Options{}); err != nil {
				t.Errorf("%s, %d bytes: %v", flow, buffer, err)
				continue
			}
			cloth := p.Cloth()
			// A plotter that is asked where it is stands for a moment, and goes on.
			starved := cloth.Underruns > 0
			if flow != profiles.LineAck {
				starved = cloth.RestMax > 0.1
			}
			if cloth.Overruns > 0 || starved || len(cloth.Errors) > 0 {
				t.Errorf("%s, %d bytes: %d overruns, %d underruns, errors %q", flow, buffer, cloth.Overruns, cloth.Underruns, cloth.Errors)
			}
		}
	}
}

// The window of a line-acknowledging controller, checked against the worked
// example of common practice: in 128 bytes lines of 40, 40 and 40 go, one of 10
// waits for an answer. A line is kept free besides.
func TestWindow(t *testing.T) {
	m := machine(t, "practice")
	m.Serial.Buffer = 128 + 40
	var text strings.Builder
	for range 3 {
		text.WriteString("G1 X10 F600" + strings.Repeat(" ", 0) + " (" + strings.Repeat("x", 25) + ")\n")
	}
	text.WriteString("G1 X20 F60\n")
	r := &recorder{accepted: m.Serial.Manner.Accepted}
	job := device.Job{Text: []byte(text.String()), Machine: m}
	job.Program.Language = "gcode"
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	sent := 0
	_, err := device.Send(ctx, sim.NewLine(r, m.Serial), job, device.Options{Progress: func(device.Progress) {
		if r.lines >= 3 && r.tick() > 20 {
			if sent == 0 {
				sent = r.lines
			}
			cancel()
		}
	}})
	if err == nil || sent != 3 {
		t.Errorf("%d lines were sent before an answer, not 3: %v", sent, err)
	}
}

// recorder is a controller that answers nothing from the first move on, and counts
// the lines from there.
type recorder struct {
	accepted string
	line     []byte
	out      []byte
	lines    int
	since    int
}

func (r *recorder) Receive(_ float64, b byte) {
	if b != '\n' {
		r.line = append(r.line, b)
		return
	}
	switch {
	case r.lines == 0 && !strings.HasPrefix(string(r.line), "G1"):
		r.out = append(r.out, r.accepted+"\r\n"...)
	case len(r.line) > 0:
		r.lines++
	}
	r.line = nil
}
func (r *recorder) Next() float64    { return inf }
func (r *recorder) Advance(float64)  {}
func (r *recorder) Idle() bool       { return true }
func (r *recorder) Cloth() sim.Cloth { return sim.Cloth{} }
func (r *recorder) Output() []byte   { out := r.out; r.out = nil; return out }

func (r *recorder) tick() int { r.since++; return r.since }
