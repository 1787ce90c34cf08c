package main

import (
	"fmt"

	"github.com/urfave/cli/v2"

	"weftplot/cmd/weftplot/terminal"
	"weftplot/paths/fault"
	"weftplot/plot/job"
	"weftplot/plot/language"
	"weftplot/profiles"
)

func profilesCommand(s terminal.Streams) *cli.Command {
	list := func(c *cli.Context) error {
		if c.Args().Present() {
			return fault.Bad("", "weftplot profiles [list, show NAME, check FILE]", "profiles does not know %q", c.Args().First())
		}
		return listProfiles(c, s)
	}
	c := newCommand("profiles", "[list, show NAME, check FILE]", "what machines, backings and pens are known", list)
	c.Subcommands = []*cli.Command{
		newCommand("list", "", "every built-in profile, a line each", list),
		newCommand("show", "NAME", "one profile as a file, to start your own from", withArgument(s, "the name of a profile", showProfile)),
		newCommand("check", "FILE", "reads a profile of your own and says what is wrong with it", withArgument(s, "the file of a profile", checkProfile)),
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
	return fault.Bad("", `"weftplot profiles list" lists them`, "there is no profile called %q", name)
}

func checkProfile(c *cli.Context, s terminal.Streams, name string) error {
	data, err := job.ReadFile(s.Path(name), job.MaxText)
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
