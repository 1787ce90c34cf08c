// Package jobtest has inputs and settings for tests of jobs.
package jobtest

import (
	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/plot/job"
	"weftplot/profiles"
)

// Inputs are a design with the built-in profiles that the settings name.
func Inputs(t interface{ Fatal(...any) }, d paths.Design, s job.Settings) job.Inputs {
	in := job.Inputs{Design: d, Pens: map[string]profiles.Pen{}}
	var err error
	if s.HasMachine() {
		if in.Machine, err = profiles.MachineNamed(s.Machine); err != nil {
			t.Fatal(err)
		}
	}
	if s.Language != "" {
		in.Machine.Language = s.Language
	}
	if in.Backing, err = profiles.BackingNamed(s.Backing); err != nil {
		t.Fatal(err)
	}
	for _, name := range profiles.Names(profiles.PenKind) {
		if in.Pens[name], err = profiles.PenNamed(name); err != nil {
			t.Fatal(err)
		}
	}
	return in
}

// DesignOf is a design of one layer a slice, called a, b and so on, that states its
// size.
func DesignOf(layers ...[]paths.Stroke) paths.Design {
	d := paths.Design{Name: "test", HasSize: true}
	for i, strokes := range layers {
		l := paths.Layer{Name: string(rune('a' + i))}
		for _, s := range strokes {
			l.Strokes = append(l.Strokes, paths.DesignStroke{Stroke: s})
		}
		d.Layers = append(d.Layers, l)
	}
	return d
}

// Point draws a point of a sheet of 200 mm.
func Point(t *rapid.T) paths.Point {
	return paths.Point{X: rapid.Float64Range(0, 200).Draw(t, "x"), Y: rapid.Float64Range(0, 200).Draw(t, "y")}
}

// Strokes draws one to six strokes of every kind.
func Strokes(t *rapid.T) []paths.Stroke {
	var out []paths.Stroke
	for range rapid.IntRange(1, 6).Draw(t, "strokes") {
		a, b, c, d := Point(t), Point(t), Point(t), Point(t)
		switch rapid.IntRange(0, 5).Draw(t, "shape") {
		case 0:
			out = append(out, paths.Polyline(a, b))
		case 1:
			out = append(out, paths.Polyline(a, b, c, a))
		case 2:
			out = append(out, paths.Stroke{paths.Circle(a, rapid.Float64Range(3, 60).Draw(t, "r"))})
		case 3:
			out = append(out, paths.Stroke{paths.Cubic{A: a, B: b, C: c, D: d}})
		case 4: // on the weave, a little askew
			out = append(out, paths.Polyline(a, paths.Point{X: a.X + 1, Y: a.Y + 90}, paths.Point{X: a.X + 80, Y: a.Y + 91}))
		case 5:
			out = append(out, paths.Polyline(a))
		}
	}
	return out
}

// Settings draws the settings of a job whose layers are a and b.
func Settings(t *rapid.T) job.Settings {
	s := job.Defaults()
	s.Width = paths.Length(rapid.Float64Range(150, 500).Draw(t, "width"))
	s.Craft = rapid.SampledFrom([]job.Craft{job.PunchNeedle, job.Hooking}).Draw(t, "craft")
	s.Transfer = rapid.SampledFrom([]job.Transfer{job.Direct, job.Tracing, job.IronOn}).Draw(t, "transfer")
	s.Border = rapid.SampledFrom([]string{"", "edge", "4", "3,1"}).Draw(t, "border")
	s.NoSnap = rapid.Bool().Draw(t, "no-snap")
	s.Effort = "quick"
	s.Really = true // the pens are drawn without regard to the transfer
	s.Machine = rapid.SampledFrom([]string{"practice", "gantry-servo", "gantry-z", "flatbed-hpgl", "flatbed-hpgl2"}).Draw(t, "machine")
	if rapid.Bool().Draw(t, "two pens") {
		s.PenFor = map[string]string{"a": "soft-pencil"}
	}
	return s
}
