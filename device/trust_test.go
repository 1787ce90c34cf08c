package device_test

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"weftplot/device"
	"weftplot/device/line"
	"weftplot/device/sim"
	"weftplot/paths/fault"
	"weftplot/profiles"
)

// dying is a port whose sender can be killed: from then on every use of it is the
// sender's end.
type dying struct {
	line.Port
	dead bool
}

type death struct{}

func (d *dying) Read(p []byte, wait time.Duration) (int, error) {
	if d.dead {
		panic(death{})
	}
	return d.Port.Read(p, wait)
}

func (d *dying) Write(p []byte) (int, error) {
	if d.dead {
		panic(death{})
	}
	return d.Port.Write(p)
}

// killedAfter sends a job with a journal and kills the sender once so much is drawn.
func killedAfter(t *testing.T, port line.Port, job device.Job, path string, mm float64) {
	t.Helper()
	j, err := device.StartJournal(path, job)
	if err != nil {
		t.Fatal(err)
	}
	defer j.Close() // as the system does for a process that ended; nothing is written
	d := &dying{Port: port}
	defer func() {
		if r := recover(); r != (death{}) {
			t.Fatalf("the sender was not killed: %v", r)
		}
	}()
	_, err = device.Send(context.Background(), d, job, device.Options{Journal: j, Progress: func(p device.Progress) { d.dead = p.DrawnMM >= mm }})
	t.Fatal("the sender was not killed: ", err)
}

// resumed sends what is left of a job.
func resumed(t *testing.T, port line.Port, job device.Job, path string, homed bool) (j *device.Journal, err error) {
	t.Helper()
	if j, err = device.ResumeJournal(path, job); err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	if !j.NeedsHome() && !homed {
		t.Error("the machine is said to know its place")
	}
	_, err = device.Send(context.Background(), port, job, device.Options{Journal: j, Homed: homed})
	return j, err
}

// A job whose sender was killed goes on only on a machine that says it stands on
// the way that was left. One that has restarted meanwhile, which counts 0,0 where
// it stands, is to be brought home first: in the first stroke as in a later one.
func TestKilledSenderLeavesNoPlace(t *testing.T) {
	for _, c := range []struct {
		name     string
		mm       float64
		restarts bool
	}{{"first stroke", 10, true}, {"later", 300, true}, {"it knows its place", 300, false}} {
		t.Run(c.name, func(t *testing.T) {
			m := machine(t, "practice")
			want := manyStrokes(20)
			job := written(t, m, want...)
			p := sim.NewController(m)
			path := filepath.Join(t.TempDir(), "journal")
			killedAfter(t, sim.NewLine(p, m.Serial), job, path, c.mm)
			if c.restarts {
				p.Restart()
			}
			j, err := resumed(t, sim.NewLine(p, m.Serial), job, path, false)
			switch {
			case c.restarts && !errors.Is(err, device.Restarted):
				t.Fatalf("it went on from a lost place: %v", err)
			case !c.restarts && err != nil:
				t.Fatal(err)
			}
			if c.restarts {
				p.Home()
				if j, err = resumed(t, sim.NewLine(p, m.Serial), job, path, true); err != nil {
					t.Fatal(err)
				}
			}
			if !j.Done() {
				t.Error("it is not done")
			}
			covers(t, want, p.Cloth().Strokes())
		})
	}
}

// A plotter that never answers is drawn on by the clock: the outcome says so, and
// the journal does not call the job done until the person at the machine does.
func TestDrawnByTheClock(t *testing.T) {
	m := machine(t, "flatbed-hpgl")
	m.Serial.Flow = profiles.NoFlow
	job := written(t, m, centred(m, sampler())...)
	yes := func(context.Context) (bool, error) { return true, nil }
	no := func(context.Context) (bool, error) { return false, nil }
	for _, c := range []struct {
		name       string
		confirm    func(context.Context) (bool, error)
		proof      device.Proof
		done, sent bool
		err        error
	}{
		{"nobody is asked", nil, device.ByClock, false, true, nil},
		{"a person says yes", yes, device.ByPerson, true, false, nil},
		{"a person says no", no, device.ByClock, false, false, device.Stopped},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "journal")
			j, err := device.StartJournal(path, job)
			if err != nil {
				t.Fatal(err)
			}
			out, err := device.Send(context.Background(), sim.NewLine(&parrot{}, m.Serial), job, device.Options{Journal: j, Confirm: c.confirm})
			j.Close()
			if !errors.Is(err, c.err) {
				t.Fatal(err)
			}
			if out.Proof != c.proof || (out.ProvedStrokes > 0) != c.done || out.Strokes == 0 {
				t.Errorf("the outcome is %+v", out)
			}
			if j, err = device.ResumeJournal(path, job); err != nil {
				t.Fatal(err)
			}
			defer j.Close()
			if j.Done() != c.done || j.Sent() != c.sent || j.NeedsHome() == c.done {
				t.Errorf("done %v, sent %v, needs home %v", j.Done(), j.Sent(), j.NeedsHome())
			}
		})
	}
}

