package device_test

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"weftplot/device"
	"weftplot/device/line"
	"weftplot/device/sim"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/profiles"
)

// after returns a Progress that acts once so much is drawn.
func after(mm float64, act func()) func(device.Progress) {
	done := false
	return func(p device.Progress) {
		if !done && p.DrawnMM >= mm {
			done = true
			act()
		}
	}
}

func TestStopLiftsThePen(t *testing.T) {
	t.Parallel()
	for _, name := range profiles.Names(profiles.MachineKind) {
		t.Run(name, func(t *testing.T) {
			m := machine(t, name)
			job := written(t, m, centred(m, sampler())...)
			p := sim.New(m)
			line := sim.NewLine(p, m.Serial)
			ctx, cancel := context.WithCancel(context.Background())
			defer cancel()
			out, err := device.Send(ctx, line, job, device.Options{Progress: after(300, cancel)})
			if !errors.Is(err, context.Canceled) || !errors.Is(err, device.Stopped) {
				t.Fatalf("got %v", err)
			}
			if !strings.Contains(err.Error(), "pen lifted") {
				t.Errorf("it does not say how the machine was left: %v", err)
			}
			line.Settle(60)
			cloth := p.Cloth()
			if cloth.Down {
				t.Error("the pen is down")
			}
			// A planner's worth may follow, of what an HP-GL plotter has begun.
			if limit := map[bool]float64{true: 330, false: 600}[m.Language == profiles.GCode]; cloth.Drawn > limit || cloth.Drawn < 280 {
				t.Errorf("%.0f mm are drawn, of which %.0f are known", cloth.Drawn, out.DrawnMM)
			}
			if cloth.RestMax > 0.3 {
				t.Errorf("the pen rested for %.2f s", cloth.RestMax)
			}
			t.Logf("%v; %.1f mm on the cloth, rest %.3f s", err, cloth.Drawn, cloth.RestMax)
		})
	}
}

// A line refused in mid-stroke: the rest is not fed, the pen goes up, and the
// error names the line and what was sent.
func TestRefusedLine(t *testing.T) {
	m := machine(t, "practice")
	job := gcodeJob(m, sampler()...)
	text := strings.Replace(string(job.Text), "G1 X60.000 Y60.000", "G7 X60.000 Y60.000", 1)
	at := strings.Count(text[:strings.Index(text, "G7")], "\n") + 1
	job.Text = []byte(text)
	c := sim.NewController(m)
	line := sim.NewLine(c, m.Serial)
	_, err := device.Send(context.Background(), line, job, device.Options{})
	var e *fault.Error
	if !errors.As(err, &e) || e.Kind != device.Rejected {
		t.Fatalf("got %v", err)
	}
	if !strings.Contains(e.What, `"G7 X60.000 Y60.000"`) || !strings.Contains(e.Where, "line "+itoa(at)) {
		t.Errorf("it names neither line %d nor what it was: %v", at, err)
	}
	line.Settle(60)
	if cloth := c.Cloth(); cloth.Down || len(cloth.Strokes()) > 2 {
		t.Errorf("pen down: %v, strokes: %d", cloth.Down, len(cloth.Strokes()))
	}
}

func TestTroubles(t *testing.T) {
	m := machine(t, "practice")
	for name, c := range map[string]struct {
		bad   sim.Fault
		kind  fault.Kind
		words string
		down  bool // the pen can be lifted by nobody
	}{
		"restart": {sim.Fault{At: 8, Kind: sim.Restart}, device.Restarted, "no longer knows where it is", false},
		"alarm":   {sim.Fault{At: 8, Kind: sim.AlarmStop}, device.Alarm, "stopped by itself", false},
		"hang-up": {sim.Fault{At: 8, Kind: sim.HangUp}, device.Lost, "the line to the machine broke", true},
		"silence": {sim.Fault{At: 8, Kind: sim.Silence, For: 1000}, device.Silent, "said nothing", false},
	} {
		t.Run(name, func(t *testing.T) {
			p := sim.NewController(m)
			line := sim.NewLine(p, m.Serial).WithFaults(c.bad)
			_, err := device.Send(context.Background(), line, gcodeJob(m, sampler()...), device.Options{})
			if !errors.Is(err, c.kind) || !strings.Contains(err.Error(), c.words) {
				t.Fatalf("got %v", err)
			}
			line.Settle(60)
			if p.Cloth().Down && !c.down {
				t.Errorf("the pen is down: %v", err)
			}
			var e *fault.Error
			if errors.As(err, &e); e.State == "" || e.Do == "" {
				t.Errorf("it does not say how the machine was left, or what to do: %+v", e)
			}
			t.Log(err)
		})
	}
}

