package plot

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave/cloth"
	"weftplot/plot/figures"
	"weftplot/plot/job"
	"weftplot/plot/reach"
)

// Registered is a drawing with the map from the weave to the machine.
type Registered struct {
	Joined
	Registration cloth.Registration // from channels to mm on the machine
	// Placed holds the strokes of Drawn in the machine frame.
	Placed []Stroke
}

// Register finds the map from the weave to the machine, by the marks or else by
// the nominal count, and puts every stroke through it. Without a machine the frame is
// the rug's own, from its lower left corner. Its settings say where the
// rug lies when there are no marks. Marks that cannot be fitted are a
// [fault.Input]; a stroke outside the machine's area is a [fault.Fit], never a
// clip.
func Register(j Joined) (Registered, error) {
	r := Registered{Joined: j}
	if !j.Settings.HasMachine() {
		r.Registration = cloth.Nominal(j.Grid, j.Rug.Min.Mul(-1))
	} else if len(j.Inputs.Marks) > 0 {
		var err error
		r.Registration, err = cloth.Fit(j.Inputs.Marks, j.FitOptions())
		if err != nil {
			return Registered{}, fault.At(j.Settings.Marks, err)
		}
	} else {
		if len(r.Settings.At) == 0 {
			r.Settings.At = middle(j.Inputs.Machine.Reach(), j.Rug, j.Settings.Lay)
		}
		corner := paths.Point{X: float64(r.Settings.At[0]), Y: float64(r.Settings.At[1])}
		if r.Turned() {
			r.Registration = cloth.Turned(j.Grid, corner.Add(paths.Point{X: j.Rug.Min.Y, Y: -j.Rug.Min.X}))
		} else {
			r.Registration = cloth.Nominal(j.Grid, corner.Sub(j.Rug.Min))
		}
	}
	if err := pensKnown(j); err != nil {
		return Registered{}, err
	}
	r.Placed = eachStroke(len(j.Drawn), func(i int) Stroke {
		return Stroke{r.OnMachine(j.Drawn[i].Stroke), j.Drawn[i].Layer}
	})
	if !j.Settings.HasMachine() {
		return r, nil
	}
	r.addTicks()
	if err := insideArea(r); err != nil {
		return Registered{}, err
	}
	return r, nil
}

// FitOptions says how marks of this drawing are fitted.
func (j Joined) FitOptions() cloth.FitOptions {
	opt := cloth.FitOptions{Model: j.Settings.Fit, Expect: j.Count, Extent: j.Grid.PlaceOf(j.Rug.Max)}
	if p := j.part; p != nil && !p.box.IsEmpty() && !p.isKit() {
		opt.Loose, opt.Over = p.loose, p.over
		opt.From, opt.Beyond = j.Grid.PlaceOf(p.box.Min), true
		opt.Extent = j.Grid.PlaceOf(p.box.Max.Sub(p.box.Min))
	}
	return opt
}

// Turned reports whether the cloth is to be laid on the machine turned by a quarter;
// marks say for themselves how it lies.
func (r Registered) Turned() bool {
	return len(r.Inputs.Marks) == 0 && r.Settings.Lay == job.LaidTurned
}

// middle returns where the lower left corner of the rug as drawn lies when the rug
// lies in the middle of the machine's reach, to the hundredth of a mm: a number that
// a person can set a frame to.
func middle(reach, rug paths.Rect, lay string) []paths.Length {
	corner := reach.Centre().Sub(paths.Point{X: rug.Width() / 2, Y: rug.Height() / 2})
	if lay == job.LaidTurned {
		corner = reach.Centre().Add(paths.Point{X: rug.Height() / 2, Y: -rug.Width() / 2})
	}
	return []paths.Length{hundredth(corner.X), hundredth(corner.Y)}
}

func hundredth(v float64) paths.Length { return paths.Length(math.Round(v*100) / 100) }

// OnMachine returns a stroke of the frame "drawn" in the machine frame, in mm.
func (r Registered) OnMachine(s paths.Stroke) paths.Stroke {
	return r.Registration.Stroke(s, r.Grid, r.tolerance(registerShare))
}

// pensKnown refuses pens for layers that are not there.
func pensKnown(j Joined) error {
	layers := j.layers()
	for _, layer := range slices.Sorted(maps.Keys(j.Settings.PenFor)) {
		if !slices.Contains(layers, layer) {
			return fault.Bad("pen-for", fmt.Sprintf("the layers are %s", figures.Quoted(layers)), "there is no layer called %q", layer)
		}
	}
	return nil
}

// sidesOf is how wide and how high a rectangle is, in the system that the person said.
func sidesOf(s job.Settings, r paths.Rect) string {
	return paths.Sides(paths.Length(r.Width()), paths.Length(r.Height()), s.Said)
}

// insideArea refuses strokes that the machine cannot reach.
func insideArea(r Registered) error {
	f := r.Laid.fitting(boundsOf(r.Placed), r.Rug, len(r.Inputs.Marks) > 0)
	beyond := f.Beyond()
	if beyond == "" {
		return nil
	}
	return fault.TooBig("machine "+r.Inputs.Machine.Name, f.Advice(r.Inputs.Machine.Name),
		"the drawing is %s and the pen reaches %s: %s", f.Sides(f.All), f.Sides(f.Reach), beyond)
}

// fitting returns how a rug fits the machine of its job. all is what is drawn, in mm on
// the machine, and rug the finished rug as drawn.
func (l Laid) fitting(all, rug paths.Rect, marked bool) reach.Fitting {
	f := reach.Fitting{All: all, Rug: rug, Reach: l.Inputs.Machine.Reach(), Settings: l.Settings, Marked: marked, Pitch: [2]float64{l.Grid.Across, l.Grid.Along}}
	if room := l.Layout.Room; room.Bordered {
		f.Border[0] = (l.Layout.NX - room.Hi.Across + room.Lo.Across) * l.Grid.Across
		f.Border[1] = (l.Layout.NY - room.Hi.Along + room.Lo.Along) * l.Grid.Along
	}
	return f
}
