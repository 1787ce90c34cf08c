package main

import (
	"context"
	"fmt"
	"io"

	"weftplot/device"
	"weftplot/plot/report"
)

// sayCautions prints what must be said before a machine moves.
func sayCautions(w io.Writer) {
	fmt.Fprintln(w, "before the machine moves (the maker's manual, local rules and qualified advice come first):")
	for _, c := range report.MotionCautions() {
		fmt.Fprintf(w, "  - %s\n", c)
	}
}

// offer lets a person at a terminal see the way of the pen before the first run
// on a piece of cloth: a line on cloth cannot be taken back. The simulated
// plotter has cloth to spare.
func (x *sending) offer(ctx context.Context) error {
	if x.keys == nil || x.port == simPort || x.keep.begun(x.s, x.loads[0], x.m) {
		return nil
	}
	for {
		fmt.Fprint(x.s.err, "nothing of this job is on this cloth yet\n"+
			"keys: e once round its edge with the pen up, r rehearse all of it with the pen up, d draw, q leave: ")
		p, err := x.keys.ask(ctx, "erdq")
		if err != nil {
			fmt.Fprintln(x.s.err)
			return err
		}
		fmt.Fprintf(x.s.err, "%c\n", p)
		switch p {
		case 'd':
			return nil
		case 'q':
			return left("left before anything was drawn")
		}
		if err := x.all(ctx, device.Options{Edge: p == 'e', Rehearse: p == 'r'}); err != nil {
			return err
		}
	}
}
