package main

import (
	"fmt"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"weftplot/cmd/weftplot/terminal"
	"weftplot/paths/fault"
	"weftplot/plot/disk"
	"weftplot/plot/job"
	"weftplot/plot/language"
	"weftplot/profiles"
)

func profilesCommand(s terminal.Streams) *cli.Command {
	list := func(c *cli.Context) error {
		if c.Args().Present() {
			return fault.Bad("", "weftplot profiles [list, show NAME, check FILE, use FILE]", "profiles does not know %q", c.Args().First())
		}
		return listProfiles(c, s)
	}
	c := newCommand("profiles", "[list, show NAME, check FILE, use FILE]", "what machines, backings and pens are known", list)
	c.Subcommands = []*cli.Command{
		newCommand("list", "", "every built-in profile, a line each", list),
		newCommand("show", "NAME", "one profile as a file, to start your own from", withArgument(s, "the name of a profile", showProfile)),
		newCommand("check", "FILE", "reads a profile of your own and says what is wrong with it", withArgument(s, "the file of a profile", checkProfile)),
		useCommand(s),
	}
	return c
}

// profileLine is one profile in a list.
type profileLine struct {
	Kind  profiles.Kind `json:"kind"`
	Name  string        `json:"name"`
	About string        `json:"about"`
}

func listProfiles(c *cli.Context, s terminal.Streams) error {
	var lines []profileLine
	for _, k := range profiles.Kinds {
		for _, n := range profiles.Names(k) {
			about, err := profiles.About(k, n)
			if err != nil {
				return err
			}
			lines = append(lines, profileLine{k, n, about})
		}
	}
	if c.Bool("json") {
		return s.WriteJSON(lines)
	}
	for _, l := range lines {
		fmt.Fprintf(s.Out, "%-8s %-18s %s\n", l.Kind, l.Name, l.About)
	}
	return nil
}

func showProfile(c *cli.Context, s terminal.Streams, name string) error {
	for _, k := range profiles.Kinds {
		data, err := profiles.Source(k, name)
		if err != nil {
			continue
		}
		if c.Bool("json") {
			return s.WriteJSON(struct {
				Kind profiles.Kind `json:"kind"`
				Name string        `json:"name"`
				TOML string        `json:"toml"`
			}{k, name, string(data)})
		}
		_, err = s.Out.Write(data)
		return err
	}
	var known []string
	for _, k := range profiles.Kinds {
		known = append(known, profiles.Names(k)...)
	}
	return fault.Bad("", fault.Meant("", name, known, `"weftplot profiles list" lists them`), "there is no profile called %q", name)
}

func checkProfile(c *cli.Context, s terminal.Streams, name string) error {
	data, err := disk.Read(s.Path(name), disk.MaxText)
	if err != nil {
		return err
	}
	kind, err := profiles.Check(name, data)
	if err == nil && kind == profiles.MachineKind {
		err = checkMachine(name, data)
	}
	if err != nil {
		return err
	}
	if c.Bool("json") {
		return s.WriteJSON(struct {
			Kind profiles.Kind `json:"kind"`
			OK   bool          `json:"ok"`
		}{kind, true})
	}
	fmt.Fprintf(s.Out, "%s: a good profile of a %s\n", name, kind)
	return nil
}

// checkMachine judges the pen lines of a machine, and its pen times by them.
func checkMachine(name string, data []byte) error {
	m, err := language.ParseMachine(name, data)
	if err != nil {
		return err
	}
	return language.CheckTimes(name, m)
}

func useCommand(s terminal.Streams) *cli.Command {
	return newCommand("use", "FILE or NAME", "makes a machine the one of this computer, where none is said", func(c *cli.Context) error {
		if c.Bool("forget") && c.NArg() == 0 {
			return keepMachine(c, s, "")
		}
		if c.NArg() != 1 || c.Bool("forget") {
			return fault.Bad("", "weftplot profiles use FILE, or weftplot profiles use --forget", "use takes one machine, the file of its profile or its name")
		}
		return keepMachine(c, s, c.Args().First())
	}, &cli.BoolFlag{Name: "forget", Usage: "this computer has no machine of its own any more"})
}

// keepMachine remembers a machine once its profile is found to be sound, and says
// where that is kept.
func keepMachine(c *cli.Context, s terminal.Streams, name string) error {
	if name != "" {
		if _, err := job.ReadMachine(s.Place().Read, name); err != nil {
			return err
		}
	}
	if job.IsFile(name) {
		file, err := filepath.Abs(s.Path(name))
		if err != nil {
			return fmt.Errorf("the folder you are in cannot be found: %w", err)
		}
		name = file
	}
	if err := s.Desk.Use(name); err != nil {
		return err
	}
	if c.Bool("json") {
		return s.WriteJSON(map[string]string{"machine": name, "kept_in": s.Desk.File()})
	}
	if name == "" {
		s.Printf("This computer has no machine of its own now; %s is gone.\n", s.Desk.File())
		return nil
	}
	s.Printf("The machine of this computer is %s.\nThat is kept in %s; --machine says another one for once.\n", name, s.Desk.File())
	return nil
}

// machineAsked is the machine that a command is given, else that of this computer,
// else the flag's own default.
func machineAsked(c *cli.Context, s terminal.Streams) (string, error) {
	if !c.IsSet("machine") {
		if m, err := s.Desk.Default(); err != nil || m != "" {
			return m, err
		}
	}
	return c.String("machine"), nil
}

// sayMachine says whose machine a job was made for where none was asked for.
func sayMachine(c *cli.Context, s terminal.Streams, machine string) {
	switch kept := s.Desk.Machine(); {
	case c.IsSet("machine"):
	case machine == job.SimulatedMachine:
		s.Row("made for        practice, the simulated plotter: it can be sent to --port sim only\n" +
			"                your own machine: --machine NAME or FILE; \"profiles use\" keeps it")
	case kept != "":
		s.Row("made for        the machine of this computer, %s", kept)
	}
}
