package cloth

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth/models"
)

// FitOptions say how to fit a registration.
type FitOptions struct {
	// Model is a name of [models.Names]; "" is [models.Auto].
	Model string
	// Expect is the count the backing's profile gives, for the scale of a
	// similarity and for comparison. The zero value expects nothing.
	Expect paths.Count
	// Extent is the size of the rug in channels. The zero value is the extent of
	// the marks.
	Extent weave.Place
	// From is the rug's lower left corner, or that of the part of it that is fitted, as the
	// marks are counted.
	From weave.Place
	// Prior is how such cloth usually lies; the zero value is common practice.
	Prior Prior
	// Beyond lets the rug reach as far beyond the marks as it does: what that costs is in
	// the error to expect, at the places where it matters.
	Beyond bool
	// Loose are marks of which it is known that what they mark may lie beside its place.
	Loose []Loose
	// Over are the places over which [Report.ExpectedError] is told, in channels;
	// none is the whole rug.
	Over []weave.Place
	// counted is the place from which places are counted where a person reads of them.
	counted weave.Place
}

// A Loose mark tells less of the map than others do. In a load of a rug the map is to go on
// from the ink of an earlier load, which lies beside the threads by the error of that load:
// a thread shows where the ink is only to within that error, and ink shows it itself.
type Loose struct {
	Place weave.Place // of the mark
	By    float64     // how far off what is marked may be, in mm each way, root mean square
}

// looseBy returns how loose each mark is, in mm; nil where none is.
func (opt FitOptions) looseBy(marks []Mark) []float64 {
	if len(opt.Loose) == 0 {
		return nil
	}
	out := make([]float64, len(marks))
	for i, m := range marks {
		for _, l := range opt.Loose {
			if channelsLong(place(l.Place.Across-m.Place.Across, l.Place.Along-m.Place.Along)) < samePlace {
				out[i] = l.By
			}
		}
	}
	return out
}

// The limits of a fit, in channels unless something else is said.
const (
	mostResidual = 0.5  // a mark farther off the image of a model that was asked for is refused
	flat         = 0.02 // bends less than this are left out of a map
	countShare   = 0.15 // counts that differ more from the profile's are warned of
)

// Fit returns the registration that fits marks on the stretched cloth.
//
// With [models.Auto] that is the mean of all maps such cloth may have, weighed by the
// marks: it bends as far as they show and no farther. It is an affine map where
// they show no bend, and a similarity where there are two. A model that is asked
// for is fitted by least squares. Whatever the map, the report says how far it
// may be off the cloth anywhere on the rug.
//
// It refuses the following, with a [fault.Error] that names the mark where one is
// to blame: fewer marks than the model needs, two marks at one place, marks on one
// line, a map that mirrors or folds the cloth, a rug that reaches far beyond the
// marks, a mark that is wrong by what all others say, marks that contradict each
// other beyond any error in reading, and a mark more than half a channel off a
// model that was asked for.
func Fit(marks []Mark, opt FitOptions) (Registration, error) {
	if from := opt.From; from != (weave.Place{}) {
		r, err := Fit(opt.fromCorner(marks))
		return r.countedFrom(from), err
	}
	r, err := fit(marks, opt)
	if err != nil {
		return Registration{}, err
	}
	if opt.Beyond {
		return r, nil
	}
	return r, checkReach(r.fitted, marks, grid(opt), opt)
}

// grid returns the expected weave, a channel to a mm where none is.
func grid(opt FitOptions) weave.Grid {
	if opt.Expect == (paths.Count{}) {
		return weave.Grid{Across: 1, Along: 1}
	}
	return weave.Grid{Across: 1 / opt.Expect.Across, Along: 1 / opt.Expect.Along}
}

// fromCorner returns marks and options that are counted from the rug's corner.
func (opt FitOptions) fromCorner(marks []Mark) ([]Mark, FitOptions) {
	less := func(p weave.Place) weave.Place { return place(p.Across-opt.From.Across, p.Along-opt.From.Along) }
	marks = slices.Clone(marks)
	for i := range marks {
		marks[i].Place = less(marks[i].Place)
	}
	opt.Over = slices.Clone(opt.Over)
	for i := range opt.Over {
		opt.Over[i] = less(opt.Over[i])
	}
	opt.Loose = slices.Clone(opt.Loose)
	for i := range opt.Loose {
		opt.Loose[i].Place = less(opt.Loose[i].Place)
	}
	opt.counted, opt.From = opt.From, weave.Place{}
	return marks, opt
}

// asCounted returns a place as a person counts it.
func (opt FitOptions) asCounted(p weave.Place) weave.Place {
	return place(p.Across+opt.counted.Across, p.Along+opt.counted.Along)
}

