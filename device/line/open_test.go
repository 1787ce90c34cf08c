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
