package snap_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
	"weftplot/paths/weave/snap"
)

// inch12 is the weave of these tests: 12 channels an inch.
var inch12 = weave.Grid{Across: 25.4 / 12, Along: 25.4 / 12}

// level is a line at a place along the cloth, in channels.
func level(at, from, to float64) paths.Stroke {
	return paths.Polyline(inch12.At(weave.Place{Across: from, Along: at}), inch12.At(weave.Place{Across: to, Along: at}))
}

func TestNamed(t *testing.T) {
	stripes := func(n int) []paths.Stroke {
		var out []paths.Stroke
		for i := range n {
			out = append(out, level(3+4.2*float64(i), 0, 80))
		}
		return out
	}
	along := func(channel int, strokes ...int) []snap.Named {
		return []snap.Named{{Name: "hearth", Strokes: strokes, Axis: weave.Along, Channel: channel}}
	}
	border := []weave.FixedLine{{Axis: weave.Along, Channel: 0, Lo: 0, Hi: 200}, {Axis: weave.Along, Channel: 40, Lo: 0, Hi: 200}}
	tests := []struct {
		name    string
		strokes []paths.Stroke
		opt     snap.Options
		fault   string // what it says, "" for none
	}{
		{"beside its place", stripes(3), snap.Options{Named: along(9, 1)}, ""},
		{"far away, and the others make room", stripes(3), snap.Options{Named: along(60, 0)}, ""},
		{"of a symmetric design", stripes(5), snap.Options{Named: along(22, 4)}, ""},
		{"on the axis of one", stripes(5), snap.Options{Named: along(13, 2)}, ""},
		{"both of a pair, unevenly", stripes(5), snap.Options{Named: append(along(2, 0), along(23, 4)...)}, ""},
		{"several at one place", []paths.Stroke{level(5.2, 0, 30), level(5.3, 50, 80)}, snap.Options{Named: along(7, 0, 1)}, ""},
		{"at several places", stripes(3), snap.Options{Named: along(9, 0, 1)}, "at several places, channels 3.0, 7.2"},
		{"none that way", stripes(3), snap.Options{Named: []snap.Named{{Name: "hearth", Strokes: []int{0}, Axis: weave.Across, Channel: 4}}}, "no line that runs along"},
		{"two in one channel", stripes(3), snap.Options{Named: append(along(9, 0), along(9, 1)...)}, "another is put into channel 9"},
		{"past each other", stripes(3), snap.Options{Named: append(along(9, 0), along(5, 1)...)}, "another is put into channel"},
		{"in two", stripes(3), snap.Options{Named: append(along(9, 0), along(5, 0)...)}, "in channel 9 and in channel 5"},
		{"on the border", stripes(3), snap.Options{Named: along(0, 0), Fixed: border}, "a line of the border lies in channel 0"},
		{"beyond the room", stripes(3), snap.Options{Named: along(1, 0), Fixed: border, Room: &snap.Room{Left: 0, Right: 200, Bottom: 3, Top: 37}}, "channels 3 to 37"},
		{"at the room's side", stripes(3), snap.Options{Named: along(37, 2), Fixed: border, Room: &snap.Room{Left: 0, Right: 200, Bottom: 3, Top: 37}}, ""},
		{"no room beyond it", stripes(3), snap.Options{Named: along(37, 1), Fixed: border, Room: &snap.Room{Left: 0, Right: 200, Bottom: 3, Top: 37}}, "cannot lie in channel 37"},
	}
	for _, test := range tests {
		r, err := snap.Strokes(test.strokes, inch12, test.opt)
		if test.fault != "" {
			if !errors.Is(err, fault.Input) || !strings.Contains(err.Error(), test.fault) {
				t.Errorf("%s: %v", test.name, err)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s: %v", test.name, err)
			continue
		}
		checkNamed(t, test.name, r, test.opt.Named)
	}
}

type failer interface{ Errorf(string, ...any) }

// checkNamed checks that the named lines lie in their channels, and that the others keep
// their order.
func checkNamed(t failer, name string, r snap.Result, named []snap.Named) {
	for _, n := range named {
		for _, i := range n.Strokes {
			want := float64(n.Channel) * inch12.Pitch(n.Axis)
			for _, p := range []paths.Point{r.Strokes[i].Start(), r.Strokes[i].End()} {
				if at, _ := n.Axis.Split(p); math.Abs(at-want) > 1e-9 {
					t.Errorf("%s: stroke %d lies at channel %g, not in %d", name, i, at/inch12.Pitch(n.Axis), n.Channel)
				}
			}
		}
	}
	for i := 1; i < len(r.Strokes); i++ {
		a, b := inch12.PlaceOf(r.Strokes[i-1].Start()), inch12.PlaceOf(r.Strokes[i].Start())
		if b.Along < a.Along-1e-9 {
			t.Errorf("%s: line %d at %g came to lie below line %d at %g", name, i, b.Along, i-1, a.Along)
		}
	}
}

// Whatever lines there are and whichever is named, it lies in its channel and the order
// holds, or the refusal names the setting.
func TestNamedHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var strokes []paths.Stroke
		at := 0.0
		for range rapid.IntRange(1, 9).Draw(t, "lines") {
			at += rapid.Float64Range(.6, 9).Draw(t, "step")
			strokes = append(strokes, level(at, rapid.Float64Range(0, 20).Draw(t, "from"), rapid.Float64Range(30, 60).Draw(t, "to")))
		}
		n := snap.Named{Name: "it", Strokes: []int{rapid.IntRange(0, len(strokes)-1).Draw(t, "which")}, Axis: weave.Along, Channel: rapid.IntRange(-20, 100).Draw(t, "channel")}
		opt := snap.Options{Named: []snap.Named{n}}
		if rapid.Bool().Draw(t, "border") {
			opt.Fixed = []weave.FixedLine{{Axis: weave.Along, Channel: -2, Lo: 0, Hi: 200}, {Axis: weave.Along, Channel: 90, Lo: 0, Hi: 200}}
			opt.Room = &snap.Room{Left: -5, Right: 200, Bottom: 0, Top: 88}
		}
		r, err := snap.Strokes(strokes, inch12, opt)
		if err == nil {
			checkNamed(t, "random", r, opt.Named)
			return
		}
		var f *fault.Error
		if !errors.As(err, &f) || f.Where != "channel" || opt.Room == nil {
			t.Errorf("%v", err)
		}
	})
}
