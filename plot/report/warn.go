package report

import (
	"fmt"
	"math"
	"regexp"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/plot"
	"weftplot/plot/figures"
	"weftplot/plot/job"
	"weftplot/plot/language"
	"weftplot/profiles"
)

// Warning is something about a job that a person should look at.
type Warning struct {
	Code    string      `json:"code"`            // kebab-case
	Message string      `json:"message"`         // a sentence without a full stop
	At      *[2]float64 `json:"at_mm,omitempty"` // x, y
}

// Plain is the message for a person with the cloth.
func (w Warning) Plain() string {
	return onLines.ReplaceAllString(inTheDesign.ReplaceAllString(w.Message, "in the design: "), "")
}

// inTheDesign is the place of a note in the text of a file, which tells nothing to a
// person who drew it in a drawing program. The report keeps it.
var inTheDesign = regexp.MustCompile(`^line \d+(, [^:]*)?: `)

// onLines are the places of further notes of a kind.
var onLines = regexp.MustCompile(`(, the next)? on line \d+(, \d+)*`)

// warnings collects what a person should look at before drawing.
func warnings(j plot.Job) []Warning {
	c := collector{Job: j, found: []Warning{}}
	for _, r := range j.PenRuns {
		if r.DotsLeftOut > 0 {
			c.warnf(nil, "dots-not-cut", "%d dots are left out: a blade that does not move cuts nothing", r.DotsLeftOut)
		}
	}
	for _, n := range j.Inputs.Design.Notes {
		c.found = append(c.found, Warning{Code: n.Code, Message: job.NoteText(n)})
	}
	c.warnSize()
	c.warnMargin()
	c.warnWeave()
	c.warnFine()
	c.warnPens()
	for _, d := range c.Doubts() {
		if d.Code != "words-left-out" { // the note says that already
			c.warnf(nil, d.Code, "%s", d.Message)
		}
	}
	if c.Kit != nil {
		for _, n := range c.Kit.Notes {
			c.warnf(nil, n.Code, "%s", n.Message)
		}
	}
	if c.Panels != nil {
		for _, n := range c.Panels.Notes {
			c.warnf(nil, n.Code, "%s", n.Message)
		}
	}
	c.warnWords()
	c.warnLine()
	if j.MergedMM > 0.5 {
		c.warnf(nil, "doubles-merged", "%.1f cm of line stand twice in the design and are drawn once: a marker that passes twice blots", j.MergedMM/10)
	}
	return c.found
}

// A collector collects the warnings of a job.
type collector struct {
	plot.Job
	found []Warning
}

// warnf adds a warning. The place is in the frame "drawn", nil where there is none.
func (c *collector) warnf(place *paths.Point, code, format string, args ...any) {
	w := Warning{Code: code, Message: fmt.Sprintf(format, args...)}
	if place != nil && len(c.Loads) < 2 { // in several loads it lies at another place in each
		m := c.Registration.Point(c.Grid.PlaceOf(*place))
		w.At = &[2]float64{figures.Round(m.X), figures.Round(m.Y)}
	}
	c.found = append(c.found, w)
}

// warnSize says where the finished size is not quite the one asked for.
func (c *collector) warnSize() {
	size := sizeOf(c.Job)
	if n := math.Min(size.nx, size.ny); n > 0 && n < weave.LeastChannels {
		c.warnf(nil, "few-channels", "the rug is only %.1f channels the short way", n)
	}
	for _, way := range []struct {
		side      string
		asked     paths.Length
		got       float64
		bordered  bool
		pitch     float64
		nChannels float64
	}{
		{"wide", c.Settings.Width, size.w, c.Settings.Border != "", c.Grid.Across, c.Layout.NX},
		{"high", c.Settings.Height, size.h, c.Settings.Border != "", c.Grid.Along, c.Layout.NY},
	} {
		if d := way.got - float64(way.asked); way.asked > 0 && math.Abs(d) > 0.05 {
			why := "its outer line went into a channel"
			if way.bordered {
				why = fmt.Sprintf("with a border it is a whole number of channels, %.0f", way.nChannels)
			}
			if c.Band != nil && c.Settings.RepeatWay() == job.GiveSize {
				why = fmt.Sprintf("the motifs along the border close at %.0f channels", way.nChannels)
			}
			c.warnf(nil, "size-rounded", "the rug is %.1f mm %s, not %.1f: %s", way.got, way.side, float64(way.asked), why)
		}
	}
}

