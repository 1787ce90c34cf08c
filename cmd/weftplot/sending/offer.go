package sending

import (
	"context"
	"fmt"
	"io"
	"slices"

	"weftplot/cmd/weftplot/link"
	"weftplot/cmd/weftplot/terminal"
	"weftplot/device"
	"weftplot/plot/report"
)

// SayCautions prints what must be said before a machine moves, and what a job adds
// to it.
func SayCautions(w io.Writer, ofJob ...string) {
	fmt.Fprintln(w, "before the machine moves (the maker's manual, local rules and qualified advice come first):")
	motion := report.MotionCautions()
	for _, c := range ofJob {
		if !slices.Contains(motion, c) {
			motion = append(motion, c)
		}
	}
	for _, c := range motion {
		fmt.Fprintf(w, "  - %s\n", c)
	}
}

// offer lets a person at a terminal rehearse with the pen up before the first run on
// a piece of cloth: a line on cloth cannot be taken back. On the simulated plotter
// there is nothing to spoil.
func (x *sending) offer(ctx context.Context) error {
	if x.keys == nil || x.Port == link.SimPort || x.keep.begun(x.s, x.Programs[0], x.Machine) {
		return nil
	}
	for {
		p, err := x.keys.Ask(ctx, "nothing of this job is on this cloth yet\n"+
			"keys: e once round its edge with the pen up, r rehearse all of it with the pen up, d draw, q leave: ", "erdq")
		if err != nil {
			fmt.Fprintln(x.s.Err)
			return err
		}
		fmt.Fprintf(x.s.Err, "%c\n", p)
		switch p {
		case 'd':
			return nil
		case 'q':
			return terminal.Left("left before anything was drawn")
		}
		if err := x.all(ctx, device.Options{Edge: p == 'e', Rehearse: p == 'r'}); err != nil {
			return err
		}
	}
}
