package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"weftplot/paths/fault"

	"github.com/urfave/cli/v2"
	"golang.org/x/term"
)

// streams are what a command reads and writes, and the folder that relative
// file names start from.
type streams struct {
	in       io.Reader
	out, err io.Writer
	dir      string
	// tty is the person's terminal, put back when the program ends; nil is an
	// own one for whoever needs it.
	tty *terminal
	// interrupt does what Ctrl-C does, for terminals that make a key of it; nil
	// nothing.
	interrupt func()
}

// path returns a file name as seen from the folder the program was started in.
func (s streams) path(name string) string {
	if filepath.IsAbs(name) {
		return name
	}
	return filepath.Join(s.dir, name)
}

// onTerminal reports whether w is a terminal.
func onTerminal(w any) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// run runs one command line and returns the exit status.
func run(ctx context.Context, args []string, s streams) int {
	app := newApp(s)
	args, err := arrange(app, args)
	if err == nil {
		err = app.RunContext(ctx, args)
	}
	if err != nil {
		fmt.Fprint(s.err, explain(err))
	}
	return status(err)
}

// newApp declares the commands. The library would end the process, or answer a
// usage error on the standard output; both are taken from it here.
func newApp(s streams) *cli.App {
	app := &cli.App{
		Name:      "weftplot",
		Usage:     "draws a rug pattern onto woven backing with a pen plotter",
		UsageText: "weftplot COMMAND [flags] [arguments]",
		Description: "Lengths carry their unit: 24in, 24-1/2in, 2ft, 61cm, 610mm. " +
			"Results go to the standard output, progress and warnings to the standard error.\n\n" + statusHelp,
		Reader: s.in, Writer: s.out, ErrWriter: s.err,
		HideHelpCommand:           true,
		HideVersion:               true,
		DisableSliceFlagSeparator: true,
		ExitErrHandler:            func(*cli.Context, error) {},
		Commands: []*cli.Command{
			demoCommand(s), checkCommand(s), prepareCommand(s), previewCommand(s),
			sendCommand(s), registerCommand(s), scanCommand(s), portsCommand(s), profilesCommand(s), benchCommand(s),
		},
		Action: func(c *cli.Context) error {
			if c.Args().Present() {
				return unknownCommand(c.App, c.Args().First())
			}
			return cli.ShowAppHelp(c)
		},
	}
	usage := func(_ *cli.Context, err error, _ bool) error { return usageFault(err) }
	app.OnUsageError = usage
	var each func([]*cli.Command)
	each = func(cmds []*cli.Command) {
		for _, c := range cmds {
			c.OnUsageError = usage
			c.HideHelpCommand = true
			each(c.Subcommands)
		}
	}
	each(app.Commands)
	return app
}

func usageFault(err error) error {
	return fault.Bad("", `"weftplot COMMAND --help" lists the flags`, "%s",
		strings.Replace(err.Error(), "flag provided but not defined: -", "there is no flag --", 1))
}

func unknownCommand(app *cli.App, name string) error {
	var names []string
	for _, c := range app.Commands {
		names = append(names, c.Name)
	}
	return fault.Bad("", "the commands are "+strings.Join(names, ", "), "there is no command %q", name)
}

// The flags that every command takes.
func outputFlags() []cli.Flag {
	return []cli.Flag{
		&cli.BoolFlag{Name: "json", Usage: "print one JSON document and nothing else"},
		&cli.BoolFlag{Name: "quiet", Usage: "no progress"},
	}
}

// oneArgument returns the only argument of a command.
func oneArgument(c *cli.Context, what string) (string, error) {
	if c.NArg() != 1 {
		return "", fault.Bad("", "weftplot "+c.Command.Name+" "+c.Command.ArgsUsage,
			"%s takes %s, and %d arguments were given", c.Command.Name, what, c.NArg())
	}
	return c.Args().First(), nil
}
