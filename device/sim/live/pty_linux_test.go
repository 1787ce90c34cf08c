package live

import (
	"os"
	"testing"
	"time"

	"golang.org/x/sys/unix"

	"weftplot/profiles"
)

// connected returns a plotter behind a pseudo-terminal whose time does not pass.
func connected(t *testing.T) *Server {
	t.Helper()
	m, err := profiles.MachineNamed("practice")
	if err != nil {
		t.Fatal(err)
	}
	s := newServer(m, 1000)
	if !s.connect() {
		t.Skip("no pseudo-terminals here")
	}
	return s
}

// A read of the line ends when the line is shut, though another program still holds
// the plotter's end.
func TestShutWhileAnotherHoldsTheLine(t *testing.T) {
	s := connected(t)
	other, err := os.OpenFile(s.Path, os.O_RDWR|unix.O_NOCTTY, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	read := make(chan error, 1)
	go func() {
		_, err := s.far.Read(make([]byte, 1))
		read <- err
	}()
	time.Sleep(10 * time.Millisecond) // most likely it waits in the read by then
	s.shut()
	select {
	case err := <-read:
		if err == nil {
			t.Error("something was read")
		}
	case <-time.After(10 * time.Second):
		t.Fatal("the read does not end")
	}
}

// A write that nobody reads is given up.
func TestWriteThatNobodyReads(t *testing.T) {
	s := connected(t)
	defer s.shut()
	wrote := make(chan int, 1)
	go func() {
		n, _ := s.far.Write(make([]byte, 1<<20))
		wrote <- n
	}()
	select {
	case n := <-wrote:
		if n == 1<<20 {
			t.Errorf("%d bytes were taken", n)
		}
	case <-time.After(20 * time.Second):
		t.Fatal("the write does not end")
	}
}