// Faults that a sender has to see through on its own.
func TestSeenThrough(t *testing.T) {
	t.Parallel()
	m := machine(t, "practice")
	for _, k := range []sim.FaultKind{sim.DropUp, sim.FlipUp, sim.DoubleUp, sim.DelayUp, sim.LostAck, sim.DoubleAck, sim.LateAck, sim.Noise, sim.DelayDown} {
		t.Run(k.String(), func(t *testing.T) {
			var script []sim.Fault
			n := 12
			if k == sim.DoubleAck || k == sim.DoubleUp {
				n = 2 // more of them in one stroke cannot be told from true ones
			}
			for i := range n {
				script = append(script, sim.Fault{At: 2 + 2.3*float64(i), Kind: k, For: 0.3, Bit: uint(i)})
			}
			p := sim.NewController(m)
			line := sim.NewLine(p, m.Serial).WithFaults(script...)
			out, err := device.Send(context.Background(), line, gcodeJob(m, sampler()...), device.Options{})
			if err != nil {
				t.Fatal(err)
			}
			cloth := p.Cloth()
			if r := sim.Compare(sampler(), cloth.Strokes(), 0.01); !r.Same() || cloth.Overruns > 0 || !p.Idle() {
				t.Errorf("%v; %d overruns", r, cloth.Overruns)
			}
			if cloth.RestMax > 0.5 {
				t.Errorf("the pen rested for %.2f s", cloth.RestMax)
			}
			t.Logf("%.2f s, %.2f predicted, rest %.2f s", out.Seconds, out.Predicted, cloth.RestMax)
		})
	}
}

// Nobody at the other end, or somebody who talks otherwise.
func TestNoMachine(t *testing.T) {
	m := machine(t, "practice")
	for name, c := range map[string]struct {
		says string
		kind fault.Kind
	}{
		"nothing":    {"", device.Silent},
		"wrong baud": {"\xf8\x80\xe0\x1c\xff\n", device.Garbled},
		"a prompt":   {"login: \n", device.Garbled},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := device.Send(context.Background(), sim.NewLine(&parrot{says: c.says}, m.Serial), gcodeJob(m, sampler()...), device.Options{})
			if !errors.Is(err, c.kind) {
				t.Errorf("got %v", err)
			}
		})
	}
}

// A plotter that is heard at the wrong baud rate is recognised by every flow that
// hears answers, and so is a machine that is no plotter.
func TestWrongBaudHPGL(t *testing.T) {
	for _, flow := range []profiles.Flow{profiles.XonXoff, profiles.SpaceQuery, profiles.EnqAck, profiles.NoFlow} {
		m := machine(t, "flatbed-hpgl")
		m.Serial.Flow = flow
		job := written(t, m, centred(m, sampler())...)
		for _, says := range []string{"\xf8\x80\xe0\x1c\xff\r", "login:\r"} {
			_, err := device.Send(context.Background(), sim.NewLine(&parrot{says: says, at: ";B\x05"}, m.Serial), job, device.Options{})
			if !errors.Is(err, device.Garbled) {
				t.Errorf("%s, %q: %v", flow, says, err)
			}
		}
	}
}

// parrot answers with the same, whatever it is told.
type parrot struct {
	says string
	at   string // after which bytes; line ends and questions when empty
	out  []byte
}

func (p *parrot) Receive(_ float64, b byte) {
	at := p.at
	if at == "" {
		at = "\n?"
	}
	if strings.IndexByte(at, b) >= 0 {
		p.out = append(p.out, p.says...)
	}
}
func (p *parrot) Next() float64    { return inf }
func (p *parrot) Advance(float64)  {}
func (p *parrot) Idle() bool       { return true }
func (p *parrot) Cloth() sim.Cloth { return sim.Cloth{} }
func (p *parrot) Output() []byte   { out := p.out; p.out = nil; return out }

func TestWrongRequests(t *testing.T) {
	m := machine(t, "practice")
	far := gcodeJob(m, paths.Polyline(pt(10, 10), pt(700, 10)))
	other := gcodeJob(m, sampler()...)
	other.Program.Machine = "gantry-z"
	hp := gcodeJob(m, sampler()...)
	hp.Machine = machine(t, "flatbed-hpgl")
	for name, c := range map[string]struct {
		job  device.Job
		kind fault.Kind
	}{
		"leaves the area": {far, fault.Fit},
		"wrong language":  {hp, fault.Input},
		"wrong machine":   {other, fault.Input},
	} {
		c0 := sim.New(m)
		line := sim.NewLine(c0, m.Serial)
		out, err := device.Send(context.Background(), line, c.job, device.Options{})
		var f *fault.Error
		if !errors.As(err, &f) || f.Kind != c.kind || out.BytesSent > 0 {
			t.Errorf("%s: %v, %d bytes sent", name, err, out.BytesSent)
		}
	}
}

