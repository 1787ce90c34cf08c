package plot

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/profiles"
)

// Sheet returns sheet.txt: one page for the person at the frame.
func (j *Job) Sheet() []byte {
	var b strings.Builder
	p := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	item := func(text string) { b.WriteString(wrap("  - ", text, 78)) }

	w, h := j.finished()
	p("%s", strings.ToUpper(j.Settings.Name))
	p("")
	b.WriteString(wrap("", "You look at "+DrawnSide(j.Settings.Craft, j.Settings.Transfer).Words+".", 78))
	p("")
	p("SIZE")
	p("  finished rug    %s x %s", paths.Length(w).Both(), paths.Length(h).Both())
	p("  in channels     %s across x %s along", channels(w/j.Grid.Across), channels(h/j.Grid.Along))
	p("  backing to cut  %s x %s", paths.Length(w+2*j.Margin).Both(), paths.Length(h+2*j.Margin).Both())
	p("                  %s left on every side for frame and hem", paths.Length(j.Margin).Both())
	j.sheetBorder(p)
	p("")
	p("WEAVE")
	p("  %s, counted %s, across x along", j.Inputs.Backing.Name, j.Count)
	j.sheetWeave(item)
	p("")
	p("MACHINE AND PENS")
	p("  %s, %s", j.Inputs.Machine.Name, j.Inputs.Machine.Language)
	corner := j.Registration.Point(j.Grid.PlaceOf(j.Rug.Min))
	p("  lower left corner of the rug at %.1f mm, %.1f mm on the machine", corner.X, corner.Y)
	for i, r := range j.Runs {
		p("  %d. %-18s %s: %d strokes, %.2f m drawn, %.2f m travel, %s", i+1, r.Pen.Name, j.FileName(i),
			r.Totals.Strokes, r.Totals.DrawMM/1000, r.Totals.TravelMM/1000, Minutes(r.Timing.Total))
	}
	j.sheetSnap(p)
	if len(j.Warnings) > 0 {
		p("")
		p("LOOK AT")
		const most = 12
		for i, w := range j.Warnings {
			if i == most {
				item(fmt.Sprintf("and %d more, in report.json", len(j.Warnings)-most))
				break
			}
			item(w.Message)
		}
	}
	p("")
	p("BEFORE AND AFTER")
	for _, s := range j.steps() {
		item(s)
	}
	p("")
	p("CAUTIONS (the maker's manual, local rules and qualified advice come first)")
	for _, s := range j.Cautions() {
		item(s)
	}
	return []byte(b.String())
}

func (j *Job) sheetBorder(p func(string, ...any)) {
	rows, err := j.Settings.BorderRows()
	if err != nil || rows == nil {
		return
	}
	at := 0
	p("  border          a line at the edge, channel 0")
	for _, n := range rows {
		at += n + 1
		p("                  then %d rows of holes empty, a line in channel %d", n, at)
	}
	p("                  then %d rows free at least before the artwork", j.Settings.Clearance)
}

func (j *Job) sheetWeave(item func(string)) {
	if j.Inputs.Backing.Note != "" {
		item(j.Inputs.Backing.Note)
	}
	if r := j.Registration.Report(); r != nil {
		for _, s := range r.Words {
			item(s)
		}
		return
	}
	w, h := j.finished()
	nx, ny := w/j.Grid.Across, h/j.Grid.Along
	item(fmt.Sprintf("No marks were given, so the cloth must lie square to the machine and count as said: %.0f channels in %.1f cm across, %.0f in %.1f cm along. One thread out of 48 drifts by %.1f mm over the height; count, and give --count or --marks if it differs.",
		math.Round(nx), w/10, math.Round(ny), h/10, h/48))
}

