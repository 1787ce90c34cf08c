package plot

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave/cloth"
	"weftplot/plot/job"
	"weftplot/profiles"
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
	for _, s := range j.Drawn {
		r.Placed = append(r.Placed, Stroke{r.OnMachine(s.Stroke), s.Layer})
	}
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
			return fault.Bad("pen-for", fmt.Sprintf("the layers are %s", quoted(layers)), "there is no layer called %q", layer)
		}
	}
	return nil
}

// insideArea refuses strokes that the machine cannot reach.
func insideArea(r Registered) error {
	m := r.Inputs.Machine
	all, reach := boundsOf(r.Placed), m.Reach()
	out := sticksOut(reach, all)
	if out == "" {
		return nil
	}
	do := "choose a larger machine, a smaller size, or another place ([at])"
	if all.Width() > reach.Width() || all.Height() > reach.Height() {
		do = "choose a smaller size or a larger machine: " + largerMachines(m.Name, all)
		if len(r.Inputs.Marks) == 0 {
			do += "; " + r.otherwise(all, reach)
		}
	}
	return fault.TooBig("machine "+m.Name, do,
		"the drawing is %s and the pen reaches %s: it sticks out by %s", bothWays(all), bothWays(reach), out)
}

// bothWays is how wide and how high a rectangle is, in both systems.
func bothWays(r paths.Rect) string {
	return fmt.Sprintf("%.1f x %.1f mm (%s x %s in)", r.Width(), r.Height(), paths.Length(r.Width()).Eighths(), paths.Length(r.Height()).Eighths())
}

// sticksOut says by how much a drawing lies outside a reach, on every side where it
// does; "" where it lies within.
func sticksOut(reach, all paths.Rect) string {
	const slack = 1e-6
	var sides []string
	for _, s := range []struct {
		by   float64
		name string
	}{
		{reach.Min.X - all.Min.X, "left"}, {all.Max.X - reach.Max.X, "right"},
		{reach.Min.Y - all.Min.Y, "bottom"}, {all.Max.Y - reach.Max.Y, "top"},
	} {
		if s.by > slack {
			sides = append(sides, fmt.Sprintf("%.1f mm at the %s", s.by, s.name))
		}
	}
	return strings.Join(sides, " and ")
}

// largerMachines says which built-in kinds of machine reach all of a drawing, lying one
// way or the other.
func largerMachines(but string, all paths.Rect) string {
	var names []string
	for _, name := range profiles.Names(profiles.MachineKind) {
		m, err := profiles.MachineNamed(name)
		if err != nil || name == but || name == job.SimulatedMachine {
			continue
		}
		switch r := m.Reach(); {
		case all.Width() <= r.Width() && all.Height() <= r.Height():
			names = append(names, name)
		case all.Height() <= r.Width() && all.Width() <= r.Height():
			names = append(names, name+" (turned)")
		}
	}
	if len(names) == 0 {
		return "none of the built-in kinds takes all of it"
	}
	return "of the built-in kinds " + strings.Join(names, ", ") + " would take it"
}

// otherwise says what of a rug that does not fit would fit, the cloth lying one way
// or the other. all is what it covers on the machine now.
func (r Registered) otherwise(all, reach paths.Rect) string {
	lays := []string{job.Upright, job.LaidTurned}
	if r.Settings.Lay == job.LaidTurned { // the way it lies now stands first
		slices.Reverse(lays)
	}
	text := ""
	if all.Height() <= reach.Width() && all.Width() <= reach.Height() {
		text = "turned by a quarter it would fit, with [lay] " + lays[1] + "; "
	}
	return text + fmt.Sprintf("the largest that fits is about %s with [lay] %s, or %s with [lay] %s",
		r.shrunk(all.Width(), all.Height(), reach), lays[0], r.shrunk(all.Height(), all.Width(), reach), lays[1])
}

// shrunk says how large the rug may be at most when what it draws, so wide and so
// high on the machine, is to lie within reach. It may be larger than the rug is.
func (r Registered) shrunk(w, h float64, reach paths.Rect) string {
	by := min(reach.Width()/w, reach.Height()/h)
	round := func(mm float64) paths.Length { // down to an eighth of an inch, as it is said
		const eighth = paths.MMPerInch / 8
		return paths.Length(math.Floor(mm*by/eighth) * eighth)
	}
	return round(r.Rug.Width()).Both() + " x " + round(r.Rug.Height()).Both()
}
