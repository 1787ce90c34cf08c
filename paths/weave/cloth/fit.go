package cloth

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
)

// FitOptions say how to fit a registration.
type FitOptions struct {
	// Model is a name of [Models]; "" is [Auto].
	Model string
	// Expect is the count the backing's profile gives, for the scale of a
	// similarity and for comparison. The zero value expects nothing.
	Expect paths.Count
	// Extent is the size of the rug in channels. The zero value is the extent of
	// the marks.
	Extent weave.Place
}

// The limits of a fit, in channels unless something else is said.
const (
	mostResidual = 0.5  // a mark farther off its image is refused
	recountGain  = 1.6  // recounting one mark lowers the leave-one-out error by this factor
	badDeleted   = 0.7  // a mark this far from where the others put it is bad, if ...
	sureResidual = 0.25 // ... the others keep within this without it ...
	outlierGain  = 3    // ... and the leave-one-out error falls by this factor without it
	lineShare    = 0.02 // marks whose spread one way is this share of the other's are on one line
	countShare   = 0.15 // counts that differ more from the profile's are warned of
)

// Fit returns the registration that fits marks on the stretched cloth. With
// [Auto], two marks give a similarity and three an affine map. With more marks
// it compares the models that leave marks to spare and takes the one with the
// least leave-one-out error, or a stiffer one when that costs less than a
// tenth. If that leaves a residual over a quarter of a channel, and some model
// passes through every mark, it takes that model.
//
// It refuses the following, with a [fault.Error] that names the worst mark:
// fewer marks than the model needs, two marks at one place, marks on one line,
// a map that mirrors or folds the cloth, a mark more than half a channel off
// its image or, with marks to spare, off where the others put it, and a rug
// that reaches far beyond the marks.
func Fit(marks []Mark, opt FitOptions) (Registration, error) {
	g := weave.Grid{Across: 1, Along: 1}
	if opt.Expect != (paths.Count{}) {
		var err error
		if g, err = weave.NewGrid(opt.Expect); err != nil {
			return Registration{}, err
		}
	}
	if err := checkMarks(marks, g, opt.Model); err != nil {
		return Registration{}, err
	}
	f, err := fitBest(marks, g, opt.Model)
	if err != nil {
		return Registration{}, err
	}
	if err := checkTurn(f, marks, opt.Extent); err != nil {
		return Registration{}, err
	}
	if err := checkResiduals(f, marks, g, opt.Model); err != nil {
		return Registration{}, err
	}
	if err := checkReach(f, marks, g, opt.Extent); err != nil {
		return Registration{}, err
	}
	return register(f, marks, opt), nil
}

// checkMarks refuses marks that no model can use.
func checkMarks(marks []Mark, g weave.Grid, model string) error {
	if model != "" && !slices.Contains(Models, model) {
		return fault.Bad("", "it is one of "+strings.Join(Models, ", "), "there is no fit called %q", model)
	}
	least := max(2, leastMarks[model])
	if len(marks) < least {
		if model == "" || model == Auto {
			model = "a registration"
		}
		return fault.Bad("", "steer to more marks: four near the corners are the least that shows an error",
			"%s too few for %s, which takes %d", areMarks(len(marks)), model, least)
	}
	if len(marks) > maxMarks {
		return fault.Bad("", "a grid of 9 to 25 marks serves any rug", "%d marks are more than the %d that can be used", len(marks), maxMarks)
	}
	for i, m := range marks {
		if err := m.check(fmt.Sprintf("mark %d", i+1)); err != nil {
			return err
		}
		for j, o := range marks[:i] {
			if math.Hypot(m.Place.Across-o.Place.Across, m.Place.Along-o.Place.Along) < mostResidual {
				return fault.Bad(fmt.Sprintf("mark %d", i+1), "leave one of them out, or correct its count",
					"it has the same place on the weave as mark %d", j+1)
			}
			if m.At.Dist(o.At) < mostResidual*min(g.Across, g.Along) {
				return fault.Bad(fmt.Sprintf("mark %d", i+1), "leave one of them out, or steer to it again",
					"the machine found it at the same place as mark %d", j+1)
			}
		}
	}
	if len(marks) > 2 && onOneLine(marks, g) {
		return fault.Bad("", "take marks near all four corners", "all %d marks lie on one line, so they say nothing of the other way", len(marks))
	}
	return nil
}

