// Package arguments puts the words of a command line in the order in which the flag
// library reads them.
package arguments

import (
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"weftplot/paths/fault"
)

// Arrange puts the flags of a command line before its other arguments, so that
// a flag may stand anywhere: the flag library stops at the first argument and
// would take a later flag for a file name. A question for help or for the version
// becomes the command that answers it. A flag that the command does not have is a
// [fault.Input] that names it as it was typed.
func Arrange(app *cli.App, args []string) ([]string, error) {
	if len(args) == 0 {
		return []string{app.Name}, nil
	}
	path, cmd, rest := commandOf(app, args[1:])
	if cmd == nil {
		return arrangeFlagsOnly(args, rest)
	}
	var flags, plain []string
	for i := 0; i < len(rest); i++ {
		a := rest[i]
		switch {
		case a == "--":
			plain = append(plain, rest[i+1:]...)
			i = len(rest)
		case len(a) < 2 || a[0] != '-':
			plain = append(plain, a)
		case asksHelp(a):
			return append([]string{args[0], "help"}, path...), nil
		case !hasFlag(cmd, flagName(a)):
			return nil, unknownFlag(path, cmd, a)
		case strings.Contains(a, "=") || !takesValue(cmd, flagName(a)):
			flags = append(flags, a)
		case i+1 == len(rest):
			return nil, fault.Bad("", `"weftplot `+strings.Join(path, " ")+` --help" lists the flags`, "the flag %s needs a value", a)
		default:
			flags = append(flags, a, rest[i+1])
			i++
		}
	}
	out := append([]string{args[0]}, path...)
	out = append(append(out, flags...), "--")
	return append(out, plain...), nil
}

// commandOf finds the command that the words of args name, and returns its
// words and everything else in order.
func commandOf(app *cli.App, args []string) (path []string, cmd *cli.Command, rest []string) {
	find := app.Command
	for i, a := range args {
		if strings.HasPrefix(a, "-") {
			if cmd != nil && takesValue(cmd, strings.TrimLeft(a, "-")) && !strings.Contains(a, "=") {
				return path, cmd, append(rest, args[i:]...) // its value may look like a command
			}
			rest = append(rest, a)
			continue
		}
		next := find(a)
		if next == nil {
			return path, cmd, append(rest, args[i:]...)
		}
		path, cmd = append(path, next.Name), next
		sub := next.Subcommands
		find = func(name string) *cli.Command {
			for _, c := range sub {
				if c.HasName(name) {
					return c
				}
			}
			return nil
		}
	}
	return path, cmd, rest
}

// arrangeFlagsOnly arranges a line that names no command. rest are its words.
func arrangeFlagsOnly(args, rest []string) ([]string, error) {
	for _, a := range rest {
		switch {
		case asksHelp(a):
			return []string{args[0], "help"}, nil
		case a == "--version":
			line := []string{args[0], "version"}
			if slices.Contains(rest, "--json") {
				line = append(line, "--json")
			}
			return line, nil
		case len(a) > 1 && strings.HasPrefix(a, "-") && a != "--json" && a != "--quiet":
			return nil, unknownFlag(nil, nil, a)
		case !strings.HasPrefix(a, "-"):
			return []string{args[0], a}, nil // of which it is said that there is no such command
		}
	}
	return args[:1], nil
}

func asksHelp(word string) bool { return word == "--help" || word == "-help" || word == "-h" }

// flagName is the name in a flag as it is typed, with its dashes and perhaps a value.
func flagName(typed string) string {
	name, _, _ := strings.Cut(strings.TrimLeft(typed, "-"), "=")
	return name
}

func hasFlag(cmd *cli.Command, name string) bool {
	for _, f := range cmd.Flags {
		if slices.Contains(f.Names(), name) {
			return true
		}
	}
	return false
}

// takesValue reports whether the named flag of a command is followed by a value.
func takesValue(cmd *cli.Command, name string) bool {
	for _, f := range cmd.Flags {
		for _, n := range f.Names() {
			if n == name {
				_, isBool := f.(*cli.BoolFlag)
				return !isBool
			}
		}
	}
	return false
}

// unknownFlag is the fault of a flag that a command does not have, as it was typed.
func unknownFlag(path []string, cmd *cli.Command, typed string) error {
	typed, _, _ = strings.Cut(typed, "=")
	var known []string
	if cmd != nil {
		for _, f := range cmd.Flags {
			known = append(known, f.Names()...)
		}
	}
	known = append(known, "help", "version")
	help := strings.Join(append([]string{"weftplot help"}, path...), " ")
	if cmd != nil && cmd.Name == "prepare" || cmd != nil && cmd.Name == "check" {
		help += " all"
	}
	return fault.Bad("", fault.Meant("--", strings.TrimLeft(typed, "-"), known, `"`+help+`" lists the flags`), "there is no flag %s", typed)
}
