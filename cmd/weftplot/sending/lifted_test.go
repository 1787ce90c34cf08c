package sending

import (
	"testing"
	"time"

	"weftplot/device"
	"weftplot/profiles"
)

// said is a port at which a machine says so much, and nothing more.
type said struct {
	text string
	now  time.Duration
}

func (s *said) Now() time.Duration          { return s.now }
func (s *said) Write(p []byte) (int, error) { return len(p), nil }
func (s *said) Close() error                { return nil }
func (s *said) Read(p []byte, wait time.Duration) (int, error) {
	s.now += wait
	n := copy(p, s.text)
	s.text = s.text[n:]
	return n, nil
}

// A person in a hurry is let go when the controller has taken the lift, not when
// it refused it; or when it says nothing for long.
func TestLiftIsTaken(t *testing.T) {
	for _, c := range []struct {
		machine, said string
		wait          time.Duration
		safe          bool
	}{
		{"gantry-z", "ok\r\n", 0, true},
		{"gantry-z", "<Hold|MPos:1,2,0>\r\n", 0, false},
		{"gantry-z", "error:9\r\n", 0, false},
		{"gantry-z", "error:9\r\nok\r\n", 0, true},
		{"gantry-z", "okay\r\n", 0, false},
		{"gantry-z", "", time.Second, false},
		{"gantry-z", "", takenWithin + time.Second, true},
	} {
		m, err := profiles.MachineNamed(c.machine)
		if err != nil {
			t.Fatal(err)
		}
		safe := false
		w := watchLift(&said{text: c.said}, m, func() { safe = true })
		w.progress(func(device.Progress) {})(device.Progress{State: device.Stopping})
		w.Write([]byte("G0 Z5\n"))
		if safe {
			t.Errorf("%s: safe before anything was said", c.machine)
		}
		w.Read(make([]byte, 64), c.wait)
		if safe != c.safe {
			t.Errorf("%s, after %q and %v: safe %v", c.machine, c.said, c.wait, safe)
		}
	}
	m, err := profiles.MachineNamed("flatbed-hpgl")
	if err != nil {
		t.Fatal(err)
	}
	safe := false
	w := watchLift(&said{}, m, func() { safe = true })
	w.progress(func(device.Progress) {})(device.Progress{State: device.Stopping})
	if w.Write([]byte("PU;")); !safe {
		t.Error("a plotter that acknowledges nothing: not safe when it was written")
	}
}
