package dryrun

import (
	"fmt"
	"strings"

	"weftplot/paths/fault"
	"weftplot/plot"
	"weftplot/plot/figures"
	"weftplot/plot/language"
	"weftplot/plot/motion"
	"weftplot/plot/program"
	"weftplot/plot/proof"
	"weftplot/plot/report"
	"weftplot/profiles"
)

// Review is the dry run of a program, or of a part of one, on a machine.
type Review struct {
	Program program.Program  // the part
	Machine profiles.Machine // that runs it
	Summary Summary          // what its bytes say
	// Judgement is what stands against sending it.
	Judgement language.Judgement

	numbers []int // of the strokes of the part
	part    program.Part
	all     int    // strokes of the whole program
	side    string // what the program says of it
	plan    motion.Profile
}

// Summary is what a program's own bytes say of it. Lengths are mm, times s.
type Summary struct {
	Language string      `json:"language"`       // gcode, hpgl or hpgl2
	Strokes  int         `json:"strokes"`        // of the part
	PenLifts int         `json:"pen_lifts"`      // of the part
	DrawMM   float64     `json:"draw_mm"`        // with the pen down
	TravelMM float64     `json:"travel_mm"`      // with the pen up
	TimeS    float64     `json:"time_s"`         // under look-ahead
	Bounds   *[4]float64 `json:"bounds_mm"`      // x0, y0, x1, y1 of what is drawn; null when nothing is
	MaxFeed  float64     `json:"max_feed_mm_s"`  // the greatest that a line is asked for
	MaxSpeed float64     `json:"max_speed_mm_s"` // the greatest that is reached while drawing
	Pens     []int       `json:"pens"`           // the numbers it puts into the holder
	Stops    []Stop      `json:"stops"`          // where it waits for a person
	Limits   []Limit     `json:"limits"`         // those that it breaks
	// NotUnderstood is why send refuses it: a machine may do something else there.
	NotUnderstood []Doubt          `json:"not_understood"`
	Warnings      []report.Warning `json:"warnings"` // all of these, and the reader's notes
}

// Stop is a place where a program waits for a person.
type Stop struct {
	Line int    `json:"line"` // of the program text
	For  string `json:"for"`  // what the program says it is for; may be empty
}

// stopsOf lists the places where p waits for a person.
func stopsOf(p program.Program) []Stop {
	stops := []Stop{}
	for _, b := range p.Blocks {
		if b.Kind == program.Pause {
			stops = append(stops, Stop{b.Line, b.Text})
		}
	}
	return stops
}

// Doubt is something in a program that is not wholly understood.
type Doubt struct {
	report.Warning
	Line  int    `json:"line"`  // of the program text, 0 for all of it
	Words string `json:"words"` // of the text, "" where the message says all
}

// warningOf returns a reader's note as a warning.
func warningOf(n program.Note) report.Warning {
	w := report.Warning{Code: n.Code, Message: language.NoteText(n)}
	if n.At != nil {
		w.At = &[2]float64{figures.Round(n.At.X), figures.Round(n.At.Y)}
	}
	return w
}

// Limit is a broken limit and where it is broken.
type Limit struct {
	report.Warning
	Line int `json:"line"` // of the program text, 0 unknown
}

// New runs a part of p dry, as the machine m would draw it. It fails when p
// has no such strokes or no such pen.
func New(p program.Program, m profiles.Machine, part program.Part) (Review, error) {
	r := Review{Machine: m, part: part, all: len(p.Drawn()), side: sideSaid(p)}
	if err := r.check(p); err != nil {
		return Review{}, err
	}
	if r.Program = p; part != (program.Part{}) {
		r.Program, r.numbers = p.Pick(part)
		if len(r.numbers) == 0 {
			return Review{}, fault.Bad("[pen]", "", "pen %d draws none of these strokes", part.Pen)
		}
	}
	r.plan = motion.Plan(r.Program.Blocks, motion.LimitsOf(m))
	r.Judgement = language.Judge(r.Program, m)
	r.summarize()
	return r, nil
}

// check judges the part that is asked for.
func (r Review) check(p program.Program) error {
	from, to := r.part.From, r.part.To
	switch {
	case (from > 0 || to > 0) && r.all == 0:
		return fault.Bad("[from]", "", "the program draws nothing, so it has no strokes to choose from")
	case from > r.all:
		return fault.Bad("[from]", fmt.Sprintf("give a stroke from 1 to %d", r.all), "the program has no stroke %d", from)
	case to > r.all:
		return fault.Bad("[to]", fmt.Sprintf("give a stroke from 1 to %d", r.all), "the program has no stroke %d", to)
	}
	if r.part.Pen == 0 {
		return nil
	}
	pens := p.Pens()
	for _, n := range pens {
		if n == r.part.Pen {
			return nil
		}
	}
	if len(pens) == 0 {
		return fault.Bad("[pen]", "leave [pen] out", "the program names no pens")
	}
	return fault.Bad("[pen]", fmt.Sprintf("it has %s", numbered("pen", pens)), "the program has no pen %d", r.part.Pen)
}

