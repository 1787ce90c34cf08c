package plot

import (
	"context"

	"weftplot/paths"
	"weftplot/paths/cores"
	"weftplot/plot/job"
)

// Step is a step of the pipeline, in words for a person: "ordering".
type Step string

// The steps of [Make], in their order.
const (
	Laying      Step = "laying out"
	Snapping    Step = "snapping"
	Joining     Step = "joining"
	Registering Step = "registering"
	Ordering    Step = "ordering"
	Fitting     Step = "fitting"
	Writing     Step = "writing"
	Verifying   Step = "verifying"
)

// Options say how a job is made. The zero value makes it in silence and to the
// end.
type Options struct {
	// Progress is told when a step begins, with a total of 0, and how much of the step is
	// done while it goes on, where it may take long. It may be called from other
	// goroutines, but not twice at a time. It may be nil.
	Progress func(step Step, done, total int)
	// Enough is asked now and then whether to end the search for a shorter order
	// and go on with the best so far. It may be called from other goroutines. It
	// may be nil, which is never.
	Enough func() bool
	// AsGiven leaves the strokes of each pen in the order of the design, for a job
	// that is only looked at and never let out: no shorter order is looked for, and
	// the strokes of a program, as read back, are counted but not measured against
	// those of the drawing.
	AsGiven bool
	// Divided remembers how a rug was divided into loads, so that marks of a load do not
	// make its drawing again. It may be nil, which remembers nothing.
	Divided *Divided
	// Lean lets go of the lines of each step as soon as no later step draws from them, which
	// of a large rug are more than all that is kept. It is for a job whose folder is written
	// and no more: of a single rug there are then no lines in Inputs.Design, Field, Artwork,
	// Lines and Moves, and in Placed only those of a job without a machine. What is made is
	// the same.
	Lean bool
}

// begin tells that a step begins, and returns the error of a cancelled context.
func (o Options) begin(ctx context.Context, s Step) error {
	if o.Progress != nil {
		o.Progress(s, 0, 0)
	}
	return ctx.Err()
}

// meter returns what tells how much of a step of total parts is done.
func (o Options) meter(s Step, total int) *cores.Meter {
	if o.Progress == nil {
		return nil
	}
	return cores.NewMeter(total, func(done, total int) { o.Progress(s, done, total) })
}

// shares returns what tells how much of a step is done of a part of it that has its own
// total; a part that is done again tells nothing until it is farther.
func (o Options) shares(s Step) func(done, total int) {
	meter := o.meter(s, 1000)
	if meter == nil {
		return nil
	}
	return func(done, total int) { meter.To(float64(done) / float64(total)) }
}

// Stroke is one line of the job with the layer it belongs to.
type Stroke struct {
	paths.Stroke
	Layer string // its name
}

// BorderLayer is the name of the layer that the border's lines are in.
const BorderLayer = "border"

// Make runs the whole pipeline. What a person can mend is a [fault.Error] of kind
// [fault.Input], such as [Laid.Doubts] that the settings do not overrule, or, where the
// job is too large or too fine, [fault.Fit]. A job without a machine ends with the
// strokes in their places: it has no programs. The error
// of a cancelled context is that of ctx. Any other error means that a program
// broke its own rules and was not let out.
//
// Each step asks ctx again and again, at least once for every few strokes or
// thousand looks, and ends soon after it is cancelled. Only putting one program
// into its language, and reading it back, are ended when they are done.
func Make(ctx context.Context, in job.Inputs, s job.Settings, opt Options) (Job, error) {
	if err := opt.begin(ctx, Laying); err != nil {
		return Job{}, err
	}
	laid, err := Lay(in, s)
	if err != nil {
		return Job{}, err
	}
	if err := laid.refuse(); err != nil {
		return Job{}, err
	}
	if laid.Settings.HasMachine() && laid.Settings.IsKit() {
		return makeKit(ctx, laid, opt)
	}
	if laid.Settings.HasMachine() && laid.Settings.Panels {
		return makePanels(ctx, laid, opt)
	}
	if opt.Lean {
		laid = laid.lean()
	}
	if !laid.Settings.HasMachine() {
		registered, err := place(ctx, laid, opt)
		return Job{Fitted: Fitted{Ordered: Ordered{Registered: registered}}}, err
	}
	joined, err := drawing(ctx, laid, opt)
	if err != nil {
		return Job{}, err
	}
	return finish(ctx, joined, opt)
}

