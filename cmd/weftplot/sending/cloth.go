package sending

import (
	"errors"
	"fmt"

	"weftplot/cmd/weftplot/keptcloth"
	"weftplot/cmd/weftplot/link"
	"weftplot/paths"
)

// keepCloth puts a cloth under the simulated pen that is kept beside the first
// program, where that is asked for: a new one, or to resume the one that lies
// there.
func (x *sending) keepCloth() error {
	if !x.drawing() || !x.Journal || x.Port != link.SimPort {
		return nil
	}
	c, err := keptcloth.Beside(x.s.Path(x.Programs[0].File), x.Resume)
	if err != nil {
		return err
	}
	x.link.KeepOn(c)
	// The simulated plotter was switched on a moment ago, at home.
	x.Options.Homed = x.Options.Homed || x.Resume
	return nil
}

// compareCloth compares a kept cloth, with what earlier runs drew on it, with
// what all programs ask for.
func (x *sending) compareCloth() error {
	if !x.link.Kept() {
		return nil
	}
	var want []paths.Stroke
	within := 0.05
	for _, p := range x.Programs {
		want = append(want, p.wanted()...)
		within = max(within, p.Within)
	}
	words, same := x.link.Compare(want, within+x.Machine.Step())
	if !same {
		return errors.New(words)
	}
	if !x.JSON {
		fmt.Fprintln(x.s.Out, words)
	}
	return nil
}

// wanted is what a program is to put on the cloth.
func (prog Program) wanted() []paths.Stroke {
	if prog.Want != nil {
		return prog.Want
	}
	return prog.Program.Program.Strokes()
}
