package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"weftplot/cmd/weftplot/terminal"
	"weftplot/paths/fault"
	"weftplot/paths/label"
)

// The exit statuses, which stand in the README and in the help as well.
const (
	statusDone    = 0
	statusFailed  = 1   // it failed while doing it: a port, a disk, a machine
	statusBad     = 2   // the request or the input is wrong
	statusNoFit   = 3   // it does not fit: area, limits, channels
	statusStopped = 130 // stopped by the user
)

const statusHelp = `Exit status: 0 done; 1 it failed while doing it; 2 the request or the input is wrong; 3 it does not fit; 130 stopped by the user.`

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
	fmt.Fprintf(&b, "weftplot: %v\n", err)
	var f *fault.Error
	if errors.As(err, &f) && f.Do != "" {
		fmt.Fprintf(&b, "  what to do: %s\n", f.Do)
	}
	return label.Text(fault.Rename(b.String(), flagOf))
}

// failure is an error as --json prints it.
type failure struct {
	Where  string `json:"where"`  // file, line, element, setting or port; may be empty
	What   string `json:"what"`   // is wrong
	Do     string `json:"do"`     // about it; may be empty
	State  string `json:"state"`  // how a machine was left; empty where none was moved
	Status int    `json:"status"` // the exit status
}

// failureOf returns an error as --json prints it.
func failureOf(err error) failure {
	words := func(text string) string { return label.Text(fault.Rename(text, flagOf)) }
	f := failure{What: words(err.Error()), Status: status(err)}
	var e *fault.Error
	if errors.As(err, &e) {
		f.Do, f.State = words(e.Do), words(e.State)
		if err.Error() == e.Error() { // else the words round it matter too
			f.Where, f.What = words(e.Where), words(e.What)
		}
	}
	return f
}

// asksJSON reports whether a command line asks for JSON. It may be one that cannot
// be read otherwise.
func asksJSON(args []string) bool {
	for _, a := range args {
		switch name, value, given := strings.Cut(strings.TrimLeft(a, "-"), "="); {
		case a == "--":
			return false
		case strings.HasPrefix(a, "-") && name == "json" && (!given || value == "true"):
			return true
		}
	}
	return false
}

// writeFailure prints an error as one line of JSON.
func writeFailure(w io.Writer, err error) {
	line, bad := json.Marshal(map[string]failure{"error": failureOf(err)})
	if bad == nil {
		fmt.Fprintf(w, "%s\n", label.Escape(line))
	}
}
