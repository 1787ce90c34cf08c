package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"weftplot/cmd/weftplot/arguments"
	"weftplot/cmd/weftplot/manual"
	"weftplot/cmd/weftplot/terminal"
	"weftplot/paths/fault"
)

// run runs one command line and returns the exit status.
func run(ctx context.Context, args []string, s terminal.Streams) int {
	s.Names = flagOf
	app, asked := newApp(s), asksJSON(args)
	if len(args) > 1 && args[1] == manual.CompleteCommand {
		complete(app, s, args[2:])
		return statusDone
	}
	args, err := arguments.Arrange(app, args)
	if err == nil {
		err = app.RunContext(ctx, args)
	}
	if err == context.Canceled {
		err = terminal.Left("stopped")
	}
	if err != nil {
		fmt.Fprint(s.Err, terminal.Fit(s.Err, explain(err)))
		if asked {
			writeFailure(s.Out, err)
		}
	}
	return status(err)
}

// newApp declares the commands. It keeps the flag library from ending the process
// and from printing usage errors to the standard output.
func newApp(s terminal.Streams) *cli.App {
	app := &cli.App{
		Name:      "weftplot",
		Usage:     "draws a rug pattern onto woven backing with a pen plotter",
		UsageText: "weftplot COMMAND [flags] [arguments]",
		Description: `Lengths carry their unit: 24in, 24", 24-1/2in, 2ft, 61cm, 610mm; on the rug 216rows counts holes.` +
			"\n\n" + "Results go to the standard output, progress and warnings to the standard error. " + statusHelp,
		Reader: s.In, Writer: s.Out, ErrWriter: s.Err,
		HideHelp:                  true,
		HideVersion:               true,
		DisableSliceFlagSeparator: true,
		ExitErrHandler:            func(*cli.Context, error) {},
		Commands: append([]*cli.Command{
			benchCommand(s), demoCommand(s), scanCommand(s), letterCommand(s), checkCommand(s), prepareCommand(s), previewCommand(s),
			sendCommand(s), registerCommand(s), portsCommand(s), profilesCommand(s),
		}, aboutCommands(s)...),
		Action: func(c *cli.Context) error {
			if c.Args().Present() {
				return unknownCommand(c.App, c.Args().First())
			}
			return printHelp(c, s)
		},
	}
	usage := func(_ *cli.Context, err error, _ bool) error { return usageFault(err) }
	app.OnUsageError = usage
	var each func([]*cli.Command)
	each = func(cmds []*cli.Command) {
		for _, c := range cmds {
			c.OnUsageError = usage
			c.HideHelp = true
			each(c.Subcommands)
		}
	}
	each(app.Commands)
	return app
}

func usageFault(err error) error {
	return fault.Bad("", `"weftplot help COMMAND" lists the flags`, "%s", strings.Replace(err.Error(), "for flag -", "for the flag --", 1))
}

func unknownCommand(app *cli.App, name string) error {
	var names []string
	for _, c := range app.Commands {
		if !c.Hidden {
			names = append(names, c.Name)
		}
	}
	return fault.Bad("", fault.Meant("", name, names, "the commands are "+strings.Join(names, ", ")), "there is no command %q", name)
}

// The flags that every command takes.
func outputFlags() []cli.Flag {
	return []cli.Flag{
		&cli.BoolFlag{Name: "json", Usage: "print one JSON document and nothing else"},
		&cli.BoolFlag{Name: "quiet", Usage: "no progress"},
	}
}

// newCommand declares a command, with its own flags before those that every command
// takes. Its arguments, for the help, may be empty.
func newCommand(name, arguments, usage string, run cli.ActionFunc, flags ...cli.Flag) *cli.Command {
	return &cli.Command{Name: name, ArgsUsage: arguments, Usage: usage, Flags: append(flags, outputFlags()...), Action: run}
}

// withArgument returns the action of a command that takes one argument, which is
// called what.
func withArgument(s terminal.Streams, what string, run func(*cli.Context, terminal.Streams, string) error) cli.ActionFunc {
	return func(c *cli.Context) error {
		if c.NArg() != 1 {
			return fault.Bad("", "weftplot "+c.Command.Name+" "+c.Command.ArgsUsage,
				"%s takes %s, and %d arguments were given", c.Command.Name, what, c.NArg())
		}
		return run(c, s, c.Args().First())
	}
}
