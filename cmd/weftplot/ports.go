package main

import (
	"fmt"

	"github.com/urfave/cli/v2"

	"weftplot/cmd/weftplot/link"
	"weftplot/cmd/weftplot/terminal"
	"weftplot/device"
	"weftplot/device/line"
	"weftplot/paths/label"
	"weftplot/plot/job"
	"weftplot/profiles"
)

func portsCommand(s terminal.Streams) *cli.Command {
	return newCommand("ports", "", "what is connected",
		func(c *cli.Context) error { return runPorts(c, s) },
		&cli.BoolFlag{Name: "ask", Usage: "find out how each machine is spoken to, without moving anything"},
		&cli.StringFlag{Name: "port", Usage: "ask at this `PORT` only", DefaultText: "all"},
		&cli.StringFlag{Name: "machine", Usage: "`NAME` of the machine whose baud rate is tried, or a file of its profile", Value: "practice"},
	)
}

// portLine is one port in the list. Answers is null where nobody was asked.
type portLine struct {
	Name    string       `json:"name"`
	About   string       `json:"about"`
	Answers []answerLine `json:"answers"`
	Trouble string       `json:"trouble,omitempty"`
}

// answerLine is a flow control that a machine answers to.
type answerLine struct {
	Flow string `json:"flow"`
	Says string `json:"says"`
}

func runPorts(c *cli.Context, s terminal.Streams) error {
	ports, err := line.Ports()
	if err != nil {
		return err
	}
	if only := c.String("port"); only != "" {
		ports = []line.PortInfo{{Name: only}}
	}
	lines := []portLine{}
	for _, p := range ports {
		lines = append(lines, portLine{Name: p.Name, About: p.About})
	}
	if c.Bool("ask") {
		name, err := machineAsked(c, s)
		if err != nil {
			return err
		}
		m, err := job.ReadMachine(s.Place().Read, name)
		if err != nil {
			return err
		}
		for i := range lines {
			lines[i].ask(c, m)
		}
	} else {
		lines = append(lines, portLine{Name: link.SimPort, About: "the built-in simulated plotter"})
	}
	if c.Bool("json") {
		return s.WriteJSON(lines)
	}
	for _, l := range lines {
		fmt.Fprintf(s.Out, "%-24s %s\n", label.Clean(l.Name, label.Line), label.Clean(l.About, label.Line))
		for _, a := range l.Answers {
			fmt.Fprintf(s.Out, "  answers as %s: %s\n", a.Flow, label.Clean(a.Says, label.Line))
		}
		switch {
		case l.Trouble != "":
			fmt.Fprintf(s.Out, "  %s\n", l.Trouble)
		case l.Answers != nil && len(l.Answers) == 0:
			fmt.Fprintf(s.Out, "  does not answer: it may be switched off, run at another baud rate, or only listen\n")
		}
	}
	return nil
}

// ask finds out which flow controls the machine at a port answers to.
func (l *portLine) ask(c *cli.Context, m profiles.Machine) {
	l.Answers = []answerLine{}
	port, err := line.Open(l.Name, m.Serial)
	if err != nil {
		l.Trouble = err.Error()
		return
	}
	defer port.Close()
	manners, err := device.Ask(c.Context, port, m.Serial)
	if err != nil {
		l.Trouble = err.Error()
	}
	for _, a := range manners {
		l.Answers = append(l.Answers, answerLine{string(a.Flow), a.Says})
	}
}
