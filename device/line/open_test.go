//go:build unix

package line

import (
	"errors"
	"os"
	"os/user"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"github.com/creack/pty"
	"golang.org/x/sys/unix"

	"weftplot/profiles"
)

var usual = profiles.Serial{Baud: 115200}

func TestNoSuchPort(t *testing.T) {
	_, err := Open("/dev/no-such-port", usual)
	if !errors.Is(err, NoPort) {
		t.Errorf("got %v", err)
	}
	if _, err := Open("/dev/null", usual); !errors.Is(err, NoPort) {
		t.Errorf("of what is no serial port: %v", err)
	}
	t.Log(err)
}

// The error for a port that this user may not open names the group that owns
// it: by common practice one such as dialout, tty or uucp.
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
	e := openError(path, syscall.EACCES)
	if os.Getuid() != 0 {
		_, err := Open(path, usual)
		if !errors.As(err, &e) {
			t.Fatal(err)
		}
	}
	if e.Kind != NoPermission || !strings.Contains(e.What, "may not use this port") || owned && !strings.Contains(e.Do, `join the group "dialout"`) {
		t.Errorf("got %v; %s", e, e.Do)
	}
}

// A program started while the port is open must not hold the machine's line.
func TestPortIsNotPassedOn(t *testing.T) {
	master, tty, err := pty.Open()
	if err != nil {
		t.Skip("no pseudo-terminals here: ", err)
	}
	defer master.Close()
	defer tty.Close()
	p, err := Open(tty.Name(), usual)
	if err != nil {
		t.Fatal(err)
	}
	defer p.Close()
	info, err := tty.Stat()
	if err != nil {
		t.Fatal(err)
	}
	open := 0
	for fd := 3; fd < mostFiles; fd++ {
		var s unix.Stat_t
		if unix.Fstat(fd, &s) != nil || s.Mode&unix.S_IFMT != unix.S_IFCHR || uint64(s.Rdev) != uint64(info.Sys().(*syscall.Stat_t).Rdev) {
			continue
		}
		open++
		if flags, err := unix.FcntlInt(uintptr(fd), unix.F_GETFD, 0); err != nil || flags&unix.FD_CLOEXEC == 0 {
			t.Errorf("file %d of the port goes on to programs started now (flags %x, %v)", fd, flags, err)
		}
	}
	if open < 2 {
		t.Errorf("%d files of the port were found, for the terminal's own and ours", open)
	}
}