// onOneLine reports whether the places spread in one direction only: the lesser
// root of their scatter is a small share of the greater.
func onOneLine(marks []Mark, g weave.Grid) bool {
	f := newFrame(marks, g)
	var xx, xy, yy float64
	for _, m := range marks {
		p := f.local(m.Place)
		xx, xy, yy = xx+p.X*p.X, xy+p.X*p.Y, yy+p.Y*p.Y
	}
	mean, diff := (xx+yy)/2, math.Hypot((xx-yy)/2, xy)
	return mean-diff <= lineShare*lineShare*(mean+diff)
}

// fitBest fits the named model, or chooses one.
func fitBest(marks []Mark, g weave.Grid, model string) (fitted, error) {
	if model != "" && model != Auto {
		f, err := fitModel(model, marks, g)
		if err != nil {
			return f, fault.Bad("", "spread the marks over the rug, or choose a stiffer fit", "the marks do not determine the %s fit", model)
		}
		return f, nil
	}
	best, exact := candidates(marks, g)
	switch {
	case best.at == nil && exact.at == nil:
		return best, fault.Bad("", "take marks near all four corners", "the marks do not determine a map")
	case exact.at == nil:
		return best, nil
	case best.at == nil || len(marks) == 3 || mostOff(best, marks, g) > sureResidual:
		return exact, nil
	}
	return best, nil
}

// candidates returns the model with marks to spare whose leave-one-out error is
// least, the stiffer one where the gain is under a tenth, and the stiffest
// model that passes through every mark. The map of either is nil where there is
// no such model.
func candidates(marks []Mark, g weave.Grid) (best, exact fitted) {
	for _, name := range Models[1:] {
		if len(marks) < leastMarks[name] {
			break
		}
		f, err := fitModel(name, marks, g)
		switch {
		case err != nil:
		case !f.spare && exact.at == nil:
			exact = f
		case f.spare && (best.at == nil || f.leaveOneOut() < 0.9*best.leaveOneOut()):
			best = f
		}
	}
	return best, exact
}

// mostOff returns the greatest residual in channels.
func mostOff(f fitted, marks []Mark, g weave.Grid) float64 {
	worst := 0.
	for i, m := range marks {
		worst = max(worst, channelsLong(f.inChannels(m.Place, f.residual[i], g)))
	}
	return worst
}

func channelsLong(p weave.Place) float64 { return math.Hypot(p.Across, p.Along) }

// jacobian returns how the image of p moves in mm for a channel each way.
func (f fitted) jacobian(p weave.Place) (across, along paths.Point) {
	const h = 1e-3 // channels
	d := func(dx, dy float64) paths.Point {
		q := f.at(place(p.Across+dx, p.Along+dy))
		return q.Sub(f.at(place(p.Across-dx, p.Along-dy))).Mul(1 / (2 * h))
	}
	return d(h, 0), d(0, h)
}

// inChannels returns a small movement on the machine as one on the weave at p.
// Where the map has no inverse it uses g.
func (f fitted) inChannels(p weave.Place, d paths.Point, g weave.Grid) weave.Place {
	a, b := f.jacobian(p)
	det := a.Cross(b)
	if math.Abs(det) < 1e-6*g.Across*g.Along {
		return g.PlaceOf(d)
	}
	return place(d.Cross(b)/det, a.Cross(d)/det)
}

// lattice calls visit on 17 x 17 places over the rug and the marks.
func lattice(marks []Mark, extent weave.Place, visit func(weave.Place)) {
	lo, hi := markBounds(marks)
	lo = place(min(lo.Across, 0), min(lo.Along, 0))
	if extent != (weave.Place{}) {
		hi = place(max(hi.Across, extent.Across), max(hi.Along, extent.Along))
	}
	const n = 16
	for i := 0; i <= n; i++ {
		for j := 0; j <= n; j++ {
			visit(place(
				lo.Across+(hi.Across-lo.Across)*float64(i)/n,
				lo.Along+(hi.Along-lo.Along)*float64(j)/n,
			))
		}
	}
}

func markBounds(marks []Mark) (lo, hi weave.Place) {
	lo, hi = marks[0].Place, marks[0].Place
	for _, m := range marks {
		lo = place(min(lo.Across, m.Place.Across), min(lo.Along, m.Place.Along))
		hi = place(max(hi.Across, m.Place.Across), max(hi.Along, m.Place.Along))
	}
	return lo, hi
}

// areMarks says how many marks there are.
func areMarks(n int) string {
	if n == 1 {
		return "1 mark is"
	}
	return fmt.Sprintf("%d marks are", n)
}
