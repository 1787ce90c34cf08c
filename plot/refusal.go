package plot

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/job"
	"weftplot/profiles"
)

// insideArea refuses strokes that the machine cannot reach.
func insideArea(r Registered) error {
	f := r.Laid.fitting(boundsOf(r.Placed), r.Rug, len(r.Inputs.Marks) > 0)
	beyond := f.beyond()
	if beyond == "" {
		return nil
	}
	return fault.TooBig("machine "+r.Inputs.Machine.Name, f.advice(r.Inputs.Machine.Name),
		"the drawing is %s and the pen reaches %s: %s", f.sides(f.all), f.sides(f.reach), beyond)
}

// fitting is what is drawn on a machine, and what of it lies out of reach.
type fitting struct {
	all      paths.Rect // what is drawn, mm on the machine
	rug      paths.Rect // the finished rug, mm as drawn
	reach    paths.Rect // of the pen
	settings job.Settings
	marked   bool       // marks say where the rug lies
	border   [2]float64 // what border and words take of the rug across and along, mm
	pitch    [2]float64 // of the channels, mm
}

// fitting returns how a rug fits the machine of its job. all is what is drawn, in mm on
// the machine, and rug the finished rug as drawn.
func (l Laid) fitting(all, rug paths.Rect, marked bool) fitting {
	f := fitting{all: all, rug: rug, reach: l.Inputs.Machine.Reach(), settings: l.Settings, marked: marked, pitch: [2]float64{l.Grid.Across, l.Grid.Along}}
	if room := l.Layout.room; room.bordered {
		f.border[0] = (l.Layout.NX - room.hi.Across + room.lo.Across) * l.Grid.Across
		f.border[1] = (l.Layout.NY - room.hi.Along + room.lo.Along) * l.Grid.Along
	}
	return f
}

func (f fitting) sides(r paths.Rect) string { return sidesOf(f.settings, r) }

// sidesOf is how wide and how high a rectangle is, in the system that the person said.
func sidesOf(s job.Settings, r paths.Rect) string {
	return paths.Sides(paths.Length(r.Width()), paths.Length(r.Height()), s.Said)
}

func (f fitting) say(mm float64) string { return paths.Length(mm).In(f.settings.Said) }

// tooLarge reports whether no place on the machine takes all of it as it lies.
func (f fitting) tooLarge() bool { return !fits(f.all.Width(), f.all.Height(), f.reach) }

// fits reports whether a rectangle so wide and so high goes into another one, but for
// rounding.
func fits(w, h float64, into paths.Rect) bool {
	const slack = 1e-6
	return w <= into.Width()+slack && h <= into.Height()+slack
}

// beyond says by how much the drawing is too large, or where it only lies wrong, by how
// much it sticks out of the reach and at which sides; "" where it lies within.
func (f fitting) beyond() string {
	type part struct {
		by    float64
		words string
	}
	parts, verb := []part{
		{f.all.Width() - f.reach.Width(), " too wide"}, {f.all.Height() - f.reach.Height(), " too high"},
	}, "it is "
	if !f.tooLarge() {
		parts, verb = []part{
			{f.reach.Min.X - f.all.Min.X, " at the left"}, {f.all.Max.X - f.reach.Max.X, " at the right"},
			{f.reach.Min.Y - f.all.Min.Y, " at the bottom"}, {f.all.Max.Y - f.reach.Max.Y, " at the top"},
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

// advice says what a person can do: another place, the cloth turned, a smaller size, or
// another machine than the one of this name.
func (f fitting) advice(machine string) string {
	if !f.tooLarge() {
		if f.marked {
			return "lay the frame so that all of the rug lies within reach, and find its marks again"
		}
		return "choose another place ([at]); without one it lies in the middle of the machine's reach"
	}
	var ways []string
	if turned := fits(f.all.Height(), f.all.Width(), f.reach); turned && !f.marked {
		ways = append(ways, "turned by a quarter it would fit: [lay] "+f.lays()[1])
	}
	ways = append(ways, largerMachines(machine, f.all))
	if !f.marked {
		ways = append(ways, f.largest(), "in parts, load after load, this machine draws it: [panels]")
	}
	return "choose a smaller size or a larger machine: " + strings.Join(ways, "; ")
}

// lays returns the two ways in which the cloth can lie, the way it lies now first.
func (f fitting) lays() []string {
	lays := []string{job.Upright, job.LaidTurned}
	if f.settings.Lay == job.LaidTurned {
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
func (f fitting) largest() string {
	lays := f.lays()
	return fmt.Sprintf("the largest that fits is about %s with [lay] %s, or %s with [lay] %s",
		f.largestLying(lays[0]), lays[0], f.largestLying(lays[1]), lays[1])
}

// largestLying says how large the rug may be at most with the cloth lying one way. It may
// be larger than the rug is. What the border takes stays as it is, and so does what lies
// outside the rug; each side may come out a channel larger, since lines go into channels.
func (f fitting) largestLying(lay string) string {
	rug, all, reach := size(f.rug), size(f.all), size(f.reach)
	if f.settings.Lay == job.LaidTurned {
		all[0], all[1] = all[1], all[0]
	}
	if lay == job.LaidTurned {
		reach[0], reach[1] = reach[1], reach[0]
	}
	by := math.Inf(1)
	for i := range rug {
		if art := rug[i] - f.border[i]; art > 0 {
			outside := max(0, all[i]-rug[i])
			by = min(by, (reach[i]-outside-f.border[i]-f.pitch[i])/art)
		}
	}
	step := paths.MMPerInch / 8 // the finest that is said of it, rounded down
	if f.settings.Said == paths.Metric {
		step = 1
	}
	side := func(i int) paths.Length {
		return paths.Length(math.Floor((max(0, by)*(rug[i]-f.border[i])+f.border[i])/step) * step)
	}
	return paths.Sides(side(0), side(1), f.settings.Said)
}

func size(r paths.Rect) [2]float64 { return [2]float64{r.Width(), r.Height()} }
