package main

import (
	"weftplot/device/line"
	"weftplot/device/sim"
	"weftplot/profiles"
)

// link is an open line to a machine, or to the built-in simulated plotter.
type link struct {
	line.Port
	server *sim.Server // nil for a real machine
	seen   int         // strokes on the simulated plotter's cloth that are accounted for
}

// openLink opens a port by name; the simulated plotter runs factor times faster
// than life.
func openLink(name string, m profiles.Machine, factor float64) (*link, error) {
	if name != simPort {
		port, err := line.Open(name, m.Serial)
		return &link{Port: port}, err
	}
	server := sim.Serve(m, factor)
	port, err := server.Open()
	if err != nil {
		server.Close()
		return nil, err
	}
	return &link{Port: port, server: server}, nil
}

// Close hangs up, and switches the simulated plotter off.
func (l *link) Close() error {
	err := l.Port.Close()
	if l.server != nil {
		l.server.Close()
	}
	return err
}