func (j *Job) sheetSnap(p func(string, ...any)) {
	if len(j.Snapped.Lines) == 0 {
		return
	}
	p("")
	p("LINES IN CHANNELS (counted from the lower left corner, as drawn)")
	p("  with how far each moved to get there, in mm; those that lie together stand once")
	for _, a := range []weave.Axis{weave.Across, weave.Along} {
		moved := map[int]float64{}
		var channels []int
		for _, l := range j.Snapped.Lines {
			if l.Axis != a {
				continue
			}
			if _, seen := moved[l.Channel]; !seen {
				channels = append(channels, l.Channel)
			}
			if math.Abs(l.Moved) >= math.Abs(moved[l.Channel]) {
				moved[l.Channel] = l.Moved
			}
		}
		slices.Sort(channels)
		var words []string
		for _, c := range channels {
			words = append(words, fmt.Sprintf("%d(%+.1f)", c, moved[c]))
		}
		if len(words) > 0 {
			p("%s", strings.TrimRight(wrap(fmt.Sprintf("  %-7s", a), strings.Join(words, " "), 78), "\n"))
		}
	}
	p("  the farthest moved %.2f mm", j.Snapped.MaxMoved)
}

// steps are what the person does round the drawing (common practice).
func (j *Job) steps() []string {
	var s []string
	switch j.Settings.Transfer {
	case Direct:
		s = append(s, "Stretch the backing square and drum tight over a stiff, flat support, and clamp the frame.",
			"Test the pen on a scrap of the same backing with water and steam.",
			"Rehearse pen up before the first run on a piece of cloth, and run once round the edge.")
	case Tracing:
		s = append(s, "Tape the paper down flat. Afterwards lay the backing over it on a light table or against a window, threads in line with the border, and trace.")
	case IronOn:
		s = append(s, "Tape the paper down flat. Afterwards pin it to the backing, drawn side to the cloth, so that it stays in register, and iron about 25 seconds a place without sliding until the lines are seen to have taken.",
			"Heat-transfer lines fade with handling: go over them with a permanent marker.")
	}
	if len(j.Runs) > 1 {
		s = append(s, "Do not move the cloth between the pens: every program counts from the same corner.")
	}
	if step := j.wipeStep(); step != "" {
		s = append(s, step)
	}
	for _, r := range j.Runs {
		if r.Pen.Blade {
			s = append(s, bladeStep(r.Pen))
		}
	}
	return append(s, "Look for missed lines before the cloth leaves the frame.")
}

// bladeStep is what to do before a blade cuts.
func bladeStep(p profiles.Pen) string {
	step := fmt.Sprintf("Before the first cut of %s turn the blade by hand so that it points along x, to the right; try depth and force on a scrap.", p.Name)
	if p.RunIn > 0 {
		step = fmt.Sprintf("The first cut of %s, beside the drawing, turns its blade: leave waste there, and try depth and force on a scrap.", p.Name)
	}
	if p.Passes > 1 {
		step += fmt.Sprintf(" Every line is cut %d times.", p.Passes)
	}
	return step
}

// MotionCautions are what must be said to a person before any machine moves.
func MotionCautions() []string {
	return []string{
		"The machine moves by itself: keep hands, hair, sleeves and loose yarn clear, and the stop within reach.",
		"Never leave it running alone. A stop in software is no emergency stop: know where the power goes off.",
		"Switch the power off before changing a pen or freeing cloth. Expect it to move when it starts or the port opens.",
	}
}

// Cautions are what must be said to a person beside this job.
func (j *Job) Cautions() []string {
	c := append(MotionCautions(), "Gripper frames have sharp points: wear gloves when stretching.")
	seen := map[string]bool{}
	for _, r := range j.Runs {
		for _, s := range r.Pen.Cautions {
			if !seen[s] {
				seen[s] = true
				c = append(c, s)
			}
		}
	}
	return c
}

// wrap fills text into lines of at most width characters, the first after
// prefix, the others under its end.
func wrap(prefix, text string, width int) string {
	var b strings.Builder
	line := prefix
	indent := strings.Repeat(" ", len(prefix))
	empty := true
	for _, word := range strings.Fields(text) {
		if !empty && len(line)+1+len(word) > width {
			b.WriteString(line + "\n")
			line, empty = indent, true
		}
		if !empty {
			line += " "
		}
		line += word
		empty = false
	}
	b.WriteString(line + "\n")
	return b.String()
}
