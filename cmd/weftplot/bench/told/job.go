// Package told holds what the page is told, as JSON: the job, the machine, troubles, and
// what can be chosen.
package told

import (
	"fmt"
	"math"

	"weftplot/cmd/weftplot/bench/paper"
	"weftplot/cmd/weftplot/bench/sheets"
	"weftplot/device/journals"
	"weftplot/paths"
	"weftplot/plot"
	"weftplot/plot/check"
	"weftplot/plot/report"
)

// A Job is the job as the page shows it.
type Job struct {
	Name     string             `json:"name"`
	Folder   string             `json:"folder"`
	Picture  int                `json:"picture"`
	Whole    bool               `json:"whole"`
	Settings map[string]string  `json:"settings"`
	PenFor   map[string]string  `json:"pen_for"`
	Skip     []string           `json:"skip"`
	Typed    map[string]string  `json:"typed"`
	Side     string             `json:"side"`
	SideSays string             `json:"side_says"`
	Facts    Facts              `json:"report"`
	Both     map[string]string  `json:"both"` // lengths as a maker says them
	Rows     [2]string          `json:"rows"`
	Largest  []Largest          `json:"largest"` // that fits the machine, upright and turned
	Layers   []Layer            `json:"layers"`
	InFile   []string           `json:"in_file"` // the names of the drawing's own layers
	Repeat   []string           `json:"repeat"`  // what is repeated along the border, and what each way of closing takes
	Notes    []string           `json:"notes"`
	Ignored  []string           `json:"ignored"`
	Warnings []report.Warning   `json:"warnings"`
	Findings []check.Finding    `json:"findings"`
	Cautions []string           `json:"cautions"`
	Begun    Begun              `json:"begun"`
	Scan     *report.ScanReport `json:"scan"`
	Edits    int                `json:"edits"` // lines struck out and gaps closed by hand
	Lines    int                `json:"lines"` // left of those read from paper
	Gaps     []Gap              `json:"gaps"`
	Paper    paper.Asked        `json:"paper"` // what was said of it
	Time     string             `json:"time"`
	Checked  bool               `json:"checked"`
	// Doubts are what is surely wrong about the job. While they stand and are not
	// overruled no program is made.
	Doubts    []Doubt `json:"doubts"`
	Overruled bool    `json:"overruled"`
	// ByHand tells that a file of the folder was changed by hand, and what stands
	// against writing over it.
	ByHand *Trouble `json:"by_hand"`
	// Overtaken: the cloth is half drawn by programs that would be made otherwise now.
	Overtaken bool `json:"overtaken"`
	HasText   bool `json:"has_text"` // the drawing has words of its own
	HasFont   bool `json:"has_font"`
	// HasMachine is false for a job that is only printed. Printed is what is printed
	// of it, null until that is laid out, and NoPaper why it cannot be.
	HasMachine bool     `json:"has_machine"`
	Kit        *Kit     `json:"kit"` // null for a single rug
	Printed    *Printed `json:"printed"`
	NoPaper    *Trouble `json:"no_paper"`
}

// Begun is what the journals of a job prove.
type Begun struct {
	Drawn     int  `json:"drawn"`
	Strokes   int  `json:"strokes"`
	Again     int  `json:"again"`
	Known     bool `json:"known"`
	Done      bool `json:"done"`
	Sent      bool `json:"sent"`
	Half      bool `json:"half"`
	NeedsHome bool `json:"needs_home"`
}

// BegunOf puts what journals prove into the form of the page.
func BegunOf(s journals.State) Begun {
	return Begun{s.Drawn, s.Strokes, s.Again, s.Known, s.Done, s.Sent, s.Begun, s.NeedsHome}
}

// A Gap is a gap between two lines read from paper, mm.
type Gap struct {
	At   [2]float64 `json:"at"` // its middle
	Wide float64    `json:"wide"`
}

// Layer is what is drawn of a layer, and by which pen.
type Layer struct {
	Name    string `json:"name"`
	Pen     string `json:"pen"`
	Strokes int    `json:"strokes"`
}

// Facts are what is known of a job's rug and of its program; what the program
// alone tells is 0 until it is made.
type Facts struct {
	Backing      string               `json:"backing"`
	Count        string               `json:"count"`
	Strokes      int                  `json:"strokes"`
	DrawMM       float64              `json:"draw_mm"`
	TimeS        float64              `json:"time_s"`
	Registration *report.Registration `json:"registration"`
	// MarksSay is what the marks cannot tell, and which of them may be wrong.
	MarksSay []string `json:"marks_say"`
}

// RowsOf says how many rows of holes a side has, as a maker counts them.
func RowsOf(n float64) string {
	whole := math.Round(n)
	if math.Abs(n-whole) < 0.02 {
		return fmt.Sprintf("%.0f", whole)
	}
	return fmt.Sprintf("about %.0f", whole)
}

// OnTheFront returns warnings whose places, on the machine, are moved to the
// front of the rug, and whose words are the page's.
func OnTheFront(m plot.Registered, list []report.Warning) []report.Warning {
	out := append([]report.Warning{}, list...)
	for i := range out {
		out[i].Message = out[i].Plain()
		if at := out[i].At; at != nil {
			p := report.OnFront(m, paths.Point{X: at[0], Y: at[1]})
			out[i].At = &[2]float64{sheets.Hundredth(p.X), sheets.Hundredth(p.Y)}
		}
	}
	return out
}
