package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/label"
	"weftplot/paths/weave"
	"weftplot/plot"
	"weftplot/plot/job"
)

// Sheet returns sheet.txt, one page for the person at the frame, with the warnings
// of the job's report.
func Sheet(j plot.Job, r Report, opt Options) []byte {
	var b strings.Builder
	p := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	item := func(text string) { b.WriteString(wrap("  - ", text, 78)) }

	size := sizeOf(j)
	w, h := size.w, size.h
	p("%s", strings.ToUpper(j.Settings.Name))
	p("")
	b.WriteString(wrap("", "You look at "+job.DrawnSide(j.Settings.Craft, j.Settings.Transfer).Words+".", 78))
	p("")
	p("SIZE")
	p("  finished rug    %s x %s", paths.Length(w).Both(), paths.Length(h).Both())
	p("  in channels     %s across x %s along", channels(size.nx), channels(size.ny))
	p("  backing to cut  %s x %s", paths.Length(w+2*j.Margin).Both(), paths.Length(h+2*j.Margin).Both())
	p("                  %s left on every side for frame and hem", paths.Length(j.Margin).Both())
	sheetBorder(j, p)
	p("")
	p("WEAVE")
	p("  %s, counted %s, across x along", j.Inputs.Backing.Name, j.Count)
	sheetWeave(j, func(text string) { item(fault.Rename(text, opt.Names)) })
	p("")
	p("MACHINE AND PENS")
	p("  %s, %s", j.Inputs.Machine.Name, j.Inputs.Machine.Language)
	corner := j.Registration.Point(j.Grid.PlaceOf(j.Rug.Min))
	p("  lower left corner of the rug at %.1f mm, %.1f mm on the machine", corner.X, corner.Y)
	if j.Turned() {
		p("  lay the cloth turned by a quarter: the top of the drawing to the left")
	}
	for i, run := range j.PenRuns {
		p("  %d. %-18s %s: %d strokes, %.2f m drawn, %.2f m travel, %s", i+1, run.Pen.Name, run.File,
			run.Totals.Strokes, run.Totals.DrawMM/1000, run.Totals.TravelMM/1000, Minutes(run.Timing.Total))
	}
	sheetSnap(j, p)
	sheetWarnings(r.Warnings, p, item)
	p("")
	p("BEFORE AND AFTER")
	for _, s := range steps(j) {
		item(s)
	}
	p("")
	p("CAUTIONS (the maker's manual, local rules and qualified advice come first)")
	for _, s := range Cautions(j) {
		item(s)
	}
	return []byte(label.Text(b.String()))
}

// sheetWarnings lists the first warnings.
func sheetWarnings(ws []Warning, p func(string, ...any), item func(string)) {
	if len(ws) == 0 {
		return
	}
	p("")
	p("LOOK AT")
	const most = 12
	for i, w := range ws {
		if i == most {
			item(fmt.Sprintf("and %d more, in report.json", len(ws)-most))
			return
		}
		item(w.Message)
	}
}

func sheetBorder(j plot.Job, p func(string, ...any)) {
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
	p("                  then %d rows free at least before the artwork", j.Settings.ClearRows())
}

func sheetWeave(j plot.Job, item func(string)) {
	if j.Inputs.Backing.Note != "" {
		item(j.Inputs.Backing.Note)
	}
	if r := j.Registration.Report(); r != nil {
		for _, s := range r.Words {
			item(s)
		}
		return
	}
	size := sizeOf(j)
	item(fmt.Sprintf("No marks were given, so the cloth must lie square to the machine and count as said: %.0f channels in %.1f cm across, %.0f in %.1f cm along. One thread out of 48 drifts by %.1f mm over the height; count, and give [count] or [marks] if it differs.",
		math.Round(size.nx), size.w/10, math.Round(size.ny), size.h/10, size.h/48))
}

func sheetSnap(j plot.Job, p func(string, ...any)) {
	if len(j.Moves.Lines) == 0 {
		return
	}
	p("")
	p("LINES IN CHANNELS (counted from the lower left corner, as drawn)")
	p("  with how far each moved to get there, in mm; those that lie together stand once")
	for _, a := range []weave.Axis{weave.Across, weave.Along} {
		moved := map[int]float64{}
		var channels []int
		for _, l := range j.Moves.Lines {
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
	p("  the farthest moved %.2f mm", j.Moves.MaxMoved)
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
