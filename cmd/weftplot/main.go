// Weftplot gets a rug maker's design onto woven backing with a pen plotter: it
// reads the design, mirrors it, snaps it to the weave, orders the strokes for
// the least pen travel, shows a dry run, and draws by HP-GL or G-code over a
// serial line.
package main

import (
	"context"
	"fmt"
	"os"
	"runtime/debug"

	"weftplot/cmd/weftplot/desk"
	"weftplot/cmd/weftplot/terminal"
)

// memory is how many bytes are aimed at: what is no longer needed is given back
// sooner near it. What is needed is bounded by the readers.
const memory = 440 << 20

func main() { os.Exit(Main()) }

// Main runs the program with the process's own arguments and streams, and
// returns its exit status. The first signal stops it safely, with the pen up; what
// later ones do is told by [terminal.Signals].
func Main() int {
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(memory)
	}
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	tty := &terminal.Terminal{}
	defer tty.Restore()
	signals := terminal.NewSignals(cancel, func() {
		tty.Restore()
		fmt.Fprintln(os.Stderr, "\nweftplot: left at once; if a machine was drawing, look at its pen")
		os.Exit(statusStopped)
	})
	signals.Listen()
	return run(ctx, os.Args, terminal.Streams{In: os.Stdin, Out: os.Stdout, Err: os.Stderr, Dir: ".", TTY: tty, Signals: signals, Desk: desk.Here()})
}
