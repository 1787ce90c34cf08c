package device_test

import (
	"context"
	"regexp"
	"testing"
	"time"

	"weftplot/device"
	"weftplot/device/line"
	"weftplot/device/sim"
)

// frozen is a line to a controller that always says it is at 0, 0, 0.
type frozen struct{ line.Port }

var place = regexp.MustCompile(`-?[0-9]+\.[0-9]+,-?[0-9]+\.[0-9]+(,-?[0-9]+\.[0-9]+)?`)

func (f frozen) Read(p []byte, wait time.Duration) (int, error) {
	n, err := f.Port.Read(p, wait)
	return copy(p, place.ReplaceAllFunc(p[:n:n], func(b []byte) []byte {
		for i, c := range b {
			if c >= '1' && c <= '9' || c == '-' {
				b[i] = '0'
			}
		}
		return b
	})), err
}

// A controller whose reports never tell another place than 0, 0 is gone by as one
// that tells none.
func TestPlaceThatNeverChanges(t *testing.T) {
	m := machine(t, "practice")
	p := sim.NewController(m)
	out, err := device.Send(context.Background(), frozen{sim.NewLine(p, m.Serial)}, written(t, m, sampler()...), device.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if r := sim.Compare(sampler(), p.Cloth().Strokes(), 0.05); !r.Same() {
		t.Errorf("on the cloth: %s", r)
	}
	if p.Cloth().RestMax > 0.5 || out.Seconds > 1.2*out.Predicted {
		t.Errorf("the pen rested for %.2f s; %.1f s, %.1f predicted", p.Cloth().RestMax, out.Seconds, out.Predicted)
	}
}
