// Weftplot gets a rug maker's design onto woven backing with a pen plotter: it
// reads the design, mirrors it, snaps it to the weave, orders the strokes for
// the least pen travel, shows a dry run, and draws by HP-GL or G-code over a
// serial line.
package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"syscall"
	"weftplot/cmd/weftplot/terminal"
)

func main() { os.Exit(Main()) }

// Main runs the program with the process's own arguments and streams, and
// returns its exit status. The first interrupt stops it safely, with the pen up; a
// second one ends it at once. A closed terminal (SIGHUP) and SIGTERM count as
// interrupts.
func Main() int {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	interrupts := make(chan os.Signal, 2)
	for _, sig := range []os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGQUIT, syscall.SIGHUP} {
		if !signal.Ignored(sig) { // as whoever started the program may wish
			signal.Notify(interrupts, sig)
		}
	}
	tty := &terminal.Terminal{}
	defer tty.Restore()
	go func() {
		<-interrupts
		cancel()
		<-interrupts
		tty.Restore()
		fmt.Fprintln(os.Stderr, "\nweftplot: left at once; if a machine was drawing, lift its pen by hand")
		os.Exit(statusStopped)
	}()
	s := terminal.Streams{In: os.Stdin, Out: os.Stdout, Err: os.Stderr, Dir: ".", TTY: tty}
	s.Interrupt = func() { interrupts <- os.Interrupt }
	return run(ctx, os.Args, s)
}