// drawing finds the strokes, in their channels and as few as can be.
func drawing(ctx context.Context, laid Laid, opt Options) (Joined, error) {
	if err := opt.begin(ctx, Snapping); err != nil {
		return Joined{}, err
	}
	snapped, err := Snap(ctx, laid, opt)
	if err != nil {
		return Joined{}, err
	}
	if opt.Lean {
		snapped = snapped.lean()
	}
	if err := opt.begin(ctx, Joining); err != nil {
		return Joined{}, err
	}
	joined, err := Join(ctx, snapped, opt)
	if opt.Lean {
		joined.Lines = nil
	}
	return joined, err
}

// place finds where every stroke lies on the machine, or in the rug's own frame where
// there is none.
func place(ctx context.Context, laid Laid, opt Options) (Registered, error) {
	joined, err := drawing(ctx, laid, opt)
	if err != nil {
		return Registered{}, err
	}
	if err := opt.begin(ctx, Registering); err != nil {
		return Registered{}, err
	}
	return Register(joined)
}

// finish takes a drawing through the rest of the pipeline.
func finish(ctx context.Context, j Joined, opt Options) (Job, error) {
	if err := opt.begin(ctx, Registering); err != nil {
		return Job{}, err
	}
	registered, err := Register(j)
	if err != nil {
		return Job{}, err
	}
	if err := opt.begin(ctx, Ordering); err != nil {
		return Job{}, err
	}
	ordered, err := Order(ctx, registered, opt)
	if err != nil {
		return Job{}, err
	}
	if opt.Lean {
		ordered.Placed = nil
	}
	return letOut(ctx, ordered, opt)
}

// lean returns a design as laid out without the lines that its artwork is made of.
func (l Laid) lean() Laid {
	named := func(layers []paths.Layer) []paths.Layer {
		out := make([]paths.Layer, len(layers))
		for i, layer := range layers {
			out[i].Name = layer.Name
		}
		return out
	}
	l.Inputs.Design.Layers, l.Field.Layers = named(l.Inputs.Design.Layers), named(l.Field.Layers)
	return l
}

// lean returns a snapped design without the lines that went into its own. Of the artwork
// the layers are left, whose pens may be in doubt.
func (s Snapped) lean() Snapped {
	var layers []Stroke
	for _, name := range layersOf(s.Artwork) {
		layers = append(layers, Stroke{Layer: name})
	}
	s.Artwork, s.Moves.Strokes = layers, nil
	return s
}

// letOut makes the programs and lets them out when they are sound.
func letOut(ctx context.Context, ordered Ordered, opt Options) (Job, error) {
	if err := opt.begin(ctx, Fitting); err != nil {
		return Job{}, err
	}
	fitted, err := Fit(ctx, ordered, opt)
	if err != nil {
		return Job{}, err
	}
	fitted.lookedAt = opt.AsGiven
	if err := opt.begin(ctx, Writing); err != nil {
		return Job{}, err
	}
	written, err := Write(ctx, fitted, opt)
	if err != nil {
		return Job{}, err
	}
	if opt.Lean {
		written.off = nil
	}
	if err := opt.begin(ctx, Verifying); err != nil {
		return Job{}, err
	}
	return Verify(ctx, written, opt)
}

// layersOf returns the names of the layers in the order of drawing.
func layersOf(strokes []Stroke) []string {
	var names []string
	seen := map[string]bool{}
	for _, s := range strokes {
		if !seen[s.Layer] {
			seen[s.Layer] = true
			names = append(names, s.Layer)
		}
	}
	return names
}

// eachStroke returns n strokes, each of which is worked out by itself, on all cores; nil
// for none.
func eachStroke(n int, stroke func(i int) Stroke) []Stroke {
	if n == 0 {
		return nil
	}
	out := make([]Stroke, n)
	cores.EachUntil(n, func() bool { return false }, func(i int) { out[i] = stroke(i) })
	return out
}

// plain returns the strokes without their layers.
func plain(strokes []Stroke) []paths.Stroke {
	out := make([]paths.Stroke, len(strokes))
	for i, s := range strokes {
		out[i] = s.Stroke
	}
	return out
}

func boundsOf(strokes []Stroke) paths.Rect {
	r := paths.EmptyRect()
	for _, s := range strokes {
		r = r.Union(s.Bounds())
	}
	return r
}
