package device_test

import (
	"bytes"
	"context"
	"errors"
	"testing"

	"weftplot/device"
	"weftplot/device/flow"
	"weftplot/device/line"
	"weftplot/device/sim"
)

// forgetful is a line to a controller that passes over the arcs of its program from
// the skip-th on, and answers them: each comes to it as a remark.
type forgetful struct {
	line.Port
	skip int
}

func (f *forgetful) Write(p []byte) (int, error) {
	out := bytes.Clone(p)
	for at := 0; at < len(out); {
		end := at + bytes.IndexByte(out[at:], '\n')
		if end < at {
			break
		}
		if l := out[at:end]; bytes.HasPrefix(l, []byte("G2")) || bytes.HasPrefix(l, []byte("G3")) {
			if f.skip--; f.skip < 0 {
				copy(l, "("+string(bytes.Repeat([]byte("x"), len(l)-2))+")")
			}
		}
		at = end + 1
	}
	return f.Port.Write(out)
}

// A ring that the machine answers for and does not draw is told, however its feed is
// turned, unless it is so small that it may be drawn between two looks. A slow line
// affords fewer looks. At 40 mm/s and 115200 baud the smallest that is told has a
// radius of 0.9 mm (measured).
func TestRingLeftOut(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		baud   int
		radius float64 // mm
	}{{115200, 1}, {115200, 6}, {9600, 3}, {2400, 9}, {2400, 20}} {
		for _, times := range []float64{.5, 1, 2} {
			m := machine(t, "practice")
			m.Serial.Baud = c.baud
			job := written(t, m, rings(3, c.radius, 45)...)
			p := turned(m, times)
			_, err := device.Send(context.Background(), &forgetful{sim.NewLine(p, m.Serial), 2}, job, device.Options{})
			if !errors.Is(err, flow.Garbled) {
				t.Errorf("%d baud, a ring of %v mm, feed turned to %v: %v", c.baud, c.radius, times, err)
			}
		}
	}
}
