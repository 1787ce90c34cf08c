package live

import (
	"testing"
	"time"

	"weftplot/profiles"
)

// deaf is a line on which a read never ends, not even when the line is shut.
type deaf struct{}

func (deaf) Read([]byte) (int, error)    { select {} }
func (deaf) Write(b []byte) (int, error) { return len(b), nil }
func (deaf) Close() error                { return nil }

// A plotter is switched off though a read of its line does not end.
func TestClosedWhileAReadGoesOn(t *testing.T) {
	m, err := profiles.MachineNamed("practice")
	if err != nil {
		t.Fatal(err)
	}
	s := newServer(m, 1000)
	s.far, s.shut = deaf{}, func() {}
	s.begin()
	closed := make(chan error, 1)
	go func() { closed <- s.Close() }()
	select {
	case err := <-closed:
		if err != nil {
			t.Error(err)
		}
	case <-time.After(10 * time.Second):
		t.Fatal("it is waited for a read that does not end")
	}
}
