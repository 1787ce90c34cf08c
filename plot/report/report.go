package report

import (
	"encoding/json"
	"math"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/label"
	"weftplot/paths/weave/snap"
	"weftplot/plot"
	"weftplot/plot/figures"
	"weftplot/plot/job"
	"weftplot/plot/jobfolder"
)

// Report is the content of report.json. Every length is mm, every time s.
type Report struct {
	Version          int           `json:"version"`                   // of this form, 1
	Name             string        `json:"name"`                      // the job's
	Mirrored         bool          `json:"mirrored"`                  // what is drawn is the mirror image of the rug
	Craft            job.Craft     `json:"craft"`                     // how the rug is worked
	Transfer         job.Transfer  `json:"transfer"`                  // how the drawing gets onto the backing
	Side             string        `json:"side"`                      // what the pen draws on, in words
	Machine          string        `json:"machine"`                   // its name
	Language         string        `json:"language"`                  // gcode, hpgl or hpgl2
	Backing          string        `json:"backing"`                   // its name
	Count            string        `json:"count"`                     // channels an inch or so, across x along
	FinishedMM       [2]float64    `json:"finished_mm"`               // width and height
	FinishedChannels [2]float64    `json:"finished_channels"`         // across and along
	BackingMM        [2]float64    `json:"backing_mm"`                // to cut, with the margin
	Scale            float64       `json:"scale"`                     // of lengths, from design to rug
	Strokes          int           `json:"strokes"`                   // of all programs
	PenLifts         int           `json:"pen_lifts"`                 // of all programs
	DrawMM           float64       `json:"draw_mm"`                   // with the pen down
	TravelMM         float64       `json:"travel_mm"`                 // with the pen up
	TravelBoundMM    float64       `json:"travel_bound_mm,omitempty"` // no order of the strokes travels less; at thorough effort
	TimeS            float64       `json:"time_s"`                    // of all programs, without changes of pens
	Bounds           *[4]float64   `json:"bounds_mm"`                 // x0, y0, x1, y1 of what is drawn, on the machine; null when nothing is
	MaxFeed          float64       `json:"max_feed_mm_s"`             // the greatest that is asked for
	Pens             []Pen         `json:"pens"`                      // in the order in which they draw
	Snap             Snap          `json:"snap"`                      // what went into channels
	Registration     *Registration `json:"registration"`              // null without marks
	Lay              string        `json:"lay,omitempty"`             // turned, where the cloth lies turned by a quarter
	MergedMM         float64       `json:"merged_mm"`                 // drawn twice in the design, and once here
	Words            []Words       `json:"words,omitempty"`           // drawn in single-line letters
	Copies           []Copy        `json:"copies,omitempty"`          // of a kit
	Loads            []Load        `json:"loads,omitempty"`           // layings of the cloth of a kit, or of a rug that is drawn in parts
	ClothMM          *[2]float64   `json:"cloth_mm,omitempty"`        // that a kit takes, selvedge to selvedge and along
	PensNeeded       []PenNeed     `json:"pens_needed,omitempty"`     // for a kit
	Joints           []Joint       `json:"joints,omitempty"`          // where parts of strokes meet
	MakingUp         []MakingUp    `json:"making_up,omitempty"`       // lines outside the rug
	Repeat           *Repeat       `json:"repeat,omitempty"`          // the row of motifs along the border
	Paper            *Paper        `json:"paper,omitempty"`           // what is printed at full size; nil for nothing
	Warnings         []Warning     `json:"warnings"`                  // what to look at before drawing
	Overruled        []string      `json:"overruled"`                 // codes of warnings that would have refused the job
	Cautions         []string      `json:"cautions"`                  // to be said before the machine moves
	Files            []string      `json:"files"`                     // of the job folder
	Programs         []ProgramFile `json:"programs"`                  // in their order
	// Hashes are the SHA-256 of every file but the report itself, in hexadecimal.
	Hashes map[string]string `json:"hashes"`
}