// numbered writes numbers in words: "pens 1, 2 and 5".
func numbered(what string, n []int) string {
	const most = 8
	s := what
	if len(n) > 1 {
		s += "s"
	}
	for i, v := range n {
		switch {
		case i == most:
			return s + " and more"
		case i == 0:
			s += " "
		case i == len(n)-1:
			s += " and "
		default:
			s += ", "
		}
		s += fmt.Sprint(v)
	}
	return s
}

// summarize fills in the summary of the part, with a warning for each of the reader's notes and
// each limit of the machine that is broken.
func (r *Review) summarize() {
	t := program.Total(r.Program)
	r.Summary = Summary{
		Language: r.Program.Language, Strokes: t.Strokes, PenLifts: t.Lifts,
		DrawMM: figures.Round(t.DrawMM), TravelMM: figures.Round(t.TravelMM),
		TimeS: figures.Round(r.plan.Timing().Total), MaxFeed: figures.Round(t.MaxFeed),
		Bounds: figures.Bounds(t.Bounds), Pens: append([]int{}, r.Program.Pens()...),
		Stops: stopsOf(r.Program), Limits: []Limit{}, NotUnderstood: []Doubt{}, Warnings: []report.Warning{},
	}
	s := &r.Summary
	s.MaxSpeed = figures.Round(r.plan.Fastest(func(i int) bool { return r.Program.Blocks[i].Kind == program.Draw }))
	for _, n := range r.Program.Notes {
		s.Warnings = append(s.Warnings, warningOf(n))
	}
	for _, n := range r.Judgement.Doubts {
		s.Warnings = append(s.Warnings, warningOf(n))
		s.NotUnderstood = append(s.NotUnderstood, Doubt{warningOf(n), n.Line, n.Words})
	}
	for _, b := range r.Judgement.Broken {
		w := report.Warning{Code: b.Code, Message: b.Message, At: &[2]float64{figures.Round(b.At.X), figures.Round(b.At.Y)}}
		s.Warnings = append(s.Warnings, w)
		s.Limits = append(s.Limits, Limit{w, b.Line})
	}
}

// PartWords says which part it is: "strokes 3 to 5 of 12, pen 2"; "" for all.
func (r Review) PartWords() string {
	p := r.part
	s := ""
	if p.From > 0 || p.To > 0 {
		from, to := max(1, p.From), p.To
		if to == 0 {
			to = r.all
		}
		s = fmt.Sprintf("strokes %d to %d of %d", from, to, r.all)
		if from == to {
			s = fmt.Sprintf("stroke %d of %d", from, r.all)
		}
	}
	if p.Pen > 0 {
		if s != "" {
			s += ", "
		}
		s += fmt.Sprintf("pen %d", p.Pen)
	}
	return s
}

// sideSaid tells which side of the rug a program draws, if one of its remarks
// does; it completes "the program ...".
func sideSaid(p program.Program) string {
	for _, b := range p.Blocks {
		if side, ok := strings.CutPrefix(b.Text, plot.SideRemark); ok && b.Kind == program.Remark {
			return "says: " + side
		}
	}
	return "does not say which side of the rug it is"
}

// Scene shows the dry run in the machine frame: the strokes by the speed that is
// reached, travel, order, and the limits that are broken. The lines are as wide
// as those of pen.
func (r Review) Scene(title string, pen profiles.Pen) proof.Scene {
	s := r.Summary
	sc := proof.Scene{
		Title:    title,
		Side:     "what the pen draws, as the machine counts. The program " + r.side,
		Captions: []string{"machine " + r.Machine.Name},
		Machine:  proof.Outline(r.Machine.Reach()),
	}
	if part := r.PartWords(); part != "" {
		sc.Captions = append(sc.Captions, part)
	}
	sc.Captions = append(sc.Captions,
		fmt.Sprintf("%d strokes, %d pen lifts", s.Strokes, s.PenLifts),
		fmt.Sprintf("drawn %.2f m, travel %.2f m", s.DrawMM/1000, s.TravelMM/1000),
		"about "+figures.Minutes(s.TimeS))
	if s.MaxSpeed > 0 {
		sc.Captions = append(sc.Captions, fmt.Sprintf("up to %.3g mm/s", s.MaxSpeed))
	}
	near := newNear(r.Machine)
	sc.Ink = r.ink(near, pen)
	sc.Paces = r.paces(near, float64(pen.Width))
	for _, l := range r.Program.Travels() {
		sc.Travel = append(sc.Travel, near.line(l)...)
	}
	sc.Start, sc.End = r.ends(near)
	sc.Notes = r.marks(near)
	if near.cut {
		sc.Notes = append(sc.Notes, proof.Note{Label: fmt.Sprintf("what lies more than %.0f mm outside the reach is not shown", near.margin)})
	}
	return sc
}
