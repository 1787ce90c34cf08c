// Package reach says of a drawing that a machine does not reach by how much, and what
// would fit: another place, the cloth turned, a smaller size, a larger machine.
package reach

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"weftplot/paths"
	"weftplot/plot/job"
	"weftplot/profiles"
)

// Fitting is what is drawn on a machine, and how far the pen reaches.
type Fitting struct {
	All      paths.Rect // what is drawn, mm on the machine
	Rug      paths.Rect // the finished rug, mm as drawn
	Reach    paths.Rect // of the pen, mm on the machine
	Settings job.Settings
	Marked   bool       // marks say where the rug lies
	Border   [2]float64 // what border and words take of the rug across and along, mm
	Pitch    [2]float64 // of the channels, mm
}

// Sides are those of a rectangle, as the person says lengths.
func (f Fitting) Sides(r paths.Rect) string {
	return paths.Sides(paths.Length(r.Width()), paths.Length(r.Height()), f.Settings.Said)
}

func (f Fitting) say(mm float64) string { return paths.Length(mm).In(f.Settings.Said) }

// tooLarge reports whether no place on the machine takes all of it as it lies.
func (f Fitting) tooLarge() bool { return !fits(f.All.Width(), f.All.Height(), f.Reach) }

// fits reports whether a rectangle so wide and so high goes into another one, but for
// rounding.
func fits(w, h float64, into paths.Rect) bool {
	const slack = 1e-6
	return w <= into.Width()+slack && h <= into.Height()+slack
}

// Beyond says by how much the drawing is too large, or where it only lies wrong, by how
// much it sticks out of the reach and at which sides; "" where it lies within.
func (f Fitting) Beyond() string {
	type part struct {
		by    float64
		words string
	}
	parts, verb := []part{
		{f.All.Width() - f.Reach.Width(), " too wide"}, {f.All.Height() - f.Reach.Height(), " too high"},
	}, "it is "
	if !f.tooLarge() {
		parts, verb = []part{
			{f.Reach.Min.X - f.All.Min.X, " at the left"}, {f.All.Max.X - f.Reach.Max.X, " at the right"},
			{f.Reach.Min.Y - f.All.Min.Y, " at the bottom"}, {f.All.Max.Y - f.Reach.Max.Y, " at the top"},
		}, "it sticks out by "
	}
	var words []string
	for _, p := range parts {
		const slack = 1e-6
		if p.by > slack {
			words = append(words, f.say(p.by)+p.words)
		}
	}
	if len(words) == 0 {
		return ""
	}
	return verb + strings.Join(words, " and ")
}

// Advice says what a person can do: another place, the cloth turned, a smaller size, or
// another machine than the one of this name.
func (f Fitting) Advice(machine string) string {
	if !f.tooLarge() {
		if f.Marked {
			return "lay the frame so that all of the rug lies within reach, and find its marks again"
		}
		return "choose another place ([at]); without one it lies in the middle of the machine's reach"
	}
	var ways []string
	if turned := fits(f.All.Height(), f.All.Width(), f.Reach); turned && !f.Marked {
		ways = append(ways, "turned by a quarter it would fit: [lay] "+f.lays()[1])
	}
	ways = append(ways, largerMachines(machine, f.All))
	if !f.Marked {
		ways = append(ways, f.largest())
		if !f.Settings.IsKit() {
			ways = append(ways, "in parts, load after load, this machine draws it: [panels]")
		}
	}
	return "choose a smaller size or a larger machine: " + strings.Join(ways, "; ")
}

// lays returns the two ways in which the cloth can lie, the way it lies now first.
func (f Fitting) lays() []string {
	lays := []string{job.Upright, job.LaidTurned}
	if f.Settings.Lay == job.LaidTurned {
		slices.Reverse(lays)
	}
	return lays
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
		case fits(all.Width(), all.Height(), r):
			names = append(names, name)
		case fits(all.Height(), all.Width(), r):
			names = append(names, name+" (turned)")
		}
	}
	if len(names) == 0 {
		return "none of the built-in kinds takes all of it"
	}
	return "of the built-in kinds " + strings.Join(names, ", ") + " would take it"
}

// largest says how large the rug may be at most, the cloth lying one way or the other.
func (f Fitting) largest() string {
	lays := f.lays()
	return fmt.Sprintf("the largest that fits is about %s with [lay] %s, or %s with [lay] %s",
		f.largestLying(lays[0]), lays[0], f.largestLying(lays[1]), lays[1])
}

// largestLying says how large the rug may be at most with the cloth lying one way. It may
// be larger than the rug is. What the border takes stays as it is, and so does what lies
// outside the rug; each side may come out a channel larger, since lines go into channels.
func (f Fitting) largestLying(lay string) string {
	rug, all, reach := size(f.Rug), size(f.All), size(f.Reach)
	if f.Settings.Lay == job.LaidTurned {
		all[0], all[1] = all[1], all[0]
	}
	if lay == job.LaidTurned {
		reach[0], reach[1] = reach[1], reach[0]
	}
	by := math.Inf(1)
	for i := range rug {
		if art := rug[i] - f.Border[i]; art > 0 {
			outside := max(0, all[i]-rug[i])
			by = min(by, (reach[i]-outside-f.Border[i]-f.Pitch[i])/art)
		}
	}
	step := paths.MMPerInch / 8 // the finest that is said of it, rounded down
	if f.Settings.Said == paths.Metric {
		step = 1
	}
	side := func(i int) paths.Length {
		return paths.Length(math.Floor((max(0, by)*(rug[i]-f.Border[i])+f.Border[i])/step) * step)
	}
	return paths.Sides(side(0), side(1), f.Settings.Said)
}

func size(r paths.Rect) [2]float64 { return [2]float64{r.Width(), r.Height()} }
