package plot

import (
	"context"
	"regexp"
	"testing"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/job"
	"weftplot/plot/job/jobtest"
	"weftplot/profiles"
)

// The size that is said to be the largest that fits does fit, on every machine, lying
// both ways, in inches and in cm, with a border and without.
func TestTheLargestThatFitsFits(t *testing.T) {
	said := regexp.MustCompile(`about (\S+) x \S+ (in|cm) \(.*\) with \[lay\] (upright|turned), or (\S+) x \S+ (?:in|cm) \(.*\) with \[lay\] (upright|turned)`)
	d := jobtest.DesignOf([]paths.Stroke{paths.Polyline(paths.Point{}, paths.Point{X: 300}, paths.Point{X: 260, Y: 170}, paths.Point{X: 10, Y: 200}, paths.Point{})})
	for _, machine := range profiles.Names(profiles.MachineKind) {
		for _, lay := range []string{job.Upright, job.LaidTurned} {
			for _, width := range []string{"200in", "500cm"} {
				for _, border := range []string{"", "3"} {
					s, err := job.Defaults().With(map[string][]string{"machine": {machine}, "lay": {lay}, "width": {width}, "border": {border}})
					if err != nil {
						t.Fatal(err)
					}
					_, err = Make(context.Background(), jobtest.Inputs(t, d, s), s, Options{})
					var f *fault.Error
					if !asFault(err, &f) || f.Kind != fault.Fit {
						t.Fatalf("%s wide on %s: %v", width, machine, err)
					}
					m := said.FindStringSubmatch(f.Do)
					if m == nil || m[3] != lay {
						t.Fatalf("%q says nothing of what fits %s", f.Do, lay)
					}
					for _, fit := range [][2]string{{m[1], m[3]}, {m[4], m[5]}} {
						s, err := s.With(map[string][]string{"width": {fit[0] + m[2]}, "lay": {fit[1]}})
						if err != nil {
							t.Fatal(err)
						}
						if _, err := Make(context.Background(), jobtest.Inputs(t, d, s), s, Options{}); err != nil {
							t.Errorf("%s, border %q: %s%s was said to fit with %s: %v", machine, border, fit[0], m[2], fit[1], err)
						}
					}
				}
			}
		}
	}
}
