package device_test

import (
	"context"
	"errors"
	"syscall"
	"testing"
	"time"

	"go.bug.st/serial"

	"weftplot/device"
	"weftplot/device/line"
	"weftplot/device/sim"
	"weftplot/device/sim/live"
	"weftplot/profiles"
)

// driver is the library's port before a simulated line, with the bad manners of
// real drivers: writes that are short or interrupted, reads that are interrupted
// or return nothing, modem bits that cannot be set.
type driver struct {
	serial.Port // what is not used
	line        *sim.Line
	wait        time.Duration
	calls       int
}

func (d *driver) SetReadTimeout(t time.Duration) error { d.wait = t; return nil }
func (d *driver) Drain() error {
	if d.calls++; d.calls%3 != 0 {
		return syscall.EINTR
	}
	return nil
}
func (d *driver) SetDTR(bool) error { return syscall.ENOTTY }
func (d *driver) Close() error      { return nil }

func (d *driver) Read(p []byte) (int, error) {
	if d.calls++; d.calls%7 == 0 {
		return 0, syscall.EINTR
	}
	return d.line.Read(p, d.wait)
}

func (d *driver) Write(p []byte) (int, error) {
	switch d.calls++; d.calls % 5 {
	case 0:
		return 0, syscall.EINTR
	case 1:
		return 0, nil
	case 2:
		return d.line.Write(p[:1])
	}
	return d.line.Write(p[:min(len(p), 7)])
}

// clocked is a port that runs on another's clock.
type clocked struct {
	line.Port
	clock line.Clock
}

func (c clocked) Now() time.Duration { return c.clock.Now() }

// stage is a plotter and the port to it.
type stage struct {
	port  line.Port
	cloth func() sim.Cloth
}

// stages are all the ways there are to a plotter.
func stages() map[string]func(*testing.T, profiles.Machine) stage {
	simulated := func(wrap func(*sim.Line) line.Port) func(*testing.T, profiles.Machine) stage {
		return func(_ *testing.T, m profiles.Machine) stage {
			p := sim.New(m)
			return stage{wrap(sim.NewLine(p, m.Serial)), p.Cloth}
		}
	}
	return map[string]func(*testing.T, profiles.Machine) stage{
		"in memory":       simulated(func(l *sim.Line) line.Port { return l }),
		"slow":            simulated(func(l *sim.Line) line.Port { return l.WithLatency(30 * time.Millisecond) }),
		"bad driver":      simulated(func(l *sim.Line) line.Port { return clocked{line.Over("bad", &driver{line: l}), l} }),
		"pseudo-terminal": func(t *testing.T, m profiles.Machine) stage { return served(t, serve(t, m, 300)) },
	}
}

// serve switches on a plotter behind a pseudo-terminal, or skips.
func serve(t *testing.T, m profiles.Machine, factor float64) *live.Server {
	t.Helper()
	s := live.Serve(m, factor)
	t.Cleanup(func() { s.Close() })
	if s.Path == "" {
		t.Skip("this system has no pseudo-terminals")
	}
	return s
}

func served(t *testing.T, s *live.Server) stage {
	t.Helper()
	port, err := s.Open()
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { port.Close() })
	return stage{port, s.Cloth}
}

// Everything that a job can be sent over keeps the same promises: all is drawn,
// nothing else is, the buffer holds, and a stop leaves the pen up.
func TestConformance(t *testing.T) {
	for name, set := range stages() {
		for _, machineName := range []string{"practice", "flatbed-hpgl", "flatbed-hpgl2", "knife-cutter"} {
			t.Run(name+" "+machineName, func(t *testing.T) {
				m := machine(t, machineName)
				want := centred(m, manyStrokes(8))
				job := written(t, m, want...)
				t.Run("whole", func(t *testing.T) {
					s := set(t, m)
					out, err := device.Send(context.Background(), s.port, job, device.Options{})
					if err != nil {
						t.Fatal(err)
					}
					cloth := s.cloth()
					if r := sim.Compare(want, cloth.Strokes(), 0.06); !r.Same() || cloth.Overruns > 0 || len(cloth.Errors) > 0 {
						t.Errorf("%v; %d overruns; %q", r, cloth.Overruns, cloth.Errors)
					}
					if out.Strokes != 8 {
						t.Errorf("%d strokes counted", out.Strokes)
					}
				})
				t.Run("stopped", func(t *testing.T) {
					s := set(t, m)
					ctx, cancel := context.WithCancel(context.Background())
					defer cancel()
					_, err := device.Send(ctx, s.port, job, device.Options{Progress: after(50, cancel)})
					if !errors.Is(err, context.Canceled) {
						t.Fatal(err)
					}
					if s.cloth().Down {
						t.Errorf("the pen is down: %v", err)
					}
				})
			})
		}
	}
}

// A port that vanishes in mid-job, at any byte: the error says so, at once.
func TestVanishingPort(t *testing.T) {
	m := machine(t, "practice")
	job := gcodeJob(m, manyStrokes(12)...)
	for at := 0; at < len(job.Text)+40; at += 41 {
		p := sim.NewController(m)
		line := sim.NewLine(p, m.Serial)
		port := &vanishing{Line: line, left: at}
		_, err := device.Send(context.Background(), port, job, device.Options{})
		if !errors.Is(err, device.Lost) {
			t.Fatalf("after %d bytes: %v", at, err)
		}
	}
}

// vanishing is a port that is unplugged after so many bytes.
type vanishing struct {
	*sim.Line
	left int
}

func (v *vanishing) Write(p []byte) (int, error) {
	if len(p) > v.left {
		n := v.left
		v.left = 0
		v.Line.Write(p[:n])
		return n, errors.New("no such device")
	}
	v.left -= len(p)
	return v.Line.Write(p)
}
