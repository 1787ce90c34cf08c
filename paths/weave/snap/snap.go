package snap

import (
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
)

// Options says which lines go into a channel.
type Options struct {
	// Angle is the greatest angle to the weave in degrees, up to 20; 0 means 3.
	Angle float64
	// MinChannels is the least length of a straight in channels; 0 means 3.
	MinChannels float64
	// Tolerance is how far a curve may lie from its exact image, in mm; 0 means
	// 0.05.
	Tolerance float64
	// Fixed are lines whose channel is settled. They are not drawn or reported;
	// other lines keep their side and their distance.
	Fixed []weave.FixedLine
	// Stop, unless nil, is asked now and then whether to go on; its error ends the
	// snapping.
	Stop func() error
}

// Line tells where a straight line went. Lengths are in mm.
type Line struct {
	Axis    weave.Axis
	Channel int
	// Was is the mean coordinate before; Was+Moved is Channel times the pitch.
	Was, Moved float64
	// Swing is how much farther than by Moved its ends moved, as it leaned.
	Swing  float64
	Length float64
	// At is the middle of the line after.
	At paths.Point
}

// Result is a design on the weave.
type Result struct {
	// Strokes are the strokes as given, in the same order.
	Strokes []paths.Stroke
	// Lines are the lines that went into a channel, in the order of strokes.
	Lines []Line
	// MaxMoved is the greatest distance between a line's mean place before and
	// its channel, in mm.
	MaxMoved float64
	// Warnings name what moved by more than a channel, and what found no room.
	Warnings []weave.Warning
}

// directions say which way a line of an axis runs.
var directions = [2]string{"along", "across"}

// Strokes puts the straights of the strokes, which are in the drawn frame, into
// channels and carries everything else along. It promises:
//
//  1. Each line of a straight lies in its channel to 1e-9 mm, and a corner
//     between two straights where two channels cross.
//  2. Ends that were joined stay joined, exactly; closed strokes stay closed;
//     an end on the middle of a straight stays on it.
//  3. Parallel straights that overlap keep their order; those more than half a
//     channel apart stay at least one channel apart. What fixed lines leave no
//     room for is in the warnings.
//  4. Curves follow smoothly. A line stays a line, an arc stays an arc where it
//     can within the tolerance, and a cubic stays cubic.
//  5. Strokes keep their number and their order.
//
// The package comment says which channels are chosen. Refused, with a
// [fault.Error], are an angle below 0 or over 20 degrees, other options below 0, a
// grid without pitch, a fixed line without extent, and strokes that are broken or
// beyond 100 m. The error of [Options].Stop is returned as it is. The strokes
// given are not changed.
func Strokes(strokes []paths.Stroke, g weave.Grid, opt Options) (Result, error) {
	opt, err := opt.check(g)
	if err != nil {
		return Result{}, err
	}
	if err := checkStrokes(strokes); err != nil {
		return Result{}, err
	}
	s := &snapper{web: newWeb(strokes), grid: g, opt: opt, pause: &pause{stop: opt.Stop}}
	for _, axis := range []weave.Axis{weave.Across, weave.Along} {
		s.straights[axis] = s.findStraights(axis, g, opt, s.pause)
		if s.pause.now() {
			return Result{}, s.pause.err
		}
		s.place(axis)
	}
	s.carry()
	if s.pause.now() {
		return Result{}, s.pause.err
	}
	out := s.result()
	if s.pause.now() {
		return Result{}, s.pause.err
	}
	return out, nil
}

