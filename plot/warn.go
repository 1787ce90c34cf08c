package plot

import (
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/profiles"
)

// warn collects what a person should look at before drawing.
func (j *Job) warn() {
	for _, n := range j.Inputs.Design.Notes {
		j.Warnings = append(j.Warnings, Warning{Code: n.Code, Message: designNote(n)})
	}
	j.warnSize()
	j.warnWeave()
	j.warnFine()
	j.warnPens()
	j.warnLine()
	if j.MergedMM > 0.5 {
		j.warnf(nil, "doubles-merged", "%.1f cm of line stand twice in the design and are drawn once: a marker that passes twice blots", j.MergedMM/10)
	}
}

func (j *Job) warnf(place *paths.Point, code, format string, args ...any) {
	w := Warning{Code: code, Message: fmt.Sprintf(format, args...)}
	if place != nil {
		m := j.Registration.Point(j.Grid.PlaceOf(*place))
		w.At = &[2]float64{round(m.X), round(m.Y)}
	}
	j.Warnings = append(j.Warnings, w)
}

// designNote writes a reader's note with its place in the file.
func designNote(n paths.Note) string {
	switch {
	case n.Line > 0 && n.Element != "":
		return fmt.Sprintf("line %d, %s: %s", n.Line, n.Element, n.Message)
	case n.Line > 0:
		return fmt.Sprintf("line %d: %s", n.Line, n.Message)
	}
	return n.Message
}

// warnSize says where the finished size is not quite the one asked for.
func (j *Job) warnSize() {
	w, h := j.finished()
	if n := math.Min(w/j.Grid.Across, h/j.Grid.Along); n > 0 && n < weave.LeastChannels {
		j.warnf(nil, "few-channels", "the rug is only %.1f channels the short way", n)
	}
	for _, c := range []struct {
		side      string
		asked     paths.Length
		got       float64
		bordered  bool
		pitch     float64
		nChannels float64
	}{
		{"wide", j.Settings.Width, w, j.Settings.Border != "", j.Grid.Across, j.Layout.NX},
		{"high", j.Settings.Height, h, j.Settings.Border != "", j.Grid.Along, j.Layout.NY},
	} {
		if d := c.got - float64(c.asked); c.asked > 0 && math.Abs(d) > 0.05 {
			why := "its outer line went into a channel"
			if c.bordered {
				why = fmt.Sprintf("with a border it is a whole number of channels, %.0f", c.nChannels)
			}
			j.warnf(nil, "size-rounded", "the rug is %.1f mm %s, not %.1f: %s", c.got, c.side, float64(c.asked), why)
		}
	}
}

// warnWeave takes over what snapping and registration warn of. The places of
// the first are in the frame "drawn", of the second on the machine.
func (j *Job) warnWeave() {
	for _, w := range j.Snapped.Warnings {
		j.warnf(&w.At, w.Code, "%s", w.Message)
	}
	if r := j.Registration.Report(); r != nil {
		for _, w := range r.Warnings {
			j.Warnings = append(j.Warnings, Warning{w.Code, w.Message, &[2]float64{round(w.At.X), round(w.At.Y)}})
		}
	}
}

// warnFine says how many shapes are too small to be worked: detail finer than a
// couple of rows of loops does not survive (common practice).
func (j *Job) warnFine() {
	n := 0
	var first *paths.Point
	for _, s := range j.Drawn {
		b := s.Bounds()
		if b.Width() < 2*j.Grid.Across && b.Height() < 2*j.Grid.Along {
			if n == 0 {
				c := b.Centre()
				first = &c
			}
			n++
		}
	}
	if n > 0 {
		j.warnf(first, "too-fine", "%d of the strokes are smaller than two rows of loops and will hardly show; the first lies here", n)
	}
}

// warnPens says where a pen does not suit what it is to do.
func (j *Job) warnPens() {
	for _, r := range j.Runs {
		if r.Pen.Force > 0 && j.Inputs.Machine.Language == profiles.GCode {
			j.warnf(nil, "force-not-said", "%s asks for a force of %d, and G-code has no instruction for it: set it at the machine", r.Pen.Name, r.Pen.Force)
		}
		switch {
		case r.Pen.Blade && j.Settings.Transfer == Direct:
			j.warnf(nil, "blade-on-backing", "%s cuts, and this job is drawn straight on the backing: give --transfer tracing or iron-on for a paper pattern", r.Pen.Name)
		case r.Pen.Transfers != (j.Settings.Transfer == IronOn):
			if r.Pen.Transfers {
				j.warnf(nil, "pen-transfers", "%s is for paper that is ironed on, and this job is %s", r.Pen.Name, j.Settings.Transfer)
			} else {
				j.warnf(nil, "pen-does-not-transfer", "%s leaves a line that no iron turns over; use a heat-transfer pen for an iron-on job", r.Pen.Name)
			}
		}
	}
}
