package cloth

import (
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth/models"
)

// Report says how a registration fits its marks and how the cloth lies. Lengths
// are mm on the machine.
type Report struct {
	Model string
	Marks []MarkReport
	// RMS and Max are of the marks' distances from where the fit puts them, in
	// mm; RMSChannels and MaxChannels are the same in channels.
	RMS, Max                 float64
	RMSChannels, MaxChannels float64
	// LeaveOneOut is the root mean square of how far each mark lies from where
	// the others put it, the honest measure of the error between marks;
	// HasSpare reports whether there are enough marks to know it.
	LeaveOneOut float64
	HasSpare    bool
	// ExpectedError is how far, in channels, the map may be off the cloth at the
	// worst place of the rug: in 95 of 100 cloths like this it is nowhere farther
	// off. LikelyError is the same for 2 of 3. Both allow for the noise with
	// which marks are read, for what the marks cannot show, and for a wrong mark.
	// ExpectedError is of cloths alike, and most of them lie well within it: where the
	// marks leave a bow unseen, this cloth may have none. LikelyError is nearer to how
	// far this one is off.
	ExpectedError, LikelyError float64
	// Noise is how far the marks seem to be read off, mm each way, root mean
	// square.
	Noise float64
	// Better is the mark that would lower ExpectedError most; Better.Then is 0
	// where there is none.
	Better Proposal
	// Count is at the rug's centre; CountLow and CountHigh its least and
	// greatest over the rug, each way.
	Count, CountLow, CountHigh paths.Count
	// Skew and Bow are percentages of the width as ASTM D3882 defines them for
	// the threads across: Skew signed, positive where they rise to the right;
	// Bow the greatest. BowAlong is the same for the threads along the cloth.
	Skew, Bow, BowAlong float64
	// BowKind is "single", "double" (to both sides of the chord) or "" (none).
	BowKind string
	// Turned is how far the cloth as a whole is turned on the machine, degrees
	// counter-clockwise.
	Turned float64
	// Words say the same in sentences for a rug maker.
	Words []string
	// Warnings are about the marks; their places are on the machine.
	Warnings []weave.Warning
}

// MarkReport is a mark and how far it is off the fit.
type MarkReport struct {
	Mark
	// Residual is from where the fit puts it to where it was found, mm on the
	// machine; Channels the same on the weave.
	Residual paths.Point
	Channels weave.Place
}

func report(f models.Fitted, e *errorField, marks []Mark, opt FitOptions) *Report {
	r := &Report{Model: f.Model, RMS: models.RMS(f.Residual), HasSpare: f.Spare, Noise: e.belief.noise()}
	if f.Spare {
		r.LeaveOneOut = f.LeaveOneOut()
	}
	var sum float64
	for i, m := range marks {
		c := f.InChannels(m.Place, f.Residual[i], weave.Grid{Across: 1, Along: 1})
		r.Marks = append(r.Marks, MarkReport{m, f.Residual[i], c})
		r.Max = max(r.Max, f.Residual[i].Len())
		off := channelsLong(c)
		r.MaxChannels = max(r.MaxChannels, off)
		sum += off * off
	}
	r.RMSChannels = math.Sqrt(sum / float64(len(marks)))
	b := boxOf(marks, opt.Extent)
	r.counts(f, marks, opt.Extent, b)
	r.lie(f, b)
	over := opt.Over
	if len(over) == 0 {
		over = e.belief.sheet.lattice(latticeSteps)
	}
	x := expectWorst(e.distances(over))
	r.ExpectedError, r.LikelyError = x.Greatest, x.Likely
	r.Better = e.better(over, marks, r.ExpectedError, opt)
	way, _ := e.belief.blind()
	r.words(b, opt, way == "")
	r.warnError(e, marks, opt)
	r.warn(f, marks, opt)
	return r
}

// box is the rug, or the marks' own extent when the rug is not known.
type box struct{ lo, hi weave.Place }

func boxOf(marks []Mark, extent weave.Place) box {
	if extent != (weave.Place{}) {
		return box{hi: extent}
	}
	lo, hi := markBounds(marks)
	return box{lo, hi}
}

// at returns the place at fractions of the box.
func (b box) at(s, t float64) weave.Place {
	return place(b.lo.Across+(b.hi.Across-b.lo.Across)*s, b.lo.Along+(b.hi.Along-b.lo.Along)*t)
}

func (r *Report) counts(f models.Fitted, marks []Mark, extent weave.Place, b box) {
	r.Count = f.CountAt(b.at(0.5, 0.5))
	r.CountLow, r.CountHigh = r.Count, r.Count
	lattice(marks, extent, func(p weave.Place) {
		c := f.CountAt(p)
		r.CountLow = paths.Count{Across: min(r.CountLow.Across, c.Across), Along: min(r.CountLow.Along, c.Along)}
		r.CountHigh = paths.Count{Across: max(r.CountHigh.Across, c.Across), Along: max(r.CountHigh.Along, c.Along)}
	})
}

// lie measures skew and bow on nine threads each way. The selvage's direction is
// that of the threads along the cloth from end to end.
func (r *Report) lie(f models.Fitted, b box) {
	selvage := f.At(b.at(0.5, 1)).Sub(f.At(b.at(0.5, 0))).Unit()
	weft := f.At(b.at(1, 0.5)).Sub(f.At(b.at(0, 0.5)))
	r.Turned = weft.Angle() * 180 / math.Pi
	const threads = 9
	var left, right float64 // bow to either side of the chord
	for i := range threads {
		s := float64(i) / (threads - 1)
		across := thread(f, func(t float64) weave.Place { return b.at(t, s) })
		skew, lo, hi := across.lie(selvage)
		if i == threads/2 {
			r.Skew = skew
		}
		left, right = max(left, -lo), max(right, hi)
		along := thread(f, func(t float64) weave.Place { return b.at(s, t) })
		_, lo, hi = along.lie(weft.Unit())
		r.BowAlong = max(r.BowAlong, -lo, hi)
	}
	r.Bow = max(left, right)
	switch {
	case r.Bow < 0.05:
	case min(left, right) > r.Bow/3:
		r.BowKind = "double"
	default:
		r.BowKind = "single"
	}
}

