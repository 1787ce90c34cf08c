package main

import (
	"github.com/urfave/cli/v2"

	"weftplot/cmd/weftplot/link"
	"weftplot/cmd/weftplot/sending"
	"weftplot/cmd/weftplot/terminal"
	"weftplot/device"
	"weftplot/paths/fault"
	"weftplot/plot/jobfolder"
)

func sendCommand(s terminal.Streams) *cli.Command {
	return newCommand("send", "PROGRAM or DIR", "draws a program, or a job folder, over a serial line",
		withArgument(s, "a program or a job folder", runSend),
		&cli.StringFlag{Name: "port", Usage: "`PORT` of the machine; sim is the built-in simulated plotter"},
		&cli.StringFlag{Name: "machine", Usage: "`NAME` of the machine, or a file of its profile", DefaultText: "the job's"},
		&cli.BoolFlag{Name: "resume", Usage: "go on with a job that broke off, after what its journal proves drawn"},
		&cli.BoolFlag{Name: "homed", Usage: "with --resume: the machine was just brought home, so it knows its place again"},
		&cli.BoolFlag{Name: "anew", Usage: "draw a job that broke off from its beginning"},
		&cli.BoolFlag{Name: "journal", Usage: "with --port sim: keep its cloth and a journal beside the program, so that it can be resumed"},
		&cli.IntFlag{Name: "load", Usage: "of a kit: the `LOAD` to draw; without it the next that is due", DefaultText: "the next that is due"},
		&cli.StringFlag{Name: "copy", Usage: "of a kit: only these `COPIES`, such as 7 or 3,8-12, to repeat some or skip others", DefaultText: "all that are due"},
		&cli.BoolFlag{Name: "rehearse", Usage: "the whole job with the pen up"},
		&cli.BoolFlag{Name: "edge", Usage: "once round what will be drawn, with the pen up"},
		&cli.BoolFlag{Name: "as-it-is", Usage: "draw a program though it is not wholly understood; what it does then, you answer for"},
		&cli.BoolFlag{Name: "yes", Usage: "draw at once, without the offer to rehearse first"},
		&cli.Float64Flag{Name: "sim-speed", Usage: "how many times faster than life the simulated plotter runs", Value: 60},
	)
}

func runSend(c *cli.Context, s terminal.Streams, name string) error {
	port := c.String("port")
	if port == "" {
		return fault.Bad("--port", `"weftplot ports" lists them; sim is the built-in simulated plotter`, "say which port the machine is on")
	}
	factor, err := simSpeed(c)
	if err != nil {
		return err
	}
	if c.Bool("as-it-is") && (c.Bool("rehearse") || c.Bool("edge")) {
		return fault.Bad("--as-it-is", "leave out one of the two", "a rehearsal and an edge are written anew from what is understood, never sent as it is")
	}
	machine, err := machineWanted(c, s)
	if err != nil {
		return err
	}
	bar := terminal.NewProgress(s, c.Bool("quiet"))
	bar.Begin("reading")
	programs, m, err := s.Place().ReadFolder(c.Context, name, machine)
	bar.Done()
	if err != nil {
		return err
	}
	kept := port != link.SimPort || c.Bool("journal")
	toSend, err := sending.OfKit(s, programs, m, sending.KitPart{Load: c.Int("load"), LoadSaid: c.IsSet("load"), Copies: c.String("copy"), Kept: kept})
	if err != nil {
		return err
	}
	again := []string{"send", name, "--port", port}
	for _, flag := range []string{"machine", "load", "copy"} {
		if c.IsSet(flag) {
			again = append(again, "--"+flag, c.String(flag))
		}
	}
	results, err := sending.Send(c.Context, s, sending.Request{
		Again:    again,
		Programs: toSend, Machine: m, Port: port, SimSpeed: factor, Quiet: c.Bool("quiet"), JSON: c.Bool("json"),
		Resume: c.Bool("resume"), Anew: c.Bool("anew"), Journal: c.Bool("journal"), AtOnce: c.Bool("yes"),
		Options: device.Options{Rehearse: c.Bool("rehearse"), Edge: c.Bool("edge"), Homed: c.Bool("homed"), AsItIs: c.Bool("as-it-is")},
	})
	if err == nil && c.Bool("json") {
		err = s.WriteJSON(results)
	}
	return err
}

// machineWanted is the machine that the flag says, and that of this computer.
func machineWanted(c *cli.Context, s terminal.Streams) (jobfolder.Wanted, error) {
	if said := c.String("machine"); said != "" {
		return jobfolder.Wanted{Said: said}, nil
	}
	here, err := s.Desk.Default()
	return jobfolder.Wanted{Here: here}, err
}

// simSpeed reads how many times faster than life the simulated plotter runs.
func simSpeed(c *cli.Context) (float64, error) {
	f := c.Float64("sim-speed")
	if !(f > 0 && f <= 1000) {
		return 0, fault.Bad("--sim-speed", "give a factor above 0 and up to 1000", "%g times as fast is not possible", f)
	}
	return f, nil
}
