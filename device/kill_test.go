//go:build unix

package device_test

import (
	"context"
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
	"weftplot/paths"
	"weftplot/profiles"
)

var kills = flag.Int("kills", 2, "times the sender is killed")

// fast runs a port's clock so many times as fast.
type fast struct {
	line.Port
	factor float64
}

func (f fast) Now() time.Duration { return time.Duration(float64(f.Port.Now()) * f.factor) }

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
	_, err = device.Send(context.Background(), fast{port, killFactor}, job, device.Options{Journal: j, Homed: os.Getenv("SEND_HOMED") != ""})
	return err
}

// A sender that is killed at any moment is taken up by the next one: all is
// drawn, and nothing where it should not be.
func TestKilledSender(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for killed := 0; killed < *kills; {
		job, want := killedJob()
		s := serve(t, job.Machine, killFactor)
		// A sender that gives up, on a computer too busy for a plotter that fast,
		// says that the machine is to be looked after; here it needs no more.
		homed := ""
		journal := filepath.Join(t.TempDir(), "journal")
		for try := 0; ; try++ {
			cmd := exec.Command(os.Args[0])
			cmd.Env = append(os.Environ(), "SEND_TO_PORT="+s.Path, "SEND_JOURNAL="+journal, "SEND_HOMED="+homed)
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
					homed = "yes"
					continue
				}
				break
			}
			select {
			case err := <-done:
				if err != nil {
					homed = "yes"
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
		if cloth.Overruns > 0 || len(cloth.Errors) > 0 || cloth.Down {
			t.Errorf("%d overruns, errors %q, down %v", cloth.Overruns, cloth.Errors, cloth.Down)
		}
		// A pen that was down when the sender was killed rests until the next one
		// has found the machine.
		t.Logf("%d kills so far; %.0f mm drawn of %.0f, the pen rested for up to %.1f s", killed, cloth.Drawn, paths.LengthOf(want), cloth.RestMax)
		s.Close()
	}
}