// ProgramFile is a program of the job folder.
type ProgramFile struct {
	File    string `json:"file"`    // in the job folder
	SHA256  string `json:"sha256"`  // of its bytes, in hexadecimal
	Strokes int    `json:"strokes"` // that it draws
}

// Pen is what one pen draws: one program. Lengths are mm, times s.
type Pen struct {
	Pen     string  `json:"pen"`             // its name
	File    string  `json:"file"`            // of its program, in the job folder
	Strokes int     `json:"strokes"`         // of the program
	DrawMM  float64 `json:"draw_mm"`         // with the pen down
	TimeS   float64 `json:"time_s"`          // of the program
	Feed    float64 `json:"feed_mm_s"`       // asked for
	Wipes   int     `json:"wipes,omitempty"` // how often its tip is wiped
	// Layers are whose strokes it draws, in order: not every language can say so
	// in the program.
	Layers []jobfolder.LayerRun `json:"layers"`
	// Load and Copies say, of a kit, in which load it is drawn and whose strokes follow one
	// another.
	Load   int                 `json:"load,omitempty"`
	Copies []jobfolder.CopyRun `json:"copies,omitempty"`
}

// Snap lists the lines that went into channels.
type Snap struct {
	Lines      []SnapLine     `json:"lines"`               // one for each straight line
	Diagonals  []SnapDiagonal `json:"diagonals,omitempty"` // slanting lines that go through holes
	MaxMovedMM float64        `json:"max_moved_mm"`        // of any of them, in the mean of its length
	// FarthestMM is how far any point of them moved, the end of a line that was not
	// quite straight among them. It is what people are told.
	FarthestMM float64 `json:"farthest_moved_mm"`
}

// SnapDiagonal is one slanting line from hole to hole. Channels are across and along,
// counted from the rug's lower left corner as drawn.
type SnapDiagonal struct {
	Ratio   [2]int  `json:"ratio"`    // channels across over channels along from a hole to the next
	From    [2]int  `json:"from"`     // the crossing of channels that it starts at
	To      [2]int  `json:"to"`       // and that it ends at
	MovedMM float64 `json:"moved_mm"` // by an end, at most
}

// SnapLine is one line in its channel, counted from the rug's lower left corner
// as drawn.
type SnapLine struct {
	Axis     string  `json:"axis"`      // the coordinate that is fixed: "across" or "along"
	Channel  int     `json:"channel"`   // its number
	WasMM    float64 `json:"was_mm"`    // where it was
	MovedMM  float64 `json:"moved_mm"`  // from there to the channel
	LengthMM float64 `json:"length_mm"` // of the line
	// ByName reports that the settings name the channel.
	ByName bool `json:"by_name,omitempty"`
}

// Options say how texts are put. The zero value is a library's own way.
type Options struct {
	// Names returns what a person calls a setting, such as "--width" for "width"; ""
	// keeps the name in square brackets. It may be nil, which keeps all.
	Names func(setting string) string
	// Progress is told how many of the files' parts are done. It may be called from other
	// goroutines, but not twice at a time. It may be nil.
	Progress func(done, total int)
}

