//go:build unix

package device_test

import (
	"context"
	"errors"
	"testing"

	"weftplot/device"
	"weftplot/device/line"
	"weftplot/device/sim"
)

func TestOverPseudoTerminal(t *testing.T) {
	m := machine(t, "practice")
	s := serve(t, m, 200)
	port, err := s.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer port.Close()
	calls := 0
	out, err := device.Send(context.Background(), port, gcodeJob(m, sampler()...), device.Options{
		Progress: func(device.Progress) { calls++ },
	})
	if err != nil {
		t.Fatal(err)
	}
	cloth := s.Cloth()
	if r := sim.Compare(sampler(), cloth.Strokes(), 0.01); !r.Same() {
		t.Error(r, r.Missing, r.Extra)
	}
	if cloth.Overruns > 0 || len(cloth.Errors) > 0 {
		t.Errorf("%d overruns, errors %q", cloth.Overruns, cloth.Errors)
	}
	t.Logf("%+v, %d calls, underruns %d", out, calls, cloth.Underruns)
}

func TestSecondSenderIsRefused(t *testing.T) {
	m := machine(t, "practice")
	s := serve(t, m, 1)
	first, err := line.Open(s.Path, m.Serial)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := line.Open(s.Path, m.Serial); !errors.Is(err, device.InUse) {
		t.Errorf("a second sender got %v", err)
	}
	first.Close()
	again, err := line.Open(s.Path, m.Serial)
	if err != nil {
		t.Fatalf("after the first hung up: %v", err)
	}
	again.Close()
}