func (o Options) check(g weave.Grid) (Options, error) {
	if !g.Valid() {
		return o, fault.Bad("", "make the grid with a count of the weave", "the weave has no pitch")
	}
	if o.Angle == 0 {
		o.Angle = 3
	}
	if !(o.Angle > 0 && o.Angle <= 20) {
		return o, fault.Bad("", "take an angle over 0 and up to 20 degrees; 3 suits most designs",
			"lines within %g degrees of the weave cannot be meant as lines on it", o.Angle)
	}
	if o.MinChannels == 0 {
		o.MinChannels = 3
	}
	if o.Tolerance == 0 {
		o.Tolerance = 0.05
	}
	if !(o.MinChannels > 0) || !(o.Tolerance > 0) {
		return o, fault.Bad("", "give lengths over zero", "the least length of a run and the tolerance must be positive")
	}
	for _, f := range o.Fixed {
		if !(f.Lo <= f.Hi) || math.Abs(float64(f.Channel))*g.Pitch(f.Axis) > weave.MostMM ||
			math.Abs(f.Lo) > weave.MostMM || math.Abs(f.Hi) > weave.MostMM {
			return o, fault.Bad("", "", "the fixed line in channel %d has no extent", f.Channel)
		}
	}
	return o, nil
}

func checkStrokes(strokes []paths.Stroke) error {
	for i, s := range strokes {
		if err := s.Validate(); err != nil {
			return &fault.Error{Kind: fault.Input, Where: fmt.Sprintf("stroke %d", i+1), What: err.Error(), Err: err}
		}
	}
	r := paths.Rect{Min: paths.Point{X: -weave.MostMM, Y: -weave.MostMM}, Max: paths.Point{X: weave.MostMM, Y: weave.MostMM}}
	if by, side := r.Excess(paths.BoundsOf(strokes)); by > 0 {
		return fault.TooBig("", "give the finished size with its unit", "the design reaches more than 100 m to the %s", side)
	}
	return nil
}

// snapper holds the state of one call of Strokes.
type snapper struct {
	*web
	grid      weave.Grid
	opt       Options
	straights [2][]*straight // by axis, as found
	on        [2][]*straight // by axis, for each vertex the straight it lies on
	carriers  [2]*carrier
	moved     []paths.Point // where each vertex went
	warnings  []weave.Warning
	pause     *pause
}

// fixedStraights returns the fixed lines of an axis as straights.
func (s *snapper) fixedStraights(axis weave.Axis) []*straight {
	var out []*straight
	for _, f := range s.opt.Fixed {
		if f.Axis != axis {
			continue
		}
		at := float64(f.Channel) * s.grid.Pitch(axis)
		lo, hi := f.Lo, max(f.Hi, f.Lo+joint)
		out = append(out, &straight{axis: axis, fixed: true, mean: at, channel: f.Channel, at: []knot{{at, lo}, {at, hi}}})
	}
	return out
}

func (s *snapper) result() Result {
	out := Result{Strokes: s.redraw(), Lines: s.lines()}
	for _, l := range out.Lines {
		out.MaxMoved = max(out.MaxMoved, math.Abs(l.Moved))
		pitch := s.grid.Pitch(l.Axis)
		if far := math.Abs(l.Moved) + l.Swing; far > pitch*(1+1e-9) {
			s.warn("moved-over-a-channel", l.At, "a line %s the cloth moved %.1f mm (%.1f channels) into channel %d",
				directions[l.Axis], far, far/pitch, l.Channel)
		}
	}
	out.Warnings = s.warnings
	return out
}

// lines reports the straights in the order of strokes, those along the cloth first.
func (s *snapper) lines() []Line {
	var out []Line
	next := s.straights // what is left to tell, by axis
	for i := range s.strokes {
		for axis := range next {
			for len(next[axis]) > 0 && next[axis][0].stroke == i {
				out = append(out, s.line(next[axis][0]))
				next[axis] = next[axis][1:]
			}
		}
	}
	return out
}

func (s *snapper) line(r *straight) Line {
	now := float64(r.channel) * s.grid.Pitch(r.axis)
	l := Line{Axis: r.axis, Channel: r.channel, Was: r.mean, Moved: now - r.mean, Length: r.length()}
	for _, k := range r.at {
		l.Swing = max(l.Swing, math.Abs(now-k.fixed)-math.Abs(l.Moved))
	}
	l.At = s.moved[r.verts[0]].Lerp(s.moved[r.verts[len(r.verts)-1]], 0.5)
	return l
}
