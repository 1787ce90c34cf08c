//go:build unix

package device_test

import (
	"context"
	"encoding/binary"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"weftplot/device"
	"weftplot/device/line"
	"weftplot/device/sim"
	"weftplot/device/sim/live"
	"weftplot/paths"
	"weftplot/profiles"
)

var kills = flag.Int("kills", 2, "times the sender is killed")

// fast is a port whose clock is that of a plotter in another process, which runs so
// many times as fast and stands still while that process gets no turn.
type fast struct {
	line.Port
	factor float64
	clock  *os.File
}

func (f fast) Now() time.Duration {
	var b [8]byte
	if _, err := f.clock.ReadAt(b[:], 0); err != nil {
		panic(err)
	}
	return time.Duration(binary.LittleEndian.Uint64(b[:]))
}

// keepClock writes a plotter's time into a file, until the test is over.
func keepClock(t *testing.T, s *live.Server) (path string) {
	t.Helper()
	f, err := os.Create(filepath.Join(t.TempDir(), "clock"))
	if err != nil {
		t.Fatal(err)
	}
	write := func() {
		if _, err := f.WriteAt(binary.LittleEndian.AppendUint64(nil, uint64(s.Now())), 0); err != nil {
			panic(err)
		}
	}
	write()
	over := make(chan struct{})
	go func() {
		for {
			select {
			case <-over:
				f.Close()
				return
			case <-time.After(time.Millisecond):
				write()
			}
		}
	}()
	t.Cleanup(func() { close(over) })
	return f.Name()
}

func (f fast) Read(p []byte, wait time.Duration) (int, error) {
	return f.Port.Read(p, time.Duration(float64(wait)/f.factor))
}

const killFactor = 10

// TestMain lets the test binary be the sender that is killed.
func TestMain(m *testing.M) {
	if port := os.Getenv("SEND_TO_PORT"); port != "" {
		if err := sendTo(port, os.Getenv("SEND_JOURNAL")); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// soundMachine fails if the machine was given what it could not take. After an alarm
// a controller refuses every line until it is cleared.
func soundMachine(t *testing.T, c sim.Cloth) {
	t.Helper()
	if c.Overruns > 0 || len(c.Errors) > 0 && c.Alarms == 0 || c.Down {
		t.Errorf("%d overruns, errors %q, down %v", c.Overruns, c.Errors, c.Down)
	}
}

// home is a person who brings the machine home, and says so to the next sender.
func home(s *live.Server) string {
	s.Home()
	return "yes"
}

func killedJob() (device.Job, []paths.Stroke) {
	m, err := profiles.MachineNamed("practice")
	if err != nil {
		panic(err)
	}
	want := manyStrokes(12)
	return gcodeJob(m, want...), want
}

func sendTo(name, journal string) error {
	job, _ := killedJob()
	port, err := line.Open(name, job.Machine.Serial)
	if err != nil {
		return err
	}
	defer port.Close()
	j, err := device.ResumeJournal(journal, job)
	if err != nil {
		j, err = device.StartJournal(journal, job)
	}
	if err != nil {
		return err
	}
	defer j.Close()
	clock, err := os.Open(os.Getenv("SEND_CLOCK"))
	if err != nil {
		return err
	}
	defer clock.Close()
	_, err = device.Send(context.Background(), fast{port, killFactor, clock}, job, device.Options{Journal: j, Homed: os.Getenv("SEND_HOMED") != ""})
	return err
}

// A sender that is killed at any moment is taken up by the next one: all is
// drawn, and nothing where it should not be.
func TestKilledSender(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for killed := 0; killed < *kills; {
		job, want := killedJob()
		s := serve(t, job.Machine, killFactor)
		clock := keepClock(t, s)
		// A sender that gives up, on a computer too busy for a plotter that fast,
		// says that the machine is to be brought home.
		homed := ""
		journal := filepath.Join(t.TempDir(), "journal")
		for try := 0; ; try++ {
			cmd := exec.Command(os.Args[0])
			cmd.Env = append(os.Environ(), "SEND_TO_PORT="+s.Path, "SEND_JOURNAL="+journal, "SEND_CLOCK="+clock, "SEND_HOMED="+homed)
			homed = ""
			cmd.Stderr = os.Stderr
			if err := cmd.Start(); err != nil {
				t.Fatal(err)
			}
			done := make(chan error, 1)
			go func() { done <- cmd.Wait() }()
			if killed >= *kills || try > 8 {
				if err := <-done; err != nil && try > 12 {
					t.Fatal("the last sender failed: ", err)
				} else if err != nil {
					homed = home(s)
					continue
				}
				break
			}
			select {
			case err := <-done:
				if err != nil {
					homed = home(s)
					continue
				}
			case <-time.After(time.Duration(200+random.IntN(1200)) * time.Millisecond):
				cmd.Process.Kill()
				<-done
				killed++
				continue
			}
			break
		}
		cloth := s.Cloth()
		covers(t, want, cloth.Strokes())
		soundMachine(t, cloth)
		// A pen that was down when the sender was killed rests until the next one
		// has found the machine.
		t.Logf("%d kills so far; %.0f mm drawn of %.0f, the pen rested for up to %.1f s", killed, cloth.Drawn, paths.LengthOf(want), cloth.RestMax)
		s.Close()
	}
}
