// Weftplot gets a rug maker's design onto woven backing with a pen plotter: it
// reads the design, mirrors it, snaps it to the weave, orders the strokes for
// the least pen travel, shows a dry run, and draws by HP-GL or G-code over a
// serial line.
package main

import (
	"context"
	"os"
	"os/signal"
)

func main() { os.Exit(Main()) }

// Main runs the program with the process's own arguments and streams, and
// returns its exit status. The first interrupt stops it safely; a second one
// ends it at once.
func Main() int {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	interrupts := make(chan os.Signal, 2)
	signal.Notify(interrupts, os.Interrupt)
	go func() {
		<-interrupts
		cancel()
		<-interrupts
		os.Exit(statusStopped)
	}()
	return run(ctx, os.Args, streams{in: os.Stdin, out: os.Stdout, err: os.Stderr, dir: "."})
}
