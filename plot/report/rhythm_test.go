package report

import (
	"context"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/weave/snap"
	"weftplot/plot"
	"weftplot/plot/figures"
	"weftplot/plot/job"
	"weftplot/plot/job/jobtest"
)

// The sizes that the one sentence about stripes names are sizes at which they come
// out so of themselves, with a border and without.
func TestSizesThatFit(t *testing.T) {
	var art []paths.Stroke
	for i := range 31 {
		x := 7.3 * float64(i)
		art = append(art, paths.Polyline(paths.Point{X: x}, paths.Point{X: x, Y: 160}))
	}
	sizes := regexp.MustCompile(`They would be (\d+) rows each at \[(width|height)\] ([\d.]+in), (\d+) at ([\d.]+in)`)
	for _, border := range []string{"", "4,2"} {
		s := job.Defaults()
		s.Border, s.Width, s.Effort = border, 225, "quick"
		if border != "" {
			s.Width, s.Height = 0, 250
		}
		r := rhythmReport(t, art, s)
		var said []Warning
		for _, w := range r.Warnings {
			if strings.HasPrefix(w.Code, "spacing-") || w.Code == "moved-over-a-channel" {
				said = append(said, w)
			}
		}
		if len(said) != 1 {
			t.Fatalf("border %q: %d sentences, want one: %+v", border, len(said), said)
		}
		m := sizes.FindStringSubmatch(said[0].Message)
		if m == nil {
			t.Fatalf("border %q: no sizes in %q", border, said[0].Message)
		}
		for _, at := range [][2]string{{m[1], m[3]}, {m[4], m[5]}} {
			again, err := s.With(map[string][]string{m[2]: {at[1]}})
			if err != nil {
				t.Fatal(err)
			}
			r := rhythmReport(t, art, again)
			if i := slices.IndexFunc(r.Warnings, func(w Warning) bool { return strings.HasPrefix(w.Code, "spacing-") }); i >= 0 {
				t.Errorf("border %q, %s: %s", border, at[1], r.Warnings[i].Message)
			}
			for i := 1; i < len(r.Snap.Lines); i++ {
				q := r.Snap.Lines[i].Channel - r.Snap.Lines[i-1].Channel
				if fmt.Sprint(max(q, -q)) != at[0] {
					t.Errorf("border %q, %s: a stripe of %d rows, not %s", border, at[1], q, at[0])
					break
				}
			}
		}
	}
}

func rhythmReport(t *testing.T, art []paths.Stroke, s job.Settings) Report {
	t.Helper()
	j, err := plot.Make(context.Background(), jobtest.Inputs(t, jobtest.DesignOf(art), s), s, plot.Options{AsGiven: true})
	if err != nil {
		t.Fatal(err)
	}
	return Of(j, Options{})
}

// A spacing that is whole as drawn is not what moved a line, and no size is named for it;
// one that is not names sizes other than the one asked.
func TestWholeSpacingsNameNoSizes(t *testing.T) {
	s := job.Defaults()
	s.Width = 400
	art := []paths.Stroke{paths.Polyline(paths.Point{}, paths.Point{X: 100}), paths.Polyline(paths.Point{}, paths.Point{Y: 100})}
	j, err := plot.Make(context.Background(), jobtest.Inputs(t, jobtest.DesignOf(art), s), s, plot.Options{AsGiven: true})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		what   string
		rhythm snap.Rhythm
		code   string
		sizes  bool
	}{
		{"whole, and moved by a middle in a channel", snap.Rhythm{Size: 26.001, Count: 26, Places: 24, Moved: 1.03}, "", false},
		{"whole, and moved by what lies beside it", snap.Rhythm{Size: 26.001, Count: 26, Places: 24, Moved: 2.4}, "moved-over-a-channel", false},
		{"not whole", snap.Rhythm{Size: 26.1, Count: 26, Places: 24, Moved: 1.03}, "spacing-evened", true},
		{"whole, without room", snap.Rhythm{Size: 26.001, Count: 26, Places: 24, Lost: 2}, "spacing-uneven", false},
		{"not whole, without room", snap.Rhythm{Size: 26.3, Count: 26, Places: 24, Lost: 2}, "spacing-uneven", true},
	} {
		at := j
		at.Moves.Rhythms = []snap.Rhythm{c.rhythm}
		got := &collector{Job: at}
		got.warnRhythms()
		code, sizes := "", false
		for _, w := range got.found {
			code, sizes = w.Code, strings.Contains(w.Message, "They would be")
			if strings.Contains(w.Message, "at [width] "+figures.Inches(400)) {
				t.Errorf("%s: the size asked is named: %s", c.what, w.Message)
			}
		}
		if code != c.code || sizes != c.sizes {
			t.Errorf("%s: %q, sizes %v, want %q, %v", c.what, code, sizes, c.code, c.sizes)
		}
	}
}