func TestHoldAndLift(t *testing.T) {
	t.Parallel()
	for _, name := range profiles.Names(profiles.MachineKind) {
		for _, key := range []device.Key{device.Hold, device.Lift} {
			t.Run(name+" "+map[device.Key]string{device.Hold: "hold", device.Lift: "lift"}[key], func(t *testing.T) {
				m := machine(t, name)
				want := centred(m, sampler())
				job := written(t, m, want...)
				p := sim.New(m)
				line := sim.NewLine(p, m.Serial)
				keys := make(chan device.Key, 10)
				var waitedFrom time.Duration
				press := []float64{100, 400, 700}
				opt := device.Options{Keys: keys, Progress: func(pr device.Progress) {
					switch {
					case pr.State == device.Waiting && waitedFrom == 0:
						waitedFrom = line.Now()
						if p.Cloth().Down {
							t.Error("the pen is down while it waits")
						}
					case pr.State == device.Waiting && line.Now()-waitedFrom > 30*time.Second:
						keys <- device.Resume
					case pr.State == device.Drawing:
						waitedFrom = 0
						if len(press) > 0 && pr.DrawnMM > press[0] {
							press = press[1:]
							keys <- key
						}
					}
				}}
				if _, err := device.Send(context.Background(), line, job, opt); err != nil {
					t.Fatal(err)
				}
				if len(press) > 0 {
					t.Fatal("not every hold was taken")
				}
				cloth := p.Cloth()
				covers(t, want, cloth.Strokes())
				unharmed(t, cloth, 0.5)
				t.Logf("%d strokes, %.1f mm drawn of %.1f", len(cloth.Strokes()), cloth.Drawn, paths.LengthOf(want))
			})
		}
	}
}

// A caller that breaks in the middle of a job leaves no pen on the cloth.
func TestPanicLiftsThePen(t *testing.T) {
	m := machine(t, "practice")
	p := sim.NewController(m)
	line := sim.NewLine(p, m.Serial)
	defer func() {
		if recover() == nil {
			t.Error("the panic was swallowed")
		}
		line.Settle(10)
		if c := p.Cloth(); c.Down || c.RestMax > 0.5 {
			t.Errorf("the pen is down: %v, and rested for %.2f s", c.Down, c.RestMax)
		}
	}()
	_, err := device.Send(context.Background(), line, gcodeJob(m, sampler()...), device.Options{
		Progress: after(300, func() { panic("broken") }),
	})
	t.Error("it went on: ", err)
}

// Whoever stops a machine that has fallen silent, and then waits no longer, has the
// lift sent within seconds: without that a machine that gives no reports is waited
// for until all that it holds should be drawn.
func TestHurriedStop(t *testing.T) {
	m := machine(t, "practice")
	m.Serial.Manner.Ask = "" // it cannot be asked whether it is at work
	waited := map[bool]time.Duration{}
	for _, hurried := range []bool{false, true} {
		c := sim.NewController(m)
		port := &stopPort{Port: sim.NewLine(c, m.Serial).WithFaults(sim.Fault{At: 9, Kind: sim.Silence, For: 1000}), lift: m.Lift.Up[0]}
		ctx, cancel := context.WithCancel(context.Background())
		defer cancel()
		job := gcodeJob(m, paths.Polyline(pt(10, 10), pt(560, 10), pt(560, 300)), paths.Polyline(pt(10, 50), pt(300, 50)))
		port.act, port.at = cancel, 11*time.Second
		_, err := device.Send(ctx, port, job, device.Options{Hurry: func() bool { return hurried }})
		if !errors.Is(err, context.Canceled) {
			t.Fatalf("got %v", err)
		}
		waited[hurried] = port.lifted - port.at
	}
	t.Logf("the lift was sent after %v, hurried after %v", waited[false], waited[true])
	if waited[true] < 0 || waited[true] > 3*time.Second || waited[false] <= 2*waited[true] {
		t.Errorf("the lift was sent %v after the stop, in a hurry after %v", waited[false], waited[true])
	}
}

// stopPort acts at a time, and notes when the pen was last lifted.
type stopPort struct {
	line.Port
	act    func()
	at     time.Duration
	lift   string
	lifted time.Duration
}

func (p *stopPort) Read(b []byte, wait time.Duration) (int, error) {
	if p.act != nil && p.Now() >= p.at {
		p.act()
		p.act = nil
	}
	return p.Port.Read(b, wait)
}

func (p *stopPort) Write(b []byte) (int, error) {
	if p.act == nil && p.lifted == 0 && strings.Contains(string(b), p.lift) {
		p.lifted = p.Now()
	}
	return p.Port.Write(b)
}
