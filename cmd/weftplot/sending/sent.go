package sending

import (
	"context"
	"fmt"
	"path/filepath"

	"weftplot/cmd/weftplot/link"
	"weftplot/cmd/weftplot/terminal"
	"weftplot/device"
	"weftplot/device/sim"
	"weftplot/paths"
	"weftplot/paths/label"
	"weftplot/plot/figures"
	"weftplot/profiles"
)

// Sent says what became of one program, and is the answer to --json.
type Sent struct {
	File       string     `json:"file"`                // of the program
	Strokes    int        `json:"strokes"`             // drawn
	DrawMM     float64    `json:"draw_mm"`             // drawn
	Proof      string     `json:"proof"`               // how it is known that it is drawn
	TimeS      float64    `json:"time_s"`              // taken
	PredictedS float64    `json:"predicted_s"`         // under look-ahead
	Rehearsal  bool       `json:"rehearsal"`           // with the pen up
	Simulated  *simulated `json:"simulated,omitempty"` // null on a real machine
	byClock    bool
}

// simulated compares the simulated plotter's cloth with what was asked.
type simulated struct {
	Asked       int     `json:"asked"`
	Drawn       int     `json:"drawn"`
	Matched     int     `json:"matched"`
	DeviationMM float64 `json:"deviation_mm"`
}

// SendOver sends one program, showing how it gets on, and compares, on the
// simulated plotter, what came onto the cloth with what was asked.
//
// While it sends, no signal ends the program before the lift was sent.
func SendOver(ctx context.Context, line *link.Link, prog Program, m profiles.Machine, opt device.Options, bar *terminal.Progress, signals *terminal.Signals) (Sent, error) {
	guard := signals.Guard()
	defer guard.Release()
	opt.Hurry = guard.Hurried
	watched := watchLift(line, m, guard.Safe)
	opt.Progress = watched.progress(shown(bar))
	out, err := device.Send(ctx, watched, prog.OnMachine(m), opt)
	bar.Done()
	r := Sent{File: prog.File, Strokes: out.Strokes, DrawMM: out.DrawnMM, Proof: out.Proof.String(), byClock: out.Proof == device.ByClock, TimeS: out.Seconds, PredictedS: out.Predicted, Rehearsal: opt.Rehearse || opt.Edge}
	if err != nil || !line.Simulated() {
		return r, err
	}
	var want []paths.Stroke
	if !r.Rehearsal {
		want = prog.wanted()
	}
	rep := sim.Compare(want, line.Since(), max(prog.Within, 0.05)+m.Step())
	if line.Kept() && !rep.Same() {
		return r, nil // earlier runs drew the rest: the whole cloth is compared at the end
	}
	r.Simulated = &simulated{rep.Wanted, rep.Drawn, rep.Matched, rep.Deviation}
	if !rep.Same() {
		return r, fmt.Errorf("the simulated plotter drew something else: %s", rep)
	}
	return r, nil
}

// shown returns a callback that shows progress on the bar: by the length drawn or,
// where nothing is drawn, by time.
func shown(bar *terminal.Progress) func(device.Progress) {
	whole := 0.0 // s
	return func(p device.Progress) {
		done, total := p.DrawnMM, p.TotalMM
		if total == 0 {
			whole = max(whole, p.SecondsLeft)
			done, total = 10*(whole-p.SecondsLeft), 10*whole
		}
		bar.Show("sending", words(p), int(done), int(total))
	}
}

// words describe the state of a job.
func words(p device.Progress) string {
	switch {
	case p.State == device.Waiting:
		return "held, the pen is up: g goes on, s stops"
	case p.State != device.Drawing:
		return p.State.String()
	case p.TotalMM == 0:
		return "pen up, " + figures.Minutes(p.SecondsLeft) + " left"
	}
	text := fmt.Sprintf("%.2f of %.2f m, %s left, stroke %d of %d", p.DrawnMM/1000, p.TotalMM/1000, figures.Minutes(p.SecondsLeft), p.Stroke, p.Strokes)
	if p.Layer != "" {
		text += ", " + label.Clean(p.Layer, label.Line)
	}
	return text
}

// PrintSent says what became of a program.
func PrintSent(s terminal.Streams, r Sent) {
	what := "drawn"
	if r.Rehearsal {
		what = "gone through with the pen up"
	}
	if r.byClock {
		what = "sent, and by the clock " + what + " (predicted: the machine does not say where its pen goes; look for missing strokes and stray lines)"
	}
	fmt.Fprintf(s.Out, "%s: %s in %s, %s predicted\n", label.Clean(filepath.Base(r.File), label.Line), what, figures.Minutes(r.TimeS), figures.Minutes(r.PredictedS))
	switch {
	case r.Simulated == nil:
	case r.Rehearsal:
		fmt.Fprintln(s.Out, "the simulated plotter's pen stayed up: nothing came onto its cloth")
	default:
		fmt.Fprintf(s.Out, "on the simulated plotter's cloth: %d of %d strokes as asked, none of them off by more than %.3f mm\n",
			r.Simulated.Matched, r.Simulated.Asked, r.Simulated.DeviationMM)
	}
}
