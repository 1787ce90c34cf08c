package report

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/label"
	"weftplot/paths/weave"
	"weftplot/paths/weave/snap"
	"weftplot/plot"
	"weftplot/plot/figures"
	"weftplot/plot/job"
)

// Sheet returns sheet.txt, one page for the person at the frame, with the warnings
// of the job's report.
func Sheet(j plot.Job, r Report, opt Options) []byte {
	var b strings.Builder
	p := func(format string, args ...any) {
		for _, line := range strings.Split(fmt.Sprintf(format, args...), "\n") {
			b.WriteString(label.Fit(line, label.Columns))
		}
	}
	item := func(text string) { b.WriteString(wrap("  - ", text, label.Columns)) }

	b.WriteString(wrap("", strings.ToUpper(j.Settings.Name), label.Columns))
	p("")
	b.WriteString(wrap("", "You look at "+job.DrawnSide(j.Settings.Craft, j.Settings.Transfer).Words+".", label.Columns))
	p("")
	sheetSize(j, p)
	sheetBorder(j, p)
	for i, line := range repeatOf(j).Words() {
		name := ""
		if i == 0 {
			name = "motifs"
		}
		p("%s", strings.TrimRight(wrap(fmt.Sprintf("  %-15s ", name), line, 78), "\n"))
	}
	for i, line := range makingUpWords(j) {
		name := ""
		if i == 0 {
			name = "making up"
		}
		p("  %-15s %s", name, line)
	}
	p("")
	p("WEAVE")
	p("  %s, counted %s, across x along", j.Inputs.Backing.Name, j.Count)
	sheetWeave(j, func(text string) { item(fault.Rename(text, opt.Names)) })
	sheetMachine(j, p)
	sheetKit(j, r, p)
	sheetPanels(j, r, p)
	sheetPaper(r, p)
	if n := len(j.Moves.Lines); n > 0 {
		p("")
		b.WriteString(wrap("", fmt.Sprintf("%d straight lines lie in channels; the farthest moved %.2f mm to get there. sheet.pdf lists them.", n, farthestMoved(j.Moves)), label.Columns))
	}
	if words := diagonalWords(j.Moves.Diagonals); words != "" {
		p("")
		b.WriteString(wrap("", words, 78))
	}
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

// sheetSize says how large the rug and its backing are.
func sheetSize(j plot.Job, p func(string, ...any)) {
	size := sizeOf(j)
	w, h := size.w, size.h
	p("SIZE")
	p("  finished rug    %s x %s", paths.Length(w).Both(), paths.Length(h).Both())
	p("  in channels     %s across x %s along", figures.Channels(size.nx), figures.Channels(size.ny))
	p("  backing to cut  %s x %s", paths.Length(w+2*j.Margin).Both(), paths.Length(h+2*j.Margin).Both())
	left := "frame and hem"
	if j.Settings.Transfer != job.Direct {
		left = "working and hem"
	}
	p("                  %s left on every side for %s", paths.Length(j.Margin).Both(), left)
}

// sheetMachine says what draws, and with which pens in which order.
func sheetMachine(j plot.Job, p func(string, ...any)) {
	if !j.Settings.HasMachine() {
		return
	}
	p("")
	p("MACHINE AND PENS")
	p("  %s, %s", j.Inputs.Machine.Name, j.Inputs.Machine.Language)
	if j.Kit == nil && len(j.Loads) < 2 {
		p("%s", strings.TrimRight(wrap("  ", cornerWords(j), label.Columns), "\n"))
	}
	if j.Turned() {
		p("  %s", turnedWords)
	}
	for i, words := range penWords(j) {
		p("%s", strings.TrimRight(wrap(fmt.Sprintf("  %d. ", i+1), words, label.Columns), "\n"))
	}
}

// turnedWords says how cloth lies that is turned.
const turnedWords = "lay the cloth turned by a quarter: the top of the drawing to the left"

// cornerWords says where the rug's corner lies on the machine.
func cornerWords(j plot.Job) string {
	return "lower left corner of the rug at " + placeWords(j.Registration.Point(j.Grid.PlaceOf(j.Rug.Min)))
}

// placeWords says where a place of the machine is, and in words where it is negative.
func placeWords(at paths.Point) string {
	text := fmt.Sprintf("%.1f mm, %.1f mm on the machine", at.X, at.Y)
	var sides []string
	if at.X <= -0.05 {
		sides = append(sides, "left of")
	}
	if at.Y <= -0.05 {
		sides = append(sides, "below")
	}
	if len(sides) > 0 {
		text += fmt.Sprintf(": it lies %s the machine's 0,0", strings.Join(sides, " and "))
	}
	return negativeZero.ReplaceAllString(text, "0.0 mm")
}

var negativeZero = regexp.MustCompile(`-0\.0 mm`)

// penWords says what each pen draws, in order.
func penWords(j plot.Job) []string {
	var out []string
	for i, run := range j.PenRuns {
		words := fmt.Sprintf("%s, %s: %s, %.2f m drawn, %.2f m travel, %s", run.Pen.Name, run.File,
			figures.Count(run.Totals.Strokes, "stroke"), run.Totals.DrawMM/1000, run.Totals.TravelMM/1000, figures.Minutes(run.Timing.Total))
		if len(j.Tours) == len(j.PenRuns) && j.Tours[i].TravelBound > 0 { // a kit has no tours
			words += "; " + lessTravel(j.Tours[i].TravelBound, run.Totals.TravelMM)
		}
		out = append(out, words)
	}
	return out
}

// looseBound is from how many per cent on a bound on travel says little: with straight strokes it
// is 1 to 3 below the best known travel, and with large closed ones 10.
const looseBound = 5

// lessTravel says how much less another order could travel, both in mm.
func lessTravel(bound, travel float64) string {
	less := max(0, math.Ceil(1000*(1-bound/travel)-1e-9)) / 10
	words := fmt.Sprintf("no order travels more than %.1f %% less", less)
	if less > looseBound {
		words += "; the limit is rough, and this order may still be the best"
	}
	return words
}

// sheetPaper says what is printed.
func sheetPaper(r Report, p func(string, ...any)) {
	if r.Paper == nil {
		return
	}
	p("")
	p("PAPER")
	p("  paper.pdf: %s of %s, %s", figures.Count(len(r.Paper.Pages), "sheet"), r.Paper.Size, r.Paper.Side)
	p("  print at 100 %% and switch off fitting to the page; measure the squares")
	if n := r.Paper.Presses; n > 0 {
		p("  iron: %d presses, %s; a test on a scrap decides", n, figures.Count(r.Paper.Minutes, "minute"))
	}
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
		item(w.Plain())
	}
}

