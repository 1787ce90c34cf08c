package sending

import (
	"weftplot/cmd/weftplot/keptcloth"
	"weftplot/device/line"
	"weftplot/device/sim"
	"weftplot/profiles"
)

// SimPort is the name of the built-in simulated plotter as a port.
const SimPort = "sim"

// Link is an open line to a machine, or to the built-in simulated plotter.
type Link struct {
	line.Port
	server *sim.Server      // nil for a real machine
	cloth  *keptcloth.Cloth // of the simulated plotter; nil where it is not kept
	seen   int              // strokes on the simulated plotter's cloth that are accounted for
}

// OpenLink opens a port by name; the simulated plotter runs factor times faster
// than life. A port that cannot be opened is an error of package device.
func OpenLink(name string, m profiles.Machine, factor float64) (*Link, error) {
	if name != SimPort {
		port, err := line.Open(name, m.Serial)
		return &Link{Port: port}, err
	}
	server := sim.Serve(m, factor)
	port, err := server.Open()
	if err != nil {
		server.Close()
		return nil, err
	}
	return &Link{Port: port, server: server}, nil
}

// Close closes the port, and stops the simulated plotter.
func (l *Link) Close() error {
	err := l.Port.Close()
	if l.server != nil {
		l.server.Close()
	}
	return err
}

// keepOn keeps what the simulated plotter draws on a cloth.
func (l *Link) keepOn(c *keptcloth.Cloth) {
	l.cloth = c
	l.Port = keptcloth.Watch(l.Port, l.server, c)
}
