// Weftplot gets a rug maker's design onto woven backing with a pen plotter: it
// reads the design, mirrors it, snaps it to the weave, orders the strokes for
// the least pen travel, shows a dry run, and draws by HP-GL or G-code over a
// serial line.
package main

import (
	"context"
	"fmt"
	"os"
	"runtime"
	"runtime/debug"

	"weftplot/cmd/weftplot/desk"
	"weftplot/cmd/weftplot/terminal"
)

func main() { os.Exit(Main()) }

// Main runs the program with the process's own arguments and streams, and
// returns its exit status. The first signal stops it safely, with the pen up; what
// later ones do is told by [terminal.Signals].
func Main() int {
	useMemory()
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

const (
	// memory is how many bytes are aimed at: what is no longer needed is given back
	// sooner near it. What is needed is bounded by the readers.
	memory = 440 << 20
	// room is how many bytes are taken before anything is given back. A job of 1,000 strokes
	// is done by then: giving back again and again from the runtime's 4 MB on would take
	// it a third of its time.
	room = 96 << 20
	// leastHeap is the heap at which the runtime collects first at 100 percent.
	leastHeap = 4 << 20
	// percent is how much more than what is needed is taken, later, before memory is given back.
	percent = 200
)

// useMemory tells the runtime when to give back what is no longer needed, unless the
// environment of the process says it.
func useMemory() {
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(memory)
	}
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(100 * room / leastHeap)
		// This is the first thing to be given back, and so tells of the first collection.
		runtime.AddCleanup(new([64]byte), func(percent int) { debug.SetGCPercent(percent) }, percent)
	}
}
