package plot

import (
	"context"
	"math"
	"slices"
	"testing"

	"weftplot/paths"
	"weftplot/plot/job"
	"weftplot/plot/job/jobtest"
)

// leaning are lines that lean by some degrees, one a layer, a to d.
func leaning(degrees float64) paths.Design {
	var layers [][]paths.Stroke
	for i := range 4 {
		x := 20 + 50*float64(i)
		lean := 120 * math.Tan(degrees*math.Pi/180)
		layers = append(layers, []paths.Stroke{paths.Polyline(paths.Point{X: x, Y: 10}, paths.Point{X: x + lean, Y: 130})})
	}
	return jobtest.DesignOf(layers...)
}

// A layer has its own angle, or its lines are left out of channels.
func TestSnapFor(t *testing.T) {
	for _, c := range []struct {
		degrees float64
		of      map[string]string
		want    string
		noSnap  bool
	}{
		{2, nil, "abcd", false},
		{5, nil, "", false},
		{2, map[string]string{"a": "off"}, "bcd", false},
		{5, map[string]string{"b": "6", "d": "6"}, "bd", false},
		{5, map[string]string{"b": "4", "d": "20"}, "d", false},
		{2, map[string]string{"a": "1", "b": "off", "c": "1.5", "d": "2.5"}, "d", false},
		{2, nil, "", true},
		{2, map[string]string{"c": "3"}, "c", true},
	} {
		s := job.Defaults()
		s.SnapFor, s.Border = c.of, "edge"
		s.NoSnap = c.noSnap
		j := snappedOf(t, leaning(c.degrees), s)
		var got []byte
		for _, k := range j.Lines {
			a, b := j.Grid.PlaceOf(k.Start()).Across, j.Grid.PlaceOf(k.End()).Across
			if k.Layer != BorderLayer && math.Abs(a-b) < 1e-6 && math.Abs(a-math.Round(a)) < 1e-6 {
				got = append(got, k.Layer...)
			}
		}
		slices.Sort(got)
		if string(got) != c.want {
			t.Errorf("%g degrees, %v: %q lie in channels, want %q", c.degrees, c.of, got, c.want)
		}
	}
	for _, of := range []map[string]string{{"a": "30"}, {"a": "steep"}, {"a": "0"}, {"z": "off"}} {
		s := job.Defaults()
		s.SnapFor = of
		l, err := Lay(jobtest.Inputs(t, leaning(2), s), s)
		if err == nil {
			_, err = Snap(context.Background(), l, Options{})
		}
		if err == nil {
			t.Errorf("%v is taken", of)
		}
	}
}

// The border is drawn before all else, and layers that the settings name before it, in
// their order; so are the pens.
func TestFirstLayers(t *testing.T) {
	for _, c := range []struct {
		first  []string
		penFor map[string]string
		want   string
	}{
		{nil, nil, "border,"},
		{[]string{"d"}, nil, "d,border,"},
		{[]string{"c", "border", "a"}, nil, "c,border,a,"},
		{[]string{"d", "b", "c", "a"}, nil, "d,b,c,a,border,"},
		{[]string{"c"}, map[string]string{"c": "soft-pencil"}, "c,border,"},
	} {
		s := job.Defaults()
		s.Border, s.First, s.PenFor, s.Effort = "edge", c.first, c.penFor, "quick"
		j, err := Make(context.Background(), jobtest.Inputs(t, leaning(2), s), s, Options{})
		if err != nil {
			t.Fatal(err)
		}
		got, seen := "", 0
		for _, r := range j.PenRuns {
			for _, k := range r.Ways {
				seen++
				if got += k.Layer + ","; len(got) > len(c.want) {
					got = got[:len(c.want)]
				}
			}
		}
		if got != c.want || seen != 5 {
			t.Errorf("%v: begins with %q of %d strokes, want %q", c.first, got, seen, c.want)
		}
	}
	s := job.Defaults()
	s.First = []string{"sky"}
	if _, err := Make(context.Background(), jobtest.Inputs(t, leaning(2), s), s, Options{}); err == nil {
		t.Error("a layer that is not there is taken")
	}
}
