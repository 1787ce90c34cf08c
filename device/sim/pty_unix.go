//go:build unix

package sim

import (
	"fmt"
	"os"
	"time"

	"github.com/creack/pty"
	"golang.org/x/term"

	"weftplot/device"
	"weftplot/paths/fault"
)

// connect puts the server behind a pseudo-terminal.
func (s *Server) connect() error {
	master, tty, err := pty.Open()
	if err != nil {
		return &fault.Error{Kind: device.NoPort, What: "the system gives out no pseudo-terminal for the simulated plotter: " + err.Error(), Err: err}
	}
	// Nobody may echo what the plotter says back to it, or wait for ends of
	// lines. The terminal's own end stays open, so that the line outlives a
	// sender that hangs up.
	if _, err := term.MakeRaw(int(tty.Fd())); err != nil {
		master.Close()
		tty.Close()
		return &fault.Error{Kind: device.NoPort, What: fmt.Sprintf("%s cannot be made a plain line: %v", tty.Name(), err), Err: err}
	}
	s.Path, s.far = tty.Name(), patient{master}
	s.near = func() (device.Port, error) { return device.Open(s.Path, s.serial) }
	s.shut = func() {
		tty.Close()
		master.Close()
	}
	return nil
}

// patient writes for a while only: nobody may be listening.
type patient struct{ *os.File }

func (p patient) Write(b []byte) (int, error) {
	p.File.SetWriteDeadline(time.Now().Add(time.Second))
	return p.File.Write(b)
}
