package live

import (
	"os"
	"time"

	"github.com/creack/pty"
	"golang.org/x/term"

	"weftplot/device/line"
)

// connect puts the server behind a pseudo-terminal, if the system has one.
func (s *Server) connect() bool {
	master, tty, err := pty.Open()
	if err != nil {
		return false
	}
	// Raw mode: no echo of the plotter's own output, and no waiting for line
	// ends. The terminal's own end stays open, so that the line outlives a
	// sender that hangs up.
	if _, err := term.MakeRaw(int(tty.Fd())); err != nil {
		master.Close()
		tty.Close()
		return false
	}
	if master, err = interruptible(master); err != nil {
		tty.Close()
		return false
	}
	s.Path, s.far = tty.Name(), patient{master}
	s.near = func() (line.Port, error) { return line.Open(s.Path, s.serial) }
	s.shut = func() {
		tty.Close()
		master.Close()
	}
	return true
}

// patient gives up a write after a while, because there may be no reader.
type patient struct{ *os.File }

func (p patient) Write(b []byte) (int, error) {
	p.File.SetWriteDeadline(time.Now().Add(time.Second))
	return p.File.Write(b)
}
