package report

import (
	"fmt"
	"math"
	"strings"

	"weftplot/paths/weave"
	"weftplot/paths/weave/snap"
	"weftplot/plot"
	"weftplot/plot/figures"
)

const (
	// farForRhythm is how many channels a line moves at least, to keep a rhythm, when a
	// person is told.
	farForRhythm = 1
	// farBeside is the same for lines that other things moved, such as a middle that goes
	// into a channel or midway, or the room: those move all by half a channel and more.
	farBeside = 1.5
	// mostWhole is how many channels all places of a rhythm together may be off its count
	// when the spacing is whole of itself.
	mostWhole = 0.5
)

// IsWhole reports whether a spacing that repeats is, as drawn, as many rows as it got:
// no line moved for its sake, and no other size of the rug is better for it.
func IsWhole(r snap.Rhythm) bool {
	return float64(r.Places)*math.Abs(float64(r.Count)-r.Size) <= mostWhole
}

// warnRhythms says, in one sentence for each way, which spacings that repeat did not
// come out equal, or moved lines far to come out equal, and at which sizes of the
// rug they would of themselves.
func (c *collector) warnRhythms() {
	for _, axis := range []weave.Axis{weave.Across, weave.Along} {
		if r, more := worstRhythm(c.Moves.Rhythms, axis, func(r snap.Rhythm) float64 { return float64(r.Lost) }); r != nil {
			why := "there is no room for one count"
			if r.Other {
				why = "they add up with other spacings that repeat, and not all can have one count"
			}
			c.warnf(&r.At, "spacing-uneven", "%s could not all get one count of rows: %s. %d of %d got another one than %d, spread as evenly as can be%s%s",
				c.spacings(*r), why, r.Lost, r.Places, r.Count, andMore(more), c.sizesThatFit(*r))
		}
		c.warnMoved(axis)
	}
}

// warnMoved says which spacings that repeat moved lines far, of an axis.
func (c *collector) warnMoved(axis weave.Axis) {
	forIt := func(r snap.Rhythm) float64 {
		if r.Lost > 0 || r.Moved <= farForRhythm || IsWhole(r) {
			return 0
		}
		return float64(r.Places) * math.Abs(float64(r.Count)-r.Size)
	}
	if r, _ := worstRhythm(c.Moves.Rhythms, axis, forIt); r != nil {
		c.warnf(&r.At, "spacing-evened", "%s got %s each, so that they are equal: lines moved by up to %.1f channels for it%s; or let every line go where it is nearest: [stripes] nearest",
			c.spacings(*r), figures.Count(r.Count, "row"), r.Moved, c.sizesThatFit(*r))
		return
	}
	beside := func(r snap.Rhythm) float64 {
		if r.Lost > 0 || r.Moved <= farBeside {
			return 0
		}
		return r.Moved
	}
	if r, _ := worstRhythm(c.Moves.Rhythms, axis, beside); r != nil {
		c.warnf(&r.At, "moved-over-a-channel", "%s got %s each, as drawn, but their lines moved by up to %.1f channels, to keep their distance from what lies beside them",
			c.spacings(*r), figures.Count(r.Count, "row"), r.Moved)
	}
}

// worstRhythm returns the rhythm of an axis with the greatest measure above zero, nil
// where there is none, and how many others have one.
func worstRhythm(rs []snap.Rhythm, axis weave.Axis, measure func(snap.Rhythm) float64) (worst *snap.Rhythm, more int) {
	for i, r := range rs {
		if r.Axis != axis || measure(r) <= 0 {
			continue
		}
		if worst != nil {
			more++
		}
		if worst == nil || measure(r) > measure(*worst) {
			worst = &rs[i]
		}
	}
	return worst, more
}

func andMore(n int) string {
	switch n {
	case 0:
		return ""
	case 1:
		return ", and so it is with one other size"
	}
	return fmt.Sprintf(", and so it is with %d other sizes", n)
}

// spacings names the places of a rhythm: "30 spacings of 3.45 channels across the
// rug".
func (c *collector) spacings(r snap.Rhythm) string {
	return fmt.Sprintf("%d spacings of %.2f channels %s", r.Places, r.Size, figures.Way(r.Axis))
}

// sizesThatFit names the finished sizes at which a rhythm is a whole number of rows
// as drawn: ". They would be 3 rows each at [width] 35.3in, 4 at 45.7in". It is empty for
// one that is whole already: then its size is not what is wrong.
func (c *collector) sizesThatFit(r snap.Rhythm) string {
	if nearest := (snap.Rhythm{Size: r.Size, Places: r.Places, Count: int(math.Round(r.Size))}); IsWhole(nearest) {
		return ""
	}
	var words []string
	for _, q := range []int{int(math.Floor(r.Size)), int(math.Floor(r.Size)) + 1} {
		if q < 1 {
			continue
		}
		name, size := SizeFor(c.Job, float64(q)/r.Size)
		if len(words) == 0 {
			words = append(words, fmt.Sprintf(". They would be %s each at [%s] %s", figures.Count(q, "row"), name, figures.Inches(size)))
		} else {
			words = append(words, fmt.Sprintf("%d at %s", q, figures.Inches(size)))
		}
	}
	return strings.Join(words, ", ")
}

// SizeFor returns the setting that says how large the rug is, and its value, mm, for
// artwork larger by a factor. With a border the artwork's room is a whole number of
// channels, large enough for it.
func SizeFor(j plot.Job, factor float64) (setting string, size float64) {
	setting, n, pitch, whole := "width", j.Layout.NX, j.Grid.Across, j.Layout.Width
	if j.Settings.Height > 0 && j.Settings.Width == 0 {
		setting, n, pitch, whole = "height", j.Layout.NY, j.Grid.Along, j.Layout.Height
	}
	rows, err := j.Settings.BorderRows()
	if err != nil || rows == nil {
		return setting, whole * factor
	}
	beside := 2 * float64(j.Settings.ClearRows()+1)
	for _, k := range rows {
		beside += 2 * float64(k+1)
	}
	if j.Band != nil {
		beside += 2 * float64(j.Band.Deep+j.Settings.ClearRows()+1)
	}
	return setting, (math.Ceil((n-beside)*factor-1e-6) + beside) * pitch
}
