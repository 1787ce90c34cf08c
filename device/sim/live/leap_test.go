package live

import (
	"testing"
	"time"

	"weftplot/profiles"
)

// However busy the computer and however fast the plotter, its sender sees where it is more
// often than every 0.3 s of its time. A plotter whose sender has another clock keeps to the
// time that passes instead.
func TestNoTickIsTooLong(t *testing.T) {
	m, err := profiles.MachineNamed("practice")
	if err != nil {
		t.Fatal(err)
	}
	for _, factor := range []float64{1, 60, 1000} {
		s := newServer(m, factor)
		s.coupled, s.listening, s.last = true, true, time.Now().Add(-time.Second)
		s.tick()
		if want := min(leap, maxTick.Seconds()*factor); s.now != want {
			t.Errorf("%v times as fast: a tick of %v s, want %v", factor, s.now, want)
		}
		if wait := s.pause(); wait > tickEvery || wait.Seconds()*factor > leap*(1+1e-9) {
			t.Errorf("%v times as fast: the next tick comes after %v", factor, wait)
		}
		s.coupled, s.last, s.now = false, time.Now().Add(-time.Second), 0
		s.tick()
		if want := maxTick.Seconds() * factor; s.now != want {
			t.Errorf("%v times as fast, on a line of its own: a tick of %v s, want %v", factor, s.now, want)
		}
	}
}
