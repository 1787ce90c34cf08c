//go:build unix

package device_test

import (
	"context"
	"errors"
	"os"
	"os/user"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"weftplot/device"
	"weftplot/device/sim"
	"weftplot/profiles"
)

// serve switches on a plotter behind a pseudo-terminal, or skips.
func serve(t *testing.T, m profiles.Machine, factor float64) *sim.Server {
	t.Helper()
	s, err := sim.Serve(m, factor)
	if errors.Is(err, device.NoPort) {
		t.Skip("this system has no pseudo-terminals: ", err)
	}
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

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
	first, err := device.Open(s.Path, m.Serial)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := device.Open(s.Path, m.Serial); !errors.Is(err, device.InUse) {
		t.Errorf("a second sender got %v", err)
	}
	first.Close()
	again, err := device.Open(s.Path, m.Serial)
	if err != nil {
		t.Fatalf("after the first hung up: %v", err)
	}
	again.Close()
}

func TestNoSuchPort(t *testing.T) {
	_, err := device.Open("/dev/no-such-port", machine(t, "practice").Serial)
	if !errors.Is(err, device.NoPort) {
		t.Errorf("got %v", err)
	}
	if _, err := device.Open("/dev/null", machine(t, "practice").Serial); !errors.Is(err, device.NoPort) {
		t.Errorf("of what is no serial port: %v", err)
	}
	t.Log(err)
}

// A port that this user may not open names the group that owns it: as common
// practice has it a group such as dialout, tty or uucp.
func TestNoPermission(t *testing.T) {
	path := filepath.Join(t.TempDir(), "port")
	if err := os.WriteFile(path, nil, 0); err != nil {
		t.Fatal(err)
	}
	group, err := user.LookupGroup("dialout")
	if err != nil {
		t.Skip("there is no group dialout here")
	}
	gid, _ := strconv.Atoi(group.Gid)
	owned := os.Chown(path, -1, gid) == nil
	e := device.OpenError(path, syscall.EACCES)
	if os.Getuid() != 0 {
		_, err := device.Open(path, machine(t, "practice").Serial)
		if !errors.As(err, &e) {
			t.Fatal(err)
		}
	}
	if e.Kind != device.NoPermission || !strings.Contains(e.What, "may not use this port") || owned && !strings.Contains(e.Do, `join the group "dialout"`) {
		t.Errorf("got %v; %s", e, e.Do)
	}
}