func sheetBorder(j plot.Job, p func(string, ...any)) {
	for i, line := range borderWords(j.Settings) {
		name := ""
		if i == 0 {
			name = "border"
		}
		p("  %-15s %s", name, line)
	}
	if len(j.ByHand) > 0 {
		p("                  left to be drawn by hand on the cloth, along its channels")
	}
}

// borderWords says in a few words each where the lines of the border lie, none where
// there is no border.
func borderWords(s job.Settings) []string {
	rows, err := s.BorderRows()
	if err != nil || rows == nil {
		return nil
	}
	out, at := []string{"a line at the edge, channel 0"}, 0
	for _, n := range rows {
		at += n + 1
		out = append(out, fmt.Sprintf("then %d rows of holes empty, a line in channel %d", n, at))
	}
	return append(out, fmt.Sprintf("then %d rows free at least before the artwork", s.ClearRows()))
}

func sheetWeave(j plot.Job, item func(string)) {
	for _, s := range weaveWords(j) {
		item(s)
	}
}

// weaveWords says what is known of the cloth.
func weaveWords(j plot.Job) []string {
	var out []string
	item := func(s string) { out = append(out, s) }
	if j.Inputs.Backing.Note != "" {
		item(j.Inputs.Backing.Note)
	}
	if r := j.Registration.Report(); r != nil {
		for _, s := range r.Words {
			item(s)
		}
		return out
	}
	size := sizeOf(j)
	if !j.Settings.HasMachine() {
		item(fmt.Sprintf("The pattern counts as said: %.0f channels in %.1f cm across, %.0f in %.1f cm along. Count the cloth, and give [count] if it differs.",
			math.Round(size.nx), size.w/10, math.Round(size.ny), size.h/10))
		return out
	}
	item(fmt.Sprintf("No marks were given, so the cloth must lie square to the machine and count as said: %.0f channels in %.1f cm across, %.0f in %.1f cm along. One thread out of 48 drifts by %.1f mm over the height; count, and give [count] or [marks] if it differs.",
		math.Round(size.nx), size.w/10, math.Round(size.ny), size.h/10, size.h/48))
	return out
}

// farthestMoved is how far any point of the lines in channels moved, mm.
func farthestMoved(moves snap.Result) float64 {
	far := 0.0
	for _, l := range moves.Lines {
		far = max(far, math.Abs(l.Moved)+l.Swing)
	}
	return far
}

// channelWords lists the channels of one axis that straight lines lie in, each with how
// far the farthest of its lines moved to get there.
func channelWords(j plot.Job, a weave.Axis) []string {
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
		word := fmt.Sprintf("%d(%+.1f)", c, moved[c])
		words = append(words, strings.NewReplacer("(-0.0)", "", "(+0.0)", "").Replace(word))
	}
	return words
}

// wrap fills text into lines of at most width characters, the first after
// prefix, the others under its end.
func wrap(prefix, text string, width int) string {
	return label.Wrap(text, prefix, strings.Repeat(" ", len(prefix)), width)
}