// polyline is a thread seen at equal steps.
type polyline []paths.Point

func thread(f models.Fitted, at func(float64) weave.Place) polyline {
	const n = 32
	out := make(polyline, n+1)
	for i := range out {
		out[i] = f.At(at(float64(i) / n))
	}
	return out
}

// lie returns the skew of a thread, and how far it bows to either side of its
// chord, all measured parallel to the threads that cross it, in percent of its
// length square to them (ASTM D3882: skew 100·S/W, bow 100·D/W).
func (p polyline) lie(crossing paths.Point) (skew, lo, hi float64) {
	first, chord := p[0], p[len(p)-1].Sub(p[0])
	square := crossing.Left().Mul(-1)
	if chord.Dot(square) < 0 {
		square = square.Mul(-1)
	}
	width := chord.Dot(square)
	skew = 100 * chord.Dot(crossing) / width
	for _, q := range p {
		d := q.Sub(first)
		off := 100 * (d.Dot(crossing) - chord.Dot(crossing)*d.Dot(square)/width) / width
		lo, hi = min(lo, off), max(hi, off)
	}
	return skew, lo, hi
}

// words says how the cloth lies, for a rug maker.
func (r *Report) words(b box, opt FitOptions, bowShown bool) {
	say := func(format string, args ...any) { r.Words = append(r.Words, fmt.Sprintf(format, args...)) }
	inch := paths.MMPerInch
	say("the cloth counts %.2f channels an inch across and %.2f along at the rug's centre", r.Count.Across*inch, r.Count.Along*inch)
	spread := func(lo, hi float64) float64 { return 100 * (hi - lo) / lo }
	if a, l := spread(r.CountLow.Across, r.CountHigh.Across), spread(r.CountLow.Along, r.CountHigh.Along); max(a, l) >= 0.1 {
		say("the count changes by %.1f %% across and %.1f %% along from one part of the rug to another", a, l)
	}
	height := (b.hi.Along - b.lo.Along) / r.Count.Along
	width := (b.hi.Across - b.lo.Across) / r.Count.Across
	if math.Abs(r.Skew) < 0.05 {
		say("the cloth lies square: its two sets of threads are at right angles")
	} else {
		say("the cloth leans %.1f %%: %.0f mm over the height", math.Abs(r.Skew), math.Abs(r.Skew)*height/100)
	}
	switch {
	case !bowShown:
		say("how far its threads bow these marks cannot show")
	case r.BowKind == "":
		say("its threads across run straight")
	default:
		say("its threads across bow %.1f %%: %.0f mm over the width, a %s bow", r.Bow, r.Bow*width/100, r.BowKind)
	}
	if bowShown && r.BowAlong >= 0.05 {
		say("its threads along bow %.1f %%: %.0f mm over the height", r.BowAlong, r.BowAlong*height/100)
	}
	say("the marks lie %.2f mm off the %s fit in the mean, %.2f mm (%.2f channels) at most", r.RMS, r.Model, r.Max, r.MaxChannels)
	if r.HasSpare {
		say("each mark lies %.2f mm from where the others put it, in the mean", r.LeaveOneOut)
	}
	say("at the worst place of "+opt.rug()+" the lines are likely to lie up to %.2f channels from where they belong, as in 2 of 3 cloths like this; in 95 of 100 cloths they are nowhere more than %.2f off", r.LikelyError, r.ExpectedError)
	if g := opt.Expect; g != (paths.Count{}) {
		drift := math.Hypot(width*(r.Count.Across/g.Across-1), height*(r.Count.Along/g.Along-1))
		say("by the profile's count alone the far corner would be %.0f mm off", drift)
	}
}

// warn lists what a person should check before drawing.
func (r *Report) warn(f models.Fitted, marks []Mark, opt FitOptions) {
	add := func(code string, at paths.Point, format string, args ...any) {
		r.Warnings = append(r.Warnings, weave.Warning{Code: code, Message: fmt.Sprintf(format, args...), At: at})
	}
	centre := f.At(boxOf(marks, opt.Extent).at(0.5, 0.5))
	g := opt.Expect
	if g == (paths.Count{}) {
		return
	}
	for _, c := range []struct {
		way              string
		measured, expect float64
	}{{"across", r.Count.Across, g.Across}, {"along", r.Count.Along, g.Along}} {
		if by := c.measured/c.expect - 1; math.Abs(by) > countShare {
			add("count-differs", centre, "the marks make it %.2f channels an inch %s and the profile says %.2f, %.0f %% apart: count again, or choose the right backing",
				c.measured*paths.MMPerInch, c.way, c.expect*paths.MMPerInch, 100*math.Abs(by))
		}
	}
	if beyond, corner := beyondMarks(f, marks, weave.Grid{Across: 1 / g.Across, Along: 1 / g.Along}, opt.Extent); beyond > reachShare[f.Model]/2 {
		add("beyond-marks", f.At(corner), "the rug reaches %.0f %% of the marks' spread beyond them; a mark nearer this corner would make it sure", 100*beyond)
	}
}
