package survey

import (
	"context"
	"fmt"
	"math"

	"weftplot/cmd/weftplot/terminal"
	"weftplot/device"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
)

// A Load says what is to be found before a load of a rug is drawn.
type Load struct {
	Points []Point // in their order
	// At returns where a place should be on the machine, in mm, before any point is found.
	At func(weave.Place) paths.Point
	// Meets are where the load's lines meet what is drawn already; none in the first load.
	Meets []cloth.Passage
	// Most is the error to expect there, in channels, over which the load is not drawn.
	Most float64
}

// A Point is a place of the cloth and what a person looks for.
type Point struct {
	Name  string
	Place weave.Place
}

// SteerLoad is [Steer] to the points of a load, one after the other.
func SteerLoad(ctx context.Context, s terminal.Streams, keys *terminal.Keyboard, pilot *device.Pilot, park paths.Point, found cloth.Survey, load Load, keep func([]cloth.Mark) error) (cloth.Survey, error) {
	v := &survey{pilot: pilot, park: park, found: found, step: 1, w: s.Err, words: s.Words, keep: keep, load: &load}
	v.say("%d points to find, in their order; fewer will do once the error to expect is small enough", len(load.Points))
	return steer(ctx, s, keys, v)
}

// Refused returns the fault of marks that do not make the joints sure enough: nil where
// they do.
func (l Load) Refused(reg cloth.Registration) error {
	if x := l.expect(reg); x > l.Most {
		return fault.Bad("", "find more of its points, or find them again with care", "with these marks an error of %.2f channels is to be expected%s, and over %.1f is refused", x, l.where(), l.Most)
	}
	return nil
}

// expect returns the error to expect where the load meets others, in channels; of the
// first load, anywhere.
func (l Load) expect(reg cloth.Registration) float64 {
	if x, ok := reg.ExpectAside(l.Meets); ok {
		return x.Greatest
	}
	return reg.Report().ExpectedError
}

func (l Load) where() string {
	if len(l.Meets) == 0 {
		return ""
	}
	return " at the joints"
}

// missing returns the numbers, from 0, of the points that have no mark.
func (v *survey) missing() []int {
	const near = 0.5 // channels: the same place
	var out []int
	for i, p := range v.load.Points {
		marked := false
		for _, m := range v.found.Marks() {
			marked = marked || math.Hypot(m.Place.Across-p.Place.Across, m.Place.Along-p.Place.Along) < near
		}
		if !marked {
			out = append(out, i)
		}
	}
	return out
}

// nextPoint steers to the first point that has no mark.
func (v *survey) nextPoint() error {
	missing := v.missing()
	if len(missing) == 0 {
		return fault.Bad("", `"done" ends here; back goes to a mark to take it again`, "all points of the load are found")
	}
	p := v.load.Points[missing[0]]
	v.say("point %d of %d: %s", missing[0]+1, len(v.load.Points), p.Name)
	return v.goTo(p.Place)
}

// sayJoint says what error is to be expected at the joints, and what comes next.
func (v *survey) sayJoint() {
	reg, err := v.found.Fit()
	if err != nil {
		return // it was said
	}
	x := v.load.expect(reg)
	text := fmt.Sprintf("error to expect%s: %.2f channels, or less, in 95 of 100 cloths like this", v.load.where(), x)
	switch missing := v.missing(); {
	case x <= cloth.EnoughError:
		text += ": that is enough"
	case len(missing) == 0:
		text += "; all points are found"
	default:
		text += fmt.Sprintf("; next: point %d, %s", missing[0]+1, v.load.Points[missing[0]].Name)
	}
	v.say("%s", text)
}