// A controller that acknowledges every line, and does not say where it is, has not
// said that all is drawn: a line that was garbled on its way is acknowledged too.
// One that says where it is has.
func TestAcknowledgedIsNotDrawn(t *testing.T) {
	yes := func(context.Context) (bool, error) { return true, nil }
	for _, c := range []struct {
		name    string
		ask     string
		confirm func(context.Context) (bool, error)
		proof   device.Proof
	}{
		{"it tells no place, and nobody is asked", "", nil, device.ByClock},
		{"it tells no place, and a person says yes", "", yes, device.ByPerson},
		{"it tells its place", "?", yes, device.ByMachine},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := machine(t, "practice")
			m.Serial.Manner.Ask = c.ask
			job := written(t, m, sampler()...)
			path := filepath.Join(t.TempDir(), "journal")
			j, err := device.StartJournal(path, job)
			if err != nil {
				t.Fatal(err)
			}
			out, err := device.Send(context.Background(), sim.NewLine(sim.New(m), m.Serial), job, device.Options{Journal: j, Confirm: c.confirm})
			j.Close()
			if err != nil {
				t.Fatal(err)
			}
			if j, err = device.ResumeJournal(path, job); err != nil {
				t.Fatal(err)
			}
			defer j.Close()
			predicted := c.proof == device.ByClock
			if out.Proof != c.proof || j.Done() == predicted || j.Sent() != predicted {
				t.Errorf("the outcome is %+v; done %v, sent %v", out, j.Done(), j.Sent())
			}
		})
	}
}

// What is drawn again is never more than the journal announced, in strokes or mm.
func TestAnnouncedAgain(t *testing.T) {
	m := machine(t, "practice")
	job := written(t, m, manyStrokes(20)...)
	for _, mm := range []float64{5, 60, 200, 450} {
		p := sim.NewController(m)
		path := filepath.Join(t.TempDir(), "journal")
		j, err := device.StartJournal(path, job)
		if err != nil {
			t.Fatal(err)
		}
		ctx, cancel := context.WithCancel(context.Background())
		device.Send(ctx, sim.NewLine(p, m.Serial), job, device.Options{Journal: j, Progress: after(mm, cancel)})
		cancel()
		j.Close()
		first := p.Cloth()
		if j, err = device.ResumeJournal(path, job); err != nil {
			t.Fatal(err)
		}
		again, known := j.Again()
		length := 0.0
		for _, s := range job.Program.Strokes()[:j.Drawn()] {
			length += s.Length()
		}
		if begun := len(first.Strokes()); !known || begun > j.Drawn()+again {
			t.Errorf("after %.0f mm %d strokes are begun; %d drawn and %d again were announced", mm, begun, j.Drawn(), again)
		}
		if more := first.Drawn - length; more > j.AgainMM()+0.1 {
			t.Errorf("after %.0f mm %.1f mm would be drawn again, %.1f were announced", mm, more, j.AgainMM())
		}
		j.Close()
	}
}

// While a job is drawn no second sender takes its journal, whatever its port.
func TestJournalIsHeld(t *testing.T) {
	m := machine(t, "practice")
	job := written(t, m, sampler()...)
	path := filepath.Join(t.TempDir(), "journal")
	j, err := device.StartJournal(path, job)
	if err != nil {
		t.Fatal(err)
	}
	was, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for name, open := range map[string]func(string, device.Job) (*device.Journal, error){"start": device.StartJournal, "resume": device.ResumeJournal} {
		if _, err := open(path, job); !errors.Is(err, device.InUse) || !strings.Contains(err.Error(), "being drawn now") {
			t.Errorf("%s: %v", name, err)
		}
	}
	if is, err := os.ReadFile(path); err != nil || string(is) != string(was) {
		t.Errorf("a second sender changed it: %q, %v", is, err)
	}
	j.Close()
	if j, err = device.StartJournal(path, job); err != nil {
		t.Fatal(err)
	}
	j.Close()
}

// An error's advice is never empty at its beginning, and a machine that may have
// lost its place is to be brought home.
func TestAdviceIsWhole(t *testing.T) {
	m := machine(t, "practice")
	for _, kind := range []sim.FaultKind{sim.Restart, sim.HangUp, sim.Silence, sim.AlarmStop} {
		l := sim.NewLine(sim.NewController(m), m.Serial).WithFaults(sim.Fault{At: 8, Kind: kind, For: 100})
		_, err := device.Send(context.Background(), l, written(t, m, sampler()...), device.Options{})
		var f *fault.Error
		if !errors.As(err, &f) || f.Do == "" || strings.HasPrefix(f.Do, ";") || strings.Count(f.Do, "home") != 1 {
			t.Errorf("%v: %v, advice %q", kind, err, f.Do)
		}
	}
}
