package survey

import (
	"fmt"
	"math"
	"strconv"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
)

// place reads channels across and along.
func place(name string, args []string) (weave.Place, error) {
	if len(args) != 2 {
		return weave.Place{}, usage(name)
	}
	var n [2]float64
	for i, a := range args {
		var err error
		if n[i], err = strconv.ParseFloat(a, 64); err != nil || math.IsNaN(n[i]) || math.Abs(n[i]) > 1e5 {
			return weave.Place{}, fault.Bad("", "count the channels from the rug's lower left corner as drawn, such as 96 104", "%q is no number of channels", a)
		}
	}
	return weave.Place{Across: n[0], Along: n[1]}, nil
}

func (v *survey) seek(args []string) error {
	p, err := place("seek", args)
	if err != nil {
		return err
	}
	return v.goTo(p)
}

// goTo steers to where a place is expected.
func (v *survey) goTo(p weave.Place) error {
	at, from, ok := v.found.Expect(p)
	switch {
	case v.load != nil:
		at, from = v.load.Expect(v.found, p)
	case !ok:
		return fault.Bad("", "steer to one by hand and mark it", "there is no mark yet to go by")
	}
	by := "by the fit of the marks"
	switch {
	case from < 0:
		by = "as if the cloth lay where it should"
	case from > 0:
		by = fmt.Sprintf("by the count from mark %d, as if the cloth lay square", from)
	}
	v.say("going to channel %g across, %g along, %s", p.Across, p.Along, by)
	if err := v.moveTo(at); err != nil {
		return err
	}
	v.sought = &p
	return nil
}

func (v *survey) next([]string) error {
	if v.load != nil {
		return v.nextPoint()
	}
	if _, known := v.found.Size(); !known {
		return fault.Bad("", "[width] and [height] say it; seek goes to any place", "the rug's size is not known, so no place is better than another")
	}
	p, ok := v.found.Propose()
	if !ok {
		return fault.Bad("", `"done" ends here; seek goes to any place`, "the error to expect is small enough: no mark is wanting")
	}
	if len(v.found.Marks()) == 0 {
		v.sought = &p.Place
		v.say("steer to channel %g across, %g along by hand, then mark", p.Place.Across, p.Place.Along)
		return nil
	}
	return v.goTo(p.Place)
}

// number reads the number of a mark.
func (v *survey) number(name string, args []string) (int, error) {
	if len(args) != 1 {
		return 0, usage(name)
	}
	n, err := strconv.Atoi(args[0])
	if err != nil || n < 1 || n > len(v.found.Marks()) {
		return 0, fault.Bad("", `"marks" lists them`, "there is no mark %q", args[0])
	}
	return n, nil
}

func (v *survey) back(args []string) error {
	n, err := v.number("back", args)
	if err != nil {
		return err
	}
	m := v.found.Marks()[n-1]
	if err := v.moveTo(m.At); err != nil {
		return err
	}
	v.sought = &m.Place
	return nil
}

func (v *survey) mark(args []string) error {
	var p weave.Place
	var err error
	if len(args) == 0 && v.sought != nil {
		p = *v.sought
	} else if p, err = place("mark", args); err != nil {
		return err
	}
	found, n, err := v.found.With(cloth.Mark{Place: p, At: micron(v.pilot.At())})
	if err != nil {
		return err
	}
	v.say("mark %d: channel %g across, %g along", n, p.Across, p.Along)
	v.sought = nil
	return v.take(found)
}

// micron rounds a place to a thousandth of a mm: a number that can be read.
func micron(p paths.Point) paths.Point {
	return paths.Point{X: math.Round(p.X*1000) / 1000, Y: math.Round(p.Y*1000) / 1000}
}

func (v *survey) remove(args []string) error {
	n, err := v.number("remove", args)
	if err != nil {
		return err
	}
	found, err := v.found.Without(n)
	if err != nil {
		return err
	}
	v.say("mark %d is forgotten; those after it moved up by one", n)
	return v.take(found)
}

// take replaces the marks, once they are kept.
func (v *survey) take(found cloth.Survey) error {
	if err := v.keep(found.Marks()); err != nil {
		return err
	}
	v.found = found
	return v.list(nil)
}

// list shows the marks, how far each is off, and what to look at.
func (v *survey) list([]string) error {
	reg, err := v.found.Fit()
	var r *cloth.Report
	if err == nil {
		r = reg.Report()
	}
	for i, m := range v.found.Marks() {
		off := ""
		if r != nil {
			d := r.Marks[i].Residual
			off = fmt.Sprintf("   off the fit by %.2f mm%s%s", d.Len(), aside(d.X, "right", "left"), aside(d.Y, "up", "down"))
		}
		v.say("  %3d. channel %6g across %6g along at %8.2f, %8.2f mm%s", i+1, m.Place.Across, m.Place.Along, m.At.X, m.At.Y, off)
	}
	if f := fault.Request(err); f != nil {
		v.say("%s", v.words(fmt.Sprintf("no fit of these marks: %s; %s", f, f.Do)))
		return nil
	}
	if err != nil {
		return err
	}
	v.say("%d marks, fitted as %s: %.2f mm off in the mean, %.2f mm (%.2f channels) at most", len(r.Marks), r.Model, r.RMS, r.Max, r.MaxChannels)
	for _, w := range r.Warnings {
		if w.Code != cloth.ErrorExpected {
			v.say("look at: %s", w.Message)
		}
	}
	v.sayError(r)
	return nil
}

// sayError says what error is to be expected, and which mark helps most.
func (v *survey) sayError(r *cloth.Report) {
	if v.load != nil {
		v.sayJoint()
		return
	}
	v.say("error to expect: %.2f channels at the worst place of the rug, or less, in 2 of 3 cloths like this, and %.2f in 95 of 100", r.LikelyError, r.ExpectedError)
	if _, known := v.found.Size(); !known {
		return
	}
	switch p, ok := v.found.Propose(); {
	case !ok:
		v.say("that is enough: under %.2f channels in 95 of 100 cloths no more marks are proposed", cloth.EnoughError)
	case p.Then > 0:
		v.say("next: channel %g across, %g along, which brings the %.2f to about %.2f", p.Place.Across, p.Place.Along, r.ExpectedError, p.Then)
	default:
		v.say("next: channel %g across, %g along", p.Place.Across, p.Place.Along)
	}
}

// aside says how far something lies to a side, "" below 0.005.
func aside(d float64, more, less string) string {
	switch {
	case d >= 0.005:
		return fmt.Sprintf(", %.2f %s", d, more)
	case d <= -0.005:
		return fmt.Sprintf(", %.2f %s", -d, less)
	}
	return ""
}

func (v *survey) goPark([]string) error { return v.moveTo(v.park) }
