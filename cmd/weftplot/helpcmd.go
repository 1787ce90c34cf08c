package main

import (
	"fmt"
	"runtime/debug"
	"strings"

	"github.com/urfave/cli/v2"

	"weftplot/cmd/weftplot/manual"
	"weftplot/cmd/weftplot/terminal"
)

// The commands that tell about the program itself.
func aboutCommands(s terminal.Streams) []*cli.Command {
	version := newCommand("version", "", "of what source the program was built", func(c *cli.Context) error { return printVersion(c, s) })
	version.Hidden = true
	return []*cli.Command{
		{Name: "help", ArgsUsage: "[COMMAND] [all]", Usage: "says what a command does, with its flags and examples",
			Action: func(c *cli.Context) error { return printHelp(c, s) }},
		{Name: "completion", ArgsUsage: "bash, zsh, fish or powershell", Usage: "prints the script by which a shell completes what is typed",
			Action: withArgument(s, "the name of a shell", func(c *cli.Context, s terminal.Streams, shell string) error {
				text, err := manual.Completion(c.App.Name, shell)
				fmt.Fprint(s.Out, text)
				return err
			})},
		{Name: "man", Usage: "prints the manual page",
			Action: func(c *cli.Context) error { fmt.Fprint(s.Out, described(c.App, s).Roff()); return nil }},
		version,
	}
}

// described is all there is to say about the commands.
func described(app *cli.App, s terminal.Streams) manual.Program {
	b := build()
	return manual.Describe(app, b.Short(), b.Date, s.Desk.Machine())
}

func build() manual.Build {
	info, _ := debug.ReadBuildInfo()
	return manual.BuildOf(info)
}

func printVersion(c *cli.Context, s terminal.Streams) error {
	if c.Bool("json") {
		return s.WriteJSON(build())
	}
	fmt.Fprintf(s.Out, "%s %s\n", c.App.Name, build())
	return nil
}

// printHelp prints the help of the program, or of the command that is named.
func printHelp(c *cli.Context, s terminal.Streams) error {
	p, words := described(c.App, s), c.Args().Slice()
	if len(words) == 0 {
		fmt.Fprint(s.Out, p.Screen())
		return nil
	}
	all := len(words) > 1 && words[len(words)-1] == "all"
	if all {
		words = words[:len(words)-1]
	}
	page, ok := p.Page(words)
	if !ok {
		return unknownCommand(c.App, strings.Join(words, " "))
	}
	fmt.Fprint(s.Out, page.Screen(p.Name, all))
	return nil
}

// complete prints what the last of the words of a line may become.
func complete(app *cli.App, s terminal.Streams, words []string) {
	if len(words) > 0 && words[0] == manual.Pointed {
		words = words[1:]
		if n := len(words); n > 0 {
			words[n-1] = strings.TrimPrefix(words[n-1], ".")
		}
	}
	for _, c := range described(app, s).Candidates(words) {
		fmt.Fprintln(s.Out, c)
	}
}
