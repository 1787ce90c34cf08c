package check

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/inspect"
	"weftplot/paths/join"
	"weftplot/paths/label"
	"weftplot/plot"
	"weftplot/plot/figures"
	"weftplot/plot/job"
	"weftplot/plot/report"
)

// Finding is a place in the artwork, or something about a layer, that a person
// should look at before drawing.
type Finding struct {
	Number  int    `json:"number"`  // from 1
	Code    string `json:"code"`    // kebab-case
	Message string `json:"message"` // a sentence without a full stop
	// At is its middle on the finished rug, from the front; nil when it has no
	// place.
	At *[2]float64 `json:"at_mm,omitempty"`
	// LengthMM is the length of a stretch, the width of a gap or the size of a shape.
	LengthMM float64 `json:"length_mm,omitempty"`
	Layer    string  `json:"layer,omitempty"`
	// Listed reports that it is among the worst of its kind, which the page lists
	// and the picture marks.
	Listed bool `json:"listed"`
}

// The codes of findings, in the order in which they are numbered.
const (
	FoundDouble    = "double"
	FoundGap       = "gap"
	FoundClose     = "close-lines"
	FoundSpeck     = "speck"
	FoundEmpty     = "no-loop" // a shape that holds no loop
	FoundNarrow    = "narrow"  // narrower than two rows of loops
	FoundLettering = "lettering"
	FoundNoted     = "noted"  // what is not drawn, or not certain
	FoundWarned    = "warned" // what a warning is about
)

// kindsOfFindings are the codes in their order.
var kindsOfFindings = []string{FoundDouble, FoundGap, FoundClose, FoundSpeck, FoundEmpty, FoundNarrow, FoundLettering, FoundNoted, FoundWarned}

// listed is how many findings of a kind are listed and marked.
const listed = 12

// The distances within which lines count as doubled and ends as nearly meeting, in mm
// on the finished rug. Lines within 0.1 mm blot into one; a gap of 0.5 mm is a pen's
// width and partly closes under the pen (common practice).
const (
	doubleWithin = 0.1
	gapWithin    = 0.5
)

// find looks at the artwork as it lies on the finished rug, before the weave is
// looked at. Its error is that of ctx.
func (r *Report) find(ctx context.Context, j plot.Laid) error {
	r.laid = &j
	meet := j.Meet()
	var strokes []paths.Stroke
	var layers []string // of the strokes
	for _, l := range j.Field.Layers {
		var group []paths.Stroke
		for _, s := range l.Strokes {
			group = append(group, s.Transform(j.Layout.ToRug))
		}
		joined, _, err := join.Strokes(group, join.Options{Tolerance: meet, KeepDoubles: true, Stop: ctx.Err})
		if errors.Is(err, fault.Fit) {
			r.Warnings = append(r.Warnings, report.Warning{Code: "too-dense", Message: fault.At(fmt.Sprintf("layer %q", l.Name), err).Error()})
			return nil
		}
		if err != nil {
			return err
		}
		for _, s := range joined {
			strokes, layers = append(strokes, s), append(layers, l.Name)
		}
	}
	gauge, err := j.Settings.GaugeOn(j.Grid)
	if err != nil {
		return err
	}
	res := inspect.Inspect(strokes, inspect.Options{
		Across: gauge.Across, Along: gauge.Along, Meet: float64(j.Settings.Tolerance), Gap: gapWithin, Double: doubleWithin,
	})
	if !res.Whole {
		r.Warnings = append(r.Warnings, report.Warning{Code: "too-dense", Message: "so many lines lie in one place that not all were held against one another: more may be doubled or too close than is told"})
	}
	var list []Finding
	for _, f := range res.Found {
		other := ""
		if f.Other >= 0 {
			other = layers[f.Other]
		}
		list = append(list, finding(f, layers[f.Stroke], other))
	}
	list = append(list, r.roomForLoops(strokes, gauge, res.Found)...)
	list = append(list, lettering(j.Inputs.Design, j.Settings, &j.Layout.ToRug)...)
	r.number(append(list, noted(j.Inputs.Design, j.Layout.ToRug)...))
	return nil
}

