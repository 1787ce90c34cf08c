package cloth

import (
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
)

// Counted is a count made by hand in one direction of the cloth: a number of
// channels over a length in mm.
type Counted struct {
	Channels float64
	Length   float64
}

// Measured is a count made by hand and how far it can be trusted.
type Measured struct {
	// Count is for the profile of the backing.
	Count paths.Count
	Ways  [2]MeasuredWay // across, then along
	// Words say the same in sentences for a rug maker.
	Words []string
}

// MeasuredWay is the count in one direction of the cloth.
type MeasuredWay struct {
	Axis weave.Axis
	// Doubt is how much one channel more or less would change the count, as a
	// share of it.
	Doubt float64
	// Drift is how far lines would be off at the far edge of the rug if the
	// count was out by that one channel, in mm and in channels.
	Drift, DriftChannels float64
	// Least is the length to count over, in mm, and Enough whether that was done.
	Least  float64
	Enough bool
}

// leastLength returns the least length to count over for a cloth of perCM
// threads per cm: 10 cm under 10 a cm, 5 cm up to 25, 3 cm up to 40, 2 cm over
// that (ISO 7211-2, from memory). A channel is counted as a thread.
func leastLength(perCM float64) float64 {
	switch {
	case perCM < 10:
		return 100
	case perCM <= 25:
		return 50
	case perCM <= 40:
		return 30
	}
	return 20
}

// Measure turns counts made by hand across and along the cloth into a count for
// a profile, and says how far one channel miscounted would carry over a rug of
// the given size in mm, 0 where it is not known. Counts or lengths that are not over zero, or that give
// a count no cloth has, are refused with a [fault.Error].
func Measure(across, along Counted, width, height float64) (Measured, error) {
	for i, c := range []Counted{across, along} {
		if !(c.Channels > 0 && c.Length > 0) || math.IsInf(c.Channels, 0) || math.IsInf(c.Length, 0) {
			return Measured{}, fault.Bad("", `count the rows of holes over a length, such as 47 over "10cm"`,
				"%g channels %s in %g mm is no count", c.Channels, weave.Axis(i), c.Length)
		}
	}
	if !(width >= 0 && height >= 0) || math.IsInf(width, 0) || math.IsInf(height, 0) {
		return Measured{}, fault.Bad("", "give the rug's finished size", "a rug of %g by %g mm has no size", width, height)
	}
	m := Measured{Count: paths.Count{Across: across.Channels / across.Length, Along: along.Channels / along.Length}}
	if _, err := weave.NewGrid(m.Count); err != nil {
		return Measured{}, err
	}
	m.Ways[weave.Across] = measureWay(weave.Across, across, width)
	m.Ways[weave.Along] = measureWay(weave.Along, along, height)
	m.Words = append(m.Words, fmt.Sprintf("count = %q", m.Count.String()))
	for i, c := range []Counted{across, along} {
		m.Words = append(m.Words, m.Ways[i].words(c)...)
	}
	return m, nil
}

func measureWay(axis weave.Axis, c Counted, size float64) MeasuredWay {
	perMM := c.Channels / c.Length
	w := MeasuredWay{Axis: axis, Doubt: 1 / c.Channels, Least: leastLength(10 * perMM)}
	w.Drift = size * w.Doubt
	w.DriftChannels = w.Drift * perMM
	w.Enough = c.Length >= w.Least*(1-1e-9)
	return w
}

func (w MeasuredWay) words(c Counted) []string {
	off := fmt.Sprintf("lines at the far edge would be %.0f mm (%.1f channels) off", w.Drift, w.DriftChannels)
	if w.Drift == 0 { // the rug's size is not known
		off = fmt.Sprintf("lines would go off by %.0f mm in each metre", 1000*w.Doubt)
	}
	out := []string{fmt.Sprintf("%s: %.4g channels in %.4g mm, one channel being %.1f %%: miscounted by one, %s",
		w.Axis, c.Channels, c.Length, 100*w.Doubt, off)}
	if !w.Enough {
		out = append(out, fmt.Sprintf("%s: count over at least %s; over %.4g mm the count is not sure enough", w.Axis, paths.Length(w.Least).Both(), c.Length))
	}
	return out
}
