// Package link opens the line to a machine, or to the built-in simulated plotter,
// whose cloth it can keep and compare with what was asked. Every command and the
// page reach machines through it.
package link

import (
	"weftplot/cmd/weftplot/keptcloth"
	"weftplot/device/line"
	"weftplot/device/sim/live"
	"weftplot/paths"
	"weftplot/plot/job"
	"weftplot/profiles"
)

// SimPort is the name of the built-in simulated plotter as a port.
const SimPort = "sim"

// SimSpeed is how many times faster than life the simulated plotter runs where
// nothing else is said.
const SimSpeed = 60

// Suits reports whether a machine may be reached over a port: one that is only
// simulated is on no real port, and has not a real machine's reach and speeds.
func Suits(port string, m profiles.Machine) bool {
	return port == SimPort || m.Name != job.SimulatedMachine
}

// Link is an open line to a machine, or to the built-in simulated plotter.
type Link struct {
	line.Port
	server *live.Server     // nil for a real machine
	cloth  *keptcloth.Cloth // of the simulated plotter; nil where it is not kept
	seen   int              // strokes on the simulated plotter's cloth that are accounted for
}

// Open opens a port by name; the simulated plotter runs factor times faster than
// life. A port that cannot be opened is an error of package device.
func Open(name string, m profiles.Machine, factor float64) (*Link, error) {
	if name != SimPort {
		port, err := line.Open(name, m.Serial)
		return &Link{Port: port}, err
	}
	server := live.Serve(m, factor)
	port, err := server.Open()
	if err != nil {
		server.Close()
		return nil, err
	}
	return &Link{Port: port, server: server}, nil
}

// Close closes the port, and switches the simulated plotter off. A cloth that is
// kept stays.
func (l *Link) Close() error {
	err := l.Port.Close()
	if l.server != nil {
		l.server.Close()
	}
	return err
}

// KeepOn keeps what the simulated plotter draws on a cloth.
func (l *Link) KeepOn(c *keptcloth.Cloth) {
	l.cloth = c
	l.Port = keptcloth.Watch(l.Port, l.server, c)
}

// Simulated reports whether the line leads to the simulated plotter.
func (l *Link) Simulated() bool { return l.server != nil }

// Kept reports whether the simulated plotter's cloth is kept.
func (l *Link) Kept() bool { return l.cloth != nil }

// Since returns the strokes that came onto the simulated plotter's cloth since it
// was called last.
func (l *Link) Since() []paths.Stroke {
	drawn := l.server.Cloth().Strokes()
	fresh := drawn[l.seen:]
	l.seen = len(drawn)
	return fresh
}

// Drawn returns all strokes on the simulated plotter's cloth, in mm on the machine.
func (l *Link) Drawn() []paths.Stroke { return l.server.Cloth().Strokes() }

// Keep writes down all that lies on a kept cloth.
func (l *Link) Keep() error {
	if p, ok := l.Port.(*keptcloth.Port); ok {
		return p.Keep()
	}
	return nil
}

// Compare says in a sentence how a kept cloth, with what earlier runs drew on it,
// agrees with what was asked, within mm, and whether it does.
func (l *Link) Compare(want []paths.Stroke, within float64) (words string, same bool) {
	return l.cloth.Compare(want, l.server.Cloth().Strokes(), within)
}
