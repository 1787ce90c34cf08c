package bench

import (
	"weftplot/cmd/weftplot/keptcloth"
	"weftplot/device/line"
	"weftplot/device/sim"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot"
	"weftplot/profiles"
)

// simPort is the name of the built-in simulated plotter as a port, simMachine
// the machine that it is, and simFactor how many times faster than life it runs.
const (
	simPort    = "sim"
	simMachine = "practice"
	simFactor  = 60
)

// link is an open line to a machine, or to the simulated plotter.
type link struct {
	line.Port
	server *sim.Server      // nil for a real machine
	cloth  *keptcloth.Cloth // the simulated plotter's; nil for a real machine, and where nothing is drawn
}

// openLine opens a port by name. A machine that is only simulated is not to be
// found on a real port.
func openLine(port string, m profiles.Machine, c *keptcloth.Cloth) (*link, error) {
	if port != simPort {
		if m.Name == simMachine {
			return nil, fault.Bad("port", "choose the port sim to learn on, or the machine that is on this port", "machine %s is only simulated, and %s is a real port", m.Name, port)
		}
		p, err := line.Open(port, m.Serial)
		if err != nil {
			return nil, err
		}
		return &link{Port: p}, nil
	}
	server := sim.Serve(m, simFactor)
	p, err := server.Open()
	if err != nil {
		server.Close()
		return nil, err
	}
	if c != nil {
		p = keptcloth.Watch(p, server, c)
	}
	return &link{Port: p, server: server, cloth: c}, nil
}

// Close hangs up, and switches the simulated plotter off. Its cloth is kept.
func (l *link) Close() error {
	err := l.Port.Close()
	if l.server != nil {
		l.server.Close()
	}
	return err
}

// compared says in a sentence how what lies on the simulated cloth agrees with
// what was asked; "" for a real machine, and for a blade, whose holder goes other
// ways than its line.
func (l *link) compared(j plot.Job) string {
	if l.server == nil || l.cloth == nil {
		return ""
	}
	var want []paths.Stroke
	for _, r := range j.PenRuns {
		if r.OnCloth() == nil {
			return ""
		}
		want = append(want, r.OnCloth()...)
	}
	tol := max(float64(j.Settings.Tolerance), 0.05) + j.Inputs.Machine.Step()
	words, _ := l.cloth.Compare(want, l.server.Cloth().Strokes(), tol)
	return words
}
