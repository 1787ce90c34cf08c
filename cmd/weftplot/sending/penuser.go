package sending

import (
	"bufio"
	"context"
	"fmt"
	"strings"
	"weftplot/cmd/weftplot/terminal"
	"weftplot/paths/fault"
	"weftplot/paths/label"
)

// penUser asks the person at the machine for a pen, or to go on.
type penUser struct {
	s     terminal.Streams
	keys  *terminal.Keyboard // nil where there are no single keys
	bar   *terminal.Progress // to be taken away while a question stands
	lines *bufio.Scanner
}

// change asks for the next pen between two programs.
func (u *penUser) change(ctx context.Context, pen string) error {
	return u.ask(ctx, "put in the pen "+pen)
}

// confirm asks whether all is drawn, where the machine does not say so.
func (u *penUser) confirm(ctx context.Context) (bool, error) {
	u.bar.Done()
	p, err := u.keys.Ask(ctx, "all was sent, and should be drawn by now; this machine does not say where its pen goes\n"+
		"look at the cloth for missing strokes and stray lines. keys: d it is all drawn, n it is not: ", "dn")
	fmt.Fprintln(u.s.Err)
	return p == 'd', err
}

// ask says what to do and waits for a line. Where nobody can answer, that is an
// error: a job must not go on with the wrong pen.
func (u *penUser) ask(ctx context.Context, what string) error {
	what = label.Clean(what, label.Line)
	if !terminal.OnTerminal(u.s.In) {
		return fault.Bad("", "send it from a terminal",
			"the job waits for you (%s), and nobody is at a terminal to say that it is done", strings.TrimSpace(what))
	}
	if u.bar != nil {
		u.bar.Done()
	}
	if u.keys != nil {
		return u.askKeys(ctx, what)
	}
	fmt.Fprintf(u.s.Err, "%s, then press Enter: ", what)
	if u.lines == nil {
		u.lines = bufio.NewScanner(u.s.In)
	}
	answered := make(chan bool, 1)
	go func() { answered <- u.lines.Scan() }()
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-answered:
		return nil
	}
}

// askKeys is ask with single keys.
func (u *penUser) askKeys(ctx context.Context, what string) error {
	p, err := u.keys.Ask(ctx, what+", then press Enter; s stops the job: ", "\ns")
	fmt.Fprintln(u.s.Err)
	if err == nil && p == 's' {
		err = terminal.Left("stopped instead of going on")
	}
	return err
}