// warnMargin questions a margin that a person said and that takes much cloth: more than
// a foot, which is twice what frames commonly ask for (common practice), and more than
// half of the rug's longer side.
func (c *collector) warnMargin() {
	size := sizeOf(c.Job)
	if c.Margin <= 12*paths.MMPerInch || c.Margin <= max(size.w, size.h)/2 {
		return
	}
	c.warnf(nil, "margin-large", "a margin of %s on every side makes it %s x %s of cloth for a rug of %s x %s: is that meant?",
		paths.Length(c.Margin).Both(), paths.Length(size.w+2*c.Margin).Both(), paths.Length(size.h+2*c.Margin).Both(),
		paths.Length(size.w).Both(), paths.Length(size.h).Both())
}

// warnWeave adds the warnings of snapping, whose places are in the frame "drawn",
// and of registration, whose places are on the machine.
func (c *collector) warnWeave() {
	c.warnRhythms()
	for _, w := range c.Moves.Warnings {
		c.warnf(&w.At, w.Code, "%s", w.Message)
	}
	if r := c.Registration.Report(); r != nil {
		for _, w := range r.Warnings {
			c.found = append(c.found, Warning{w.Code, w.Message, &[2]float64{figures.Round(w.At.X), figures.Round(w.At.Y)}})
		}
	}
}

// warnFine says how many strokes are smaller than a row of loops: they do not survive
// being worked (common practice).
func (c *collector) warnFine() {
	gauge, err := c.Settings.GaugeOn(c.Grid)
	if err != nil {
		return // it was refused long before
	}
	n := 0
	var first *paths.Point
	for _, s := range c.Drawn {
		b := s.Bounds()
		if b.Width() < gauge.Across && b.Height() < gauge.Along {
			if n == 0 {
				middle := b.Centre()
				first = &middle
			}
			n++
		}
	}
	if n > 0 {
		c.warnf(first, "too-fine", "%d of the strokes are smaller than a row of loops and will hardly show; the first lies here", n)
	}
}

// warnPens says where a pen does not suit what it is to do.
func (c *collector) warnPens() {
	if why := language.TimesWrong(c.Inputs.Machine); why != "" {
		c.warnf(nil, "pen-time", "the time foretold is wrong, since a pen time in the profile of %q is: %s", c.Inputs.Machine.Name, why)
	}
	for _, r := range c.PenRuns {
		if stray := c.Stray(r.Pen); stray > float64(c.Settings.Tolerance)*(1+1e-9) {
			c.warnf(nil, "unit-too-coarse", "%q counts in units of %.3g mm, too coarse for the tolerance of %.3g mm: what %s draws is within %.3g mm",
				c.Inputs.Machine.Name, c.Inputs.Machine.Step(), float64(c.Settings.Tolerance), r.Pen.Name, math.Ceil(stray*1000)/1000)
		}
		if r.Pen.Force > 0 && c.Inputs.Machine.Language == profiles.GCode {
			c.warnf(nil, "force-not-said", "%s asks for a force of %d, and G-code has no instruction for it: set it at the machine", r.Pen.Name, r.Pen.Force)
		}
		if r.Pen.Transfers && c.Settings.Transfer != job.IronOn {
			c.warnf(nil, "pen-transfers", "%s is for paper that is ironed on, and this job is %s", r.Pen.Name, c.Settings.Transfer)
		}
	}
}

// OnFront takes a place on the machine to the front of the finished rug, mm from its
// lower left corner, as far as the cloth is known.
func OnFront(j plot.Registered, at paths.Point) paths.Point {
	front := j.Mirror(j.Rug.Min.X + j.Rug.Max.X)
	machine := func(p paths.Point) paths.Point { return j.Registration.Point(j.Grid.PlaceOf(front.Apply(p))) }
	// A measured cloth bends a little; its middle stands for all of it.
	c := j.Rug.Centre()
	const step = 1
	o := machine(c)
	x, y := machine(c.Add(paths.Point{X: step})).Sub(o), machine(c.Add(paths.Point{Y: step})).Sub(o)
	m := paths.Affine{A: x.X / step, B: x.Y / step, C: y.X / step, D: y.Y / step, E: o.X, F: o.Y}
	if inv, ok := m.Inverse(); ok {
		return inv.Apply(at).Add(c)
	}
	return at
}
