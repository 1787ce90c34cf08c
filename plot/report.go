package plot

import (
	"encoding/json"
	"math"

	"weftplot/paths"
	"weftplot/paths/weave/snap"
)

// Warning is something about a job that a person should look at.
type Warning struct {
	Code    string      `json:"code"` // kebab-case
	Message string      `json:"message"`
	At      *[2]float64 `json:"at_mm,omitempty"` // x, y
}

// Report is the content of report.json. Every length is mm, every time s.
type Report struct {
	Version          int                 `json:"version"`
	Name             string              `json:"name"`
	Mirrored         bool                `json:"mirrored"`
	Craft            Craft               `json:"craft"`
	Transfer         Transfer            `json:"transfer"`
	Side             string              `json:"side"`
	Machine          string              `json:"machine"`
	Language         string              `json:"language"`
	Backing          string              `json:"backing"`
	Count            string              `json:"count"`
	FinishedMM       [2]float64          `json:"finished_mm"`
	FinishedChannels [2]float64          `json:"finished_channels"`
	BackingMM        [2]float64          `json:"backing_mm"`
	Scale            float64             `json:"scale"`
	Strokes          int                 `json:"strokes"`
	PenLifts         int                 `json:"pen_lifts"`
	DrawMM           float64             `json:"draw_mm"`
	TravelMM         float64             `json:"travel_mm"`
	TimeS            float64             `json:"time_s"`
	Bounds           *[4]float64         `json:"bounds_mm"`
	MaxFeed          float64             `json:"max_feed_mm_s"`
	Pens             []PenRun            `json:"pens"`
	Snap             SnapReport          `json:"snap"`
	Registration     *RegistrationReport `json:"registration"`
	MergedMM         float64             `json:"merged_mm"`
	Warnings         []Warning           `json:"warnings"`
	Files            []string            `json:"files"`
}

// PenRun is what one pen draws.
type PenRun struct {
	Pen     string  `json:"pen"`
	File    string  `json:"file"`
	Strokes int     `json:"strokes"`
	DrawMM  float64 `json:"draw_mm"`
	TimeS   float64 `json:"time_s"`
	Feed    float64 `json:"feed_mm_s"`
	Wipes   int     `json:"wipes,omitempty"` // how often its tip is wiped
	// Layers are whose strokes it draws, in order: not every language can say so
	// in the program.
	Layers []LayerRun `json:"layers"`
}

// LayerRun is so many strokes of one layer, one after the other.
type LayerRun struct {
	Layer   string `json:"layer"`
	Strokes int    `json:"strokes"`
}

// SnapReport lists the lines that went into channels.
type SnapReport struct {
	Lines      []SnapLine `json:"lines"`
	MaxMovedMM float64    `json:"max_moved_mm"`
}

// SnapLine is one line in its channel, counted from the rug's lower left corner
// as drawn.
type SnapLine struct {
	Axis     string  `json:"axis"` // the coordinate that is fixed: "across" or "along"
	Channel  int     `json:"channel"`
	WasMM    float64 `json:"was_mm"`
	MovedMM  float64 `json:"moved_mm"`
	LengthMM float64 `json:"length_mm"`
}

// Report returns the report of the job, with the names of its files.
func (j *Job) Report(files []string) Report {
	w, h := j.finished()
	r := Report{
		Version: 1, Name: j.Settings.Name, Mirrored: j.Mirrored,
		Craft: j.Settings.Craft, Transfer: j.Settings.Transfer,
		Side:    DrawnSide(j.Settings.Craft, j.Settings.Transfer).Title,
		Machine: j.Inputs.Machine.Name, Language: string(j.Inputs.Machine.Language),
		Backing: j.Inputs.Backing.Name, Count: j.Count.String(),
		FinishedMM:       [2]float64{round(w), round(h)},
		FinishedChannels: [2]float64{round(w / j.Grid.Across), round(h / j.Grid.Along)},
		BackingMM:        [2]float64{round(w + 2*j.Margin), round(h + 2*j.Margin)},
		Scale:            j.Layout.Scale, MergedMM: round(j.MergedMM),
		Snap: snapReport(j.Snapped), Registration: NewRegistrationReport(j.Registration.Report()),
		Warnings: append([]Warning{}, j.Warnings...), Files: files,
	}
	all := paths.EmptyRect()
	for i, run := range j.Runs {
		t := run.Totals
		r.Strokes += t.Strokes
		r.PenLifts += t.Lifts
		r.DrawMM += t.DrawMM
		r.TravelMM += t.TravelMM
		r.TimeS += run.Timing.Total
		r.MaxFeed = max(r.MaxFeed, round(t.MaxFeed))
		all = all.Union(t.Bounds)
		r.Pens = append(r.Pens, PenRun{run.Pen.Name, j.FileName(i), t.Strokes, round(t.DrawMM), round(run.Timing.Total), run.Feed, run.Wipes(), layerRuns(run.Strokes)})
	}
	r.DrawMM, r.TravelMM, r.TimeS = round(r.DrawMM), round(r.TravelMM), round(r.TimeS)
	r.Bounds = bounds(all)
	return r
}

func layerRuns(strokes []Stroke) []LayerRun {
	runs := []LayerRun{}
	for _, s := range strokes {
		if n := len(runs); n == 0 || runs[n-1].Layer != s.Layer {
			runs = append(runs, LayerRun{Layer: s.Layer})
		}
		runs[len(runs)-1].Strokes++
	}
	return runs
}

func snapReport(s snap.Result) SnapReport {
	r := SnapReport{Lines: []SnapLine{}, MaxMovedMM: round(s.MaxMoved)}
	for _, l := range s.Lines {
		r.Lines = append(r.Lines, SnapLine{l.Axis.String(), l.Channel, round(l.Was), round(l.Moved), round(l.Length)})
	}
	return r
}

// Encode returns v as indented JSON with a final newline.
func Encode(v any) ([]byte, error) {
	b, err := json.MarshalIndent(v, "", "  ")
	return append(b, '\n'), err
}

// round keeps four decimals: a tenth of a micrometre, or of a millisecond.
func round(v float64) float64 { return math.Round(v*1e4) / 1e4 }

func bounds(r paths.Rect) *[4]float64 {
	if r.IsEmpty() {
		return nil
	}
	return &[4]float64{round(r.Min.X), round(r.Min.Y), round(r.Max.X), round(r.Max.Y)}
}
