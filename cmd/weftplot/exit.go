package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"weftplot/cmd/weftplot/terminal"
	"weftplot/paths/fault"
)

// The exit statuses, which stand in the README and in the help as well.
const (
	statusDone    = 0
	statusFailed  = 1   // it failed while doing it: a port, a disk, a machine
	statusBad     = 2   // the request or the input is wrong
	statusNoFit   = 3   // it does not fit: area, limits, channels
	statusStopped = 130 // stopped by the user
)

const statusHelp = `Exit status: 0 done; 1 it failed while doing it; 2 the request or the input is
wrong; 3 it does not fit; 130 stopped by the user.`

// status returns the exit status of an error.
func status(err error) int {
	switch {
	case err == nil:
		return statusDone
	case errors.Is(err, context.Canceled):
		return statusStopped
	case errors.Is(err, fault.Fit):
		return statusNoFit
	case errors.Is(err, fault.Input):
		return statusBad
	}
	return statusFailed
}

// flagOf returns what a person at the command line calls a setting that a library
// names in square brackets: the flag of that name, "" where no command has one.
func flagOf(setting string) string {
	for _, c := range newApp(terminal.Streams{}).Commands {
		for _, f := range c.Flags {
			if slices.Contains(f.Names(), setting) {
				return "--" + setting
			}
		}
	}
	return ""
}

// explain writes an error for a person: what and where on one line, what to do
// about it on the next.
func explain(err error) string {
	var b strings.Builder
	if err == context.Canceled {
		err = terminal.Left("stopped")
	}
	fmt.Fprintf(&b, "weftplot: %v\n", err)
	var f *fault.Error
	if errors.As(err, &f) && f.Do != "" {
		fmt.Fprintf(&b, "  what to do: %s\n", f.Do)
	}
	return fault.Rename(b.String(), flagOf)
}