// onCrossing returns the crossing of channels nearest to a place, as they are counted.
func (opt FitOptions) onCrossing(p weave.Place) weave.Place {
	return place(math.Round(p.Across+opt.counted.Across)-opt.counted.Across, math.Round(p.Along+opt.counted.Along)-opt.counted.Along)
}

// fit is Fit for a rug that may reach beyond the marks.
func fit(marks []Mark, opt FitOptions) (Registration, error) {
	if from := opt.From; from != (weave.Place{}) {
		r, err := fit(opt.fromCorner(marks))
		return r.countedFrom(from), err
	}
	if opt.Expect != (paths.Count{}) {
		if _, err := weave.NewGrid(opt.Expect); err != nil {
			return Registration{}, err
		}
	}
	if err := opt.Prior.check(); err != nil {
		return Registration{}, err
	}
	g := grid(opt)
	if err := checkMarks(marks, g, opt.Model); err != nil {
		return Registration{}, err
	}
	b, err := believe(marks, g, opt)
	if err != nil {
		return Registration{}, err
	}
	f, err := fitBest(b, marks, g, opt)
	if err != nil {
		return Registration{}, err
	}
	if err := checkTurn(f, marks, opt); err != nil {
		return Registration{}, err
	}
	e := &errorField{b, b.draw(), f.At}
	if err := checkMarked(e, f, marks, g, opt); err != nil {
		return Registration{}, err
	}
	return register(f, e, marks, opt), nil
}

// believe weighs marks over the flat map that lies nearest to them.
func believe(marks []Mark, g weave.Grid, opt FitOptions) (*belief, error) {
	model := models.Affine
	if len(marks) < models.Least[models.Affine] {
		model = models.Similarity
	}
	loose := opt.looseBy(marks)
	base, err := models.Fit(model, pairs(marks), loose, g)
	if err == nil {
		s := newSheet(marks, opt.Extent, base)
		if s.hi.Across > s.lo.Across && s.hi.Along > s.lo.Along && s.width > 0 && s.height > 0 {
			return newBelief(marks, loose, s, opt.Prior.withDefaults(), model == models.Affine), nil
		}
	}
	return nil, fault.Bad("", "take marks near all four corners", "the marks do not determine a map")
}

// checkMarks refuses marks that no model can use.
func checkMarks(marks []Mark, g weave.Grid, model string) error {
	if model != "" && !slices.Contains(models.Names, model) {
		return fault.Bad("", "it is one of "+strings.Join(models.Names, ", "), "there is no fit called %q", model)
	}
	least := max(2, models.Least[model])
	if len(marks) < least {
		if model == "" || model == models.Auto {
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
	if len(marks) > 2 && models.OnOneLine(pairs(marks), g) {
		return fault.Bad("", "take marks near all four corners", "all %d marks lie on one line, so they say nothing of the other way", len(marks))
	}
	return nil
}

// fitBest fits the named model, or as [Fit] says of [models.Auto].
func fitBest(b *belief, marks []Mark, g weave.Grid, opt FitOptions) (models.Fitted, error) {
	model := opt.Model
	switch model {
	case "", models.Auto:
		return fitBelief(b, marks, true), nil
	case models.Smooth:
		return fitBelief(b, marks, false), nil
	}
	f, err := models.Fit(model, pairs(marks), opt.looseBy(marks), g)
	if err != nil {
		return f, fault.Bad("", "spread the marks over the rug, or choose a stiffer fit", "the marks do not determine the %s fit", model)
	}
	return f, nil
}

// fitBelief returns the mean map of a belief, or its flat map where the mean is
// as good as flat and that is allowed.
func fitBelief(b *belief, marks []Mark, mayBeFlat bool) models.Fitted {
	mean := b.mean()
	model := b.model(mean)
	if model == models.Affine && mayBeFlat {
		return b.sheet.base
	}
	f := models.Fitted{Model: model, At: b.sheet.bent(mean[0], mean[1]), Spare: len(marks) > affineShapes}
	for i, m := range marks {
		f.Residual = append(f.Residual, m.At.Sub(f.At(m.Place)))
		if f.Spare {
			f.Deleted = append(f.Deleted, b.sheet.out(b.deleted(i)))
		}
	}
	return f
}

func channelsLong(p weave.Place) float64 { return math.Hypot(p.Across, p.Along) }

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

// pairs returns marks as pairs.
func pairs(marks []Mark) []models.Pair {
	out := make([]models.Pair, len(marks))
	for i, m := range marks {
		out[i] = models.Pair(m)
	}
	return out
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