// Of returns the report of a job, without the names of its files. It collects the
// warnings, for which it may fit and write the programs anew at other tolerances.
func Of(j plot.Job, opt Options) Report {
	size := sizeOf(j)
	w, h := size.w, size.h
	s := j.Settings
	r := Report{
		Version: 1, Name: s.Name, Mirrored: j.Mirrored, Craft: s.Craft, Transfer: s.Transfer,
		Side:    job.DrawnSide(s.Craft, s.Transfer).Title,
		Machine: j.Inputs.Machine.Name, Language: string(j.Inputs.Machine.Language),
		Backing: j.Inputs.Backing.Name, Count: j.Count.String(),
		FinishedMM:       [2]float64{figures.Round(w), figures.Round(h)},
		FinishedChannels: [2]float64{figures.Round(size.nx), figures.Round(size.ny)},
		BackingMM:        [2]float64{figures.Round(w + 2*j.Margin), figures.Round(h + 2*j.Margin)},
		Scale:            j.Layout.Scale, MergedMM: figures.Round(j.MergedMM),
		Snap: snapReport(j.Moves), Registration: NewRegistration(j.Registration.Report()),
		Words: wordsOf(j), MakingUp: makingUpOf(j), Repeat: repeatOf(j), Warnings: warnings(j), Overruled: []string{}, Cautions: Cautions(j),
	}
	for i := range r.Warnings {
		r.Warnings[i].Message = label.Text(fault.Rename(r.Warnings[i].Message, opt.Names))
	}
	if j.Turned() {
		r.Lay = job.LaidTurned
	}
	for _, d := range j.Doubts() {
		r.Overruled = append(r.Overruled, d.Code)
	}
	all := paths.EmptyRect()
	for _, run := range j.PenRuns {
		t := run.Totals
		r.Strokes += t.Strokes
		r.PenLifts += t.Lifts
		r.DrawMM += t.DrawMM
		r.TravelMM += t.TravelMM
		r.TimeS += run.Timing.Total
		r.MaxFeed = max(r.MaxFeed, figures.Round(t.MaxFeed))
		all = all.Union(t.Bounds)
		r.Pens = append(r.Pens, Pen{run.Pen.Name, run.File, t.Strokes, figures.Round(t.DrawMM), figures.Round(run.Timing.Total), run.Feed, run.Wipes(), layerRuns(run.Ways), 0, copyRuns(run.Copies)})
	}
	if !s.HasMachine() {
		r.Strokes = len(j.Placed)
		for _, k := range j.Placed {
			r.DrawMM += k.Length()
			all = all.Union(k.Bounds())
		}
	}
	r.TravelBoundMM = travelBound(j)
	r.addKit(j)
	r.addPanels(j)
	r.DrawMM, r.TravelMM, r.TimeS = figures.Round(r.DrawMM), figures.Round(r.TravelMM), figures.Round(r.TimeS)
	r.Bounds = figures.Bounds(all)
	return r
}

// travelBound returns the sum of the bounds on the travel of all programs in mm,
// rounded down, and 0 where one of them has none.
func travelBound(j plot.Job) (sum float64) {
	for _, t := range j.Tours {
		if t.TravelBound == 0 {
			return 0
		}
		sum += t.TravelBound
	}
	return math.Floor(sum*1e4) / 1e4
}

// size is a finished size in mm and in channels, across and along.
type size struct{ w, h, nx, ny float64 }

func sizeOf(j plot.Job) size {
	w, h := j.Rug.Width(), j.Rug.Height()
	return size{w, h, w / j.Grid.Across, h / j.Grid.Along}
}

// layerRuns counts the strokes of each layer, in order.
func layerRuns(strokes []plot.Stroke) []jobfolder.LayerRun {
	runs := []jobfolder.LayerRun{}
	for _, s := range strokes {
		if n := len(runs); n == 0 || runs[n-1].Layer != s.Layer {
			runs = append(runs, jobfolder.LayerRun{Layer: s.Layer})
		}
		runs[len(runs)-1].Strokes++
	}
	return runs
}

func snapReport(s snap.Result) Snap {
	r := Snap{Lines: []SnapLine{}, MaxMovedMM: figures.Round(s.MaxMoved), FarthestMM: figures.Round(farthestMoved(s))}
	for _, l := range s.Lines {
		r.Lines = append(r.Lines, SnapLine{l.Axis.String(), l.Channel, figures.Round(l.Was), figures.Round(l.Moved), figures.Round(l.Length), l.Named})
	}
	for _, d := range s.Diagonals {
		r.Diagonals = append(r.Diagonals, SnapDiagonal{d.Ratio, d.From, d.To, figures.Round(d.Moved)})
	}
	return r
}

// Encode returns v as indented JSON with a final newline. Characters that steer a
// terminal or turn the direction of writing are escaped, which JSON leaves open.
func Encode(v any) ([]byte, error) {
	b, err := json.MarshalIndent(v, "", "  ")
	return append(label.Escape(b), '\n'), err
}