// noted returns the places of what the reader noted.
func noted(d paths.Design, toRug paths.Affine) []Finding {
	var out []Finding
	for _, n := range d.Notes {
		for _, p := range n.Places {
			at := toRug.Apply(p.At)
			text := job.NoteText(paths.Note{Element: p.Element, Line: p.Line, Message: p.Message})
			out = append(out, Finding{Code: FoundNoted, Message: strings.TrimSuffix(label.Text(text), "."), At: &[2]float64{figures.Round(at.X), figures.Round(at.Y)}})
		}
	}
	return out
}

// finding puts into words what was found on one layer, and another.
func finding(f inspect.Found, layer, other string) Finding {
	out := Finding{At: &[2]float64{figures.Round(f.At.X), figures.Round(f.At.Y)}, LengthMM: figures.Round(f.Length), Layer: layer}
	of := func(words string) string {
		if other == "" || other == layer {
			return ""
		}
		return fmt.Sprintf(words, other)
	}
	switch f.Kind {
	case inspect.Double:
		out.Code = FoundDouble
		out.Message = fmt.Sprintf("%s of line are drawn twice%s", lengthOf(f.Length), of(", over layer %q"))
	case inspect.Gap:
		out.Code = FoundGap
		out.Message = fmt.Sprintf("an end stops %.2f mm short of the line that it nearly meets%s", f.Length, of(", on layer %q"))
	case inspect.Close:
		out.Code = FoundClose
		out.Message = fmt.Sprintf("lines run as close as %.1f mm over %s%s", f.Apart, lengthOf(f.Length), of(", with layer %q"))
	case inspect.Speck:
		out.Code = FoundSpeck
		out.Message = "a dot"
		if f.Length > 0 {
			out.Message = fmt.Sprintf("a shape of %.1f mm", f.Length)
		}
	}
	return out
}

// lengthOf writes a length in mm as a person says it.
func lengthOf(mm float64) string {
	if mm < 10 {
		return fmt.Sprintf("%.1f mm", mm)
	}
	return fmt.Sprintf("%.1f cm", mm/10)
}

// number adds findings and numbers all: by kind, the worst of each kind first, and
// listed ones before the others.
func (r *Report) number(more []Finding) {
	list := append(r.Findings, more...)
	slices.SortStableFunc(list, func(a, b Finding) int {
		return cmp.Or(slices.Index(kindsOfFindings, a.Code)-slices.Index(kindsOfFindings, b.Code), compareFindings(a, b))
	})
	of := map[string]int{}
	for i := range list {
		of[list[i].Code]++
		// What was noted is rolled up already, and a warning stands for itself.
		list[i].Listed = of[list[i].Code] <= listed || list[i].Code == FoundNoted || list[i].Code == FoundWarned
	}
	slices.SortStableFunc(list, func(a, b Finding) int {
		switch {
		case a.Listed == b.Listed:
			return 0
		case a.Listed:
			return -1
		}
		return 1
	})
	for i := range list {
		list[i].Number = i + 1
	}
	r.Findings = list
}

// compareFindings orders findings of one kind: the longest first, to a tenth of a mm.
// Those of equal length, and those without one, go from the top left.
func compareFindings(a, b Finding) int {
	switch a.Code {
	case FoundDouble, FoundClose, FoundEmpty, FoundNarrow:
		if c := cmp.Compare(math.Round(10*b.LengthMM), math.Round(10*a.LengthMM)); c != 0 {
			return c
		}
	}
	if a.At == nil || b.At == nil || a.Code == FoundNoted || a.Code == FoundWarned {
		return 0 // as they were told
	}
	return cmp.Or(cmp.Compare(b.At[1], a.At[1]), cmp.Compare(a.At[0], b.At[0]))
}
