package line

import (
	"errors"
	"io/fs"
	"slices"
	"syscall"
	"time"

	"go.bug.st/serial"

	"weftplot/paths/fault"
	"weftplot/profiles"
)

// Clock measures the time since some fixed moment.
type Clock interface {
	Now() time.Duration
}

// Port is a byte line to a machine. It is used by one goroutine at a time.
type Port interface {
	Clock
	// Read reads what has arrived, waiting no longer than wait for the first
	// byte. It returns 0, nil when nothing arrived in that time, and an error
	// only when the line is lost.
	Read(p []byte, wait time.Duration) (int, error)
	// Write passes all of p to the line, or returns how many bytes it passed
	// and an error. It may return before the bytes have left.
	Write(p []byte) (int, error)
	// Close hangs up. It may be called again.
	Close() error
}

// Open opens the serial port, 8 data bits, no parity, one stop bit, for one
// sender: a second one is refused while this one has it. A pseudo-terminal is a
// port like any other. The errors are [fault.Error]s that say what to do.
func Open(name string, s profiles.Serial) (Port, error) {
	lock, err := lockPort(name)
	if err != nil {
		return nil, openError(name, err)
	}
	p, err := alone(name, func() (serial.Port, error) {
		return serial.Open(name, &serial.Mode{BaudRate: s.Baud, DataBits: 8, Parity: serial.NoParity, StopBits: serial.OneStopBit})
	})
	if err != nil {
		lock.release()
		return nil, openError(name, err)
	}
	// Input that an earlier sender left unread is not an answer to this one.
	// Where a driver cannot drop it, the flow control skips it.
	_ = p.ResetInputBuffer()
	return &lockedPort{Over(name, p), lock}, nil
}

// lockedPort is a port that no other sender can open until it is closed.
type lockedPort struct {
	Port
	lock *portLock
}

func (l *lockedPort) Close() error {
	err := l.Port.Close()
	l.lock.release()
	return err
}

// Over returns a Port over a port of the serial library, with whole writes and
// timed reads. It holds no lock. The name is for messages.
func Over(name string, p serial.Port) Port {
	return &serialPort{name: name, port: p, born: time.Now()}
}

// serialPort makes a reliable Port of one of the serial library, whose writes
// may be short or interrupted, and whose reads need their time-out set
// beforehand.
type serialPort struct {
	name   string
	port   serial.Port
	born   time.Time
	wait   time.Duration // as last set, 0 none yet
	closed bool
}

// Now returns the time since the port was opened.
func (s *serialPort) Now() time.Duration { return time.Since(s.born) }

func (s *serialPort) Read(p []byte, wait time.Duration) (int, error) {
	wait = max(wait, time.Millisecond) // 0 would be rounded to "for ever" on some systems
	if wait != s.wait {
		if err := s.port.SetReadTimeout(wait); err != nil {
			return 0, lostLine(s.name, err)
		}
		s.wait = wait
	}
	n, err := s.port.Read(p)
	if err != nil && !interrupted(err) {
		return n, lostLine(s.name, err)
	}
	return n, nil
}

// writeTime is how long a driver may take to accept what the flow control lets
// through, which is far less than the driver's own buffer holds.
const writeTime = 30 * time.Second

// Write writes p in a goroutine of its own, because a driver whose adapter has
// died may never return.
func (s *serialPort) Write(p []byte) (int, error) {
	type result struct {
		n   int
		err error
	}
	own := slices.Clone(p)
	done := make(chan result, 1)
	go func() {
		n, err := s.writeAll(own)
		done <- result{n, err}
	}()
	select {
	case r := <-done:
		return r.n, r.err
	case <-time.After(writeTime):
		return 0, lostLine(s.name, errors.New("the driver takes no more bytes"))
	}
}

func (s *serialPort) writeAll(p []byte) (int, error) {
	done := 0
	for stuck := 0; done < len(p); {
		n, err := s.port.Write(p[done:])
		done += n
		if err != nil && !interrupted(err) {
			return done, lostLine(s.name, err)
		}
		if n > 0 {
			stuck = 0
			continue
		}
		// A driver that keeps accepting no bytes has lost its line.
		if stuck++; stuck > 1000 {
			return done, lostLine(s.name, errors.New("the driver takes no more bytes"))
		}
		time.Sleep(time.Millisecond)
	}
	return done, nil
}

// Close waits for the last bytes to leave, within reason, and hangs up: what is
// in the driver may be the line that lifts the pen.
func (s *serialPort) Close() error {
	if s.closed {
		return nil
	}
	s.closed = true
	drained := make(chan struct{})
	go func() {
		defer close(drained)
		for range 100 { // a drain can be interrupted by any signal
			if err := s.port.Drain(); !interrupted(err) {
				return
			}
		}
	}()
	select {
	case <-drained:
	case <-time.After(2 * time.Second):
	}
	return s.port.Close()
}

// interrupted reports whether a system call was only cut short by a signal.
func interrupted(err error) bool {
	return errors.Is(err, syscall.EINTR) || errors.Is(err, syscall.EAGAIN)
}

// openError puts what can go wrong when a port is opened into words. The
// library recognises missing ports on one system only, so the system's own
// errors are checked as well.
func openError(name string, err error) *fault.Error {
	code := serial.PortErrorCode(-1)
	var pe *serial.PortError
	if errors.As(err, &pe) {
		code = pe.Code()
	}
	e := &fault.Error{Where: name, Err: err}
	switch {
	case code == serial.PortNotFound || errors.Is(err, fs.ErrNotExist) || errors.Is(err, syscall.ENXIO) || errors.Is(err, syscall.ENODEV):
		e.Kind, e.What, e.Do = NoPort, "there is no such port", portsThereAre()
	case code == serial.PermissionDenied || errors.Is(err, fs.ErrPermission):
		e.Kind, e.What, e.Do = NoPermission, "you may not use this port", howToBeLetIn(name)
	case code == serial.PortBusy || errors.Is(err, syscall.EBUSY) || errors.Is(err, errLocked):
		e.Kind, e.What, e.Do = InUse, "the port is in use by another program", "end the other program, or wait until its job is done"
	case code == serial.InvalidSpeed:
		e.Kind, e.What, e.Do = NoPort, "the port cannot run at the machine's baud rate", "set serial.baud in the machine's profile to one that port and machine share"
	default:
		e.Kind, e.What, e.Do = NoPort, "this is not a serial port that can be used: "+err.Error(), portsThereAre()
	}
	return e
}
