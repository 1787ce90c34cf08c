package plot

import (
	"fmt"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/join"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
	"weftplot/paths/weave/snap"
	"weftplot/plot/motion"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// Inputs are what a job is made from, all read already.
type Inputs struct {
	Design  paths.Design
	Machine profiles.Machine
	Backing profiles.Backing
	// Pens holds every pen the settings name, by name.
	Pens map[string]profiles.Pen
	// Marks are the registration of the cloth; none lets the nominal count hold.
	Marks []cloth.Mark
	// Progress is told of the search for a shorter order, run by run; it may be
	// nil.
	Progress func(step string, done, total int)
	// Stop is asked now and then whether to end the search for a shorter order
	// and go on with the best so far; it may be nil.
	Stop func() bool
}

// Stroke is one line of the job with what it belongs to.
type Stroke struct {
	paths.Stroke
	Layer string
}

// Run is what one pen draws from leaving home to parking: one program.
type Run struct {
	Pen     profiles.Pen
	Strokes []Stroke // machine frame, in order, of lines and arcs
	// Asked are the same strokes before they were fitted with lines and arcs: as
	// the design, snapped and registered, has them. A blade has none, as its
	// holder goes other ways.
	Asked   []paths.Stroke
	cuts    []paths.Stroke // what a blade is to cut, as Asked
	Feed    float64        // mm/s
	Program program.Program
	Text    []byte
	Timing  motion.Timing
	Totals  program.Totals
}

// Job is a whole job, ready to be written, shown and sent.
type Job struct {
	Settings Settings
	Inputs   Inputs
	// Count is the weave's, from the settings or else the backing.
	Count    paths.Count
	Grid     weave.Grid
	Layout   Layout
	Mirrored bool
	// Drawn holds the strokes in the frame "drawn", snapped and joined, with
	// the border first; Machine positions are in the Runs.
	Drawn        []Stroke
	Snapped      snap.Result
	Registration cloth.Registration
	// Rug is the finished rug's rectangle in the frame "drawn".
	Rug    paths.Rect
	Margin float64
	Runs   []Run
	// MergedMM is the length that was drawn twice in the design and is once here.
	MergedMM float64
	Warnings []Warning
}

// BorderLayer is the name of the layer that the border's lines are in.
const BorderLayer = "border"

// Make runs the whole pipeline: scale, mirror, border, snap, join, register,
// order, fit, limit feeds, write, and verify by reading back. Its errors are
// [fault.Error]s for what a person can mend; any other error means that a
// program broke its own rules and was not let out.
func Make(in Inputs, s Settings) (*Job, error) {
	if err := s.Validate(); err != nil {
		return nil, err
	}
	j := &Job{Settings: s, Inputs: in, Mirrored: Mirrored(s.Craft, s.Transfer)}
	for _, step := range []func() error{
		j.scale, j.snap, j.join, j.register, j.order, j.write,
	} {
		if err := step(); err != nil {
			return nil, err
		}
	}
	j.warn()
	return j, nil
}

// rugStrokes are the strokes of the artwork in the frame "drawn", before the
// weave is looked at, kept with their layers.
func (j *Job) rugStrokes() []Stroke {
	m := j.Layout.ToRug.Then(toDrawn(j.Mirrored, j.Layout.Width))
	var out []Stroke
	for _, l := range j.Inputs.Design.Layers {
		for _, s := range l.Strokes {
			out = append(out, Stroke{s.Stroke.Transform(m), l.Name})
		}
	}
	return out
}

// What one rug is drawn with at most: the pen would be at it for days.
const (
	maxStrokes = 150_000
	maxCurves  = 500_000
)

// bounded refuses a design that would keep the machine, and the search for an
// order, busy for ever.
func bounded(d paths.Design) error {
	strokes, curves := d.Strokes(), 0
	for _, s := range strokes {
		curves += len(s)
	}
	if len(strokes) <= maxStrokes && curves <= maxCurves {
		return nil
	}
	return fault.Bad(d.Name, "simplify the design, or leave layers out with --skip",
		"the design holds %d strokes of %d pieces; the most that is prepared is %d of %d", len(strokes), curves, maxStrokes, maxCurves)
}

// scale finds the grid, the margin and the finished size.
func (j *Job) scale() error {
	if len(j.Inputs.Design.Strokes()) == 0 {
		do := `"weftplot check" says what the file holds`
		if notes := j.Inputs.Design.Notes; len(notes) > 0 {
			do += "; the first: " + designNote(notes[0])
		}
		return fault.Bad(j.Inputs.Design.Name, do, "the design holds no line work")
	}
	if err := bounded(j.Inputs.Design); err != nil {
		return err
	}
	j.Count = j.Inputs.Backing.Count
	var err error
	if j.Settings.Count != "" {
		if j.Count, err = paths.ParseCount(j.Settings.Count); err != nil {
			return fault.At("count", err)
		}
	}
	if j.Grid, err = weave.NewGrid(j.Count); err != nil {
		return err
	}
	margin := j.Inputs.Backing.Margin
	if j.Settings.Margin != "" {
		if margin, err = paths.ParseLength(j.Settings.Margin); err != nil {
			return fault.At("margin", err)
		}
	}
	if margin < 0 || margin > 1e4 {
		return fault.Bad("margin", `give a length, such as "4in"`, "a margin of %s is not possible", margin)
	}
	j.Margin = float64(margin)
	// The job file says what was decided, not what a later profile might.
	j.Settings.Count, j.Settings.Margin = j.Count.String(), margin.String()
	rows, err := j.Settings.BorderRows()
	if err != nil {
		return err
	}
	inset := j.Settings.Clearance + 1
	for _, n := range rows {
		inset += n + 1
	}
	j.Layout, err = lay(j.Inputs.Design, j.Settings, j.Grid, inset, rows != nil)
	if err != nil {
		return err
	}
	j.Rug = paths.Rect{Max: paths.Point{X: j.Layout.Width, Y: j.Layout.Height}}
	return nil
}

// snap puts the border on its channels and the artwork's straight lines into
// theirs.
func (j *Job) snap() error {
	var fixed []weave.FixedLine
	rows, err := j.Settings.BorderRows()
	if err != nil {
		return err
	}
	if rows != nil {
		var lines []paths.Stroke
		nx, ny := int(math.Round(j.Layout.NX)), int(math.Round(j.Layout.NY))
		if lines, fixed, _, err = weave.Border(nx, ny, rows, j.Grid); err != nil {
			return err
		}
		for _, l := range lines {
			j.Drawn = append(j.Drawn, Stroke{l, BorderLayer})
		}
	}
	art := j.rugStrokes()
	if j.Settings.NoSnap {
		j.Drawn = append(j.Drawn, art...)
		return nil
	}
	plain := make([]paths.Stroke, len(art))
	for i, s := range art {
		plain[i] = s.Stroke
	}
	j.Snapped, err = snap.Strokes(plain, j.Grid, snap.Options{
		Angle: j.Settings.Snap, Tolerance: j.tolerance(snapShare), Fixed: fixed,
	})
	if err != nil {
		return err
	}
	for i, s := range art {
		j.Drawn = append(j.Drawn, Stroke{j.Snapped.Strokes[i], s.Layer})
	}
	if rows == nil {
		// The rug's edge is its outer line, which may have moved.
		j.Rug = boundsOf(j.Drawn)
	}
	return nil
}

// layers returns the names of the layers in the order of drawing.
func (j *Job) layers() []string {
	var names []string
	for _, s := range j.Drawn {
		if !slices.Contains(names, s.Layer) {
			names = append(names, s.Layer)
		}
	}
	return names
}

// join makes as few strokes as can be of the lines of each layer.
func (j *Job) join() error {
	var out []Stroke
	for _, name := range j.layers() {
		var group []paths.Stroke
		for _, s := range j.Drawn {
			if s.Layer == name {
				group = append(group, s.Stroke)
			}
		}
		joined, rep := join.Strokes(group, join.Options{Tolerance: j.tolerance(meetShare), KeepDoubles: j.Settings.KeepDoubles})
		j.MergedMM += rep.MergedMM
		for _, s := range joined {
			out = append(out, Stroke{s, name})
		}
	}
	j.Drawn = out
	return nil
}

// register finds the map from weave to machine and puts every stroke through
// it. What comes to lie outside the machine's area is a fault, never a clip.
func (j *Job) register() error {
	reach := j.Inputs.Machine.Reach()
	if len(j.Inputs.Marks) > 0 {
		var err error
		j.Registration, err = cloth.Fit(j.Inputs.Marks, j.fitOptions())
		return fault.At(j.Settings.Marks, err)
	}
	if len(j.Settings.At) == 0 {
		corner := reach.Centre().Sub(paths.Point{X: j.Rug.Width() / 2, Y: j.Rug.Height() / 2})
		// To the hundredth of a mm: a number that a person can set a frame to.
		hundredth := func(v float64) paths.Length { return paths.Length(math.Round(v*100) / 100) }
		j.Settings.At = []paths.Length{hundredth(corner.X), hundredth(corner.Y)}
	}
	corner := paths.Point{X: float64(j.Settings.At[0]), Y: float64(j.Settings.At[1])}
	j.Registration = cloth.Nominal(j.Grid, corner.Sub(j.Rug.Min))
	return nil
}

// onMachine returns a drawn stroke in the machine frame.
func (j *Job) onMachine(s paths.Stroke) paths.Stroke {
	return j.Registration.Stroke(s, j.Grid, j.tolerance(registerShare))
}

func boundsOf(strokes []Stroke) paths.Rect {
	r := paths.EmptyRect()
	for _, s := range strokes {
		r = r.Union(s.Bounds())
	}
	return r
}

func quoted(names []string) string {
	out := ""
	for i, n := range names {
		if i > 0 {
			out += ", "
		}
		out += fmt.Sprintf("%q", n)
	}
	return out
}
