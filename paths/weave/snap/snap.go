package snap

import (
	"fmt"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/cores"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
	"weftplot/paths/weave/snap/carry"
	"weftplot/paths/weave/snap/choice"
	"weftplot/paths/weave/snap/web"
)

// Options says which lines go into a channel.
type Options struct {
	// Angle is the greatest angle to the weave in degrees, up to 20; 0 means 3.
	Angle float64
	// AngleOf, unless nil, is what Angle is for a stroke, by its index; 0 leaves its
	// lines out of channels, and they are carried along with what is round them.
	AngleOf func(stroke int) float64
	// MinChannels is the least length of a straight in channels; 0 means 3.
	MinChannels float64
	// Tolerance is how far a curve may lie from its exact image, in mm; 0 means
	// 0.05.
	Tolerance float64
	// Fixed are lines whose channel is settled. They are not drawn or reported;
	// other lines keep their side and their distance.
	Fixed []weave.FixedLine
	// Room, unless nil, is what the design keeps to. What is drawn inside it stays
	// inside.
	Room *Room
	// Diagonals puts slanting lines that are meant at one over one, one over two and
	// such through holes, their ends on crossings of channels.
	Diagonals bool
	// KeepMiddle keeps the middle of a symmetric design where it is drawn, also where its
	// diagonals ask for another half of a channel, and chooses channels without them.
	KeepMiddle bool
	// Named are lines whose channel a person says.
	Named []Named
	// Loose, unless nil, reports of a stroke, by its index, that its lines go into
	// the nearest channels whatever spacings recur.
	Loose func(stroke int) bool
	// Stop, unless nil, is asked now and then whether to go on; its error ends the
	// snapping. It may be asked by several goroutines at a time, and gives an error ever after.
	Stop func() error
	// Progress, unless nil, is told now and then how much is done, in small steps, and at
	// the end that all is.
	Progress func(done, total int)
}

// Room is a rectangle of whole channels.
type Room struct{ Left, Right, Bottom, Top int }

// span returns the channels of the room for lines of an axis, nil for no room.
func (r *Room) span(a weave.Axis) *choice.Span {
	switch {
	case r == nil:
		return nil
	case a == weave.Across:
		return &choice.Span{Lo: r.Left, Hi: r.Right}
	}
	return &choice.Span{Lo: r.Bottom, Hi: r.Top}
}

// rect returns the room in mm.
func (r *Room) rect(g weave.Grid) paths.Rect {
	return paths.Rect{
		Min: g.At(weave.Place{Across: float64(r.Left), Along: float64(r.Bottom)}),
		Max: g.At(weave.Place{Across: float64(r.Right), Along: float64(r.Top)}),
	}
}

// Rhythm is a size that recurs in the design, a spacing of lines, and what came of
// it. Its places got one count, but for those lost.
type Rhythm struct {
	Axis   weave.Axis
	Size   float64 // in channels, as drawn
	Count  int     // in channels, as it came out
	Places int     // where it stands
	Lost   int     // those that could not get the count
	Other  bool    // for other sizes that recur, and not for want of room
	// Moved is how far, in channels, a line of it moved at most, lines apart that moved so
	// that diagonals which end on them go through holes.
	Moved float64
	// At is in the middle of a place, of a lost one if there are any.
	At paths.Point
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
	// Even reports that it is a part of a rhythm.
	Even bool
	// Named reports that a person said the channel.
	Named bool
	// Met reports that a diagonal ends on it, in a hole.
	Met bool
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
	// Rhythms are the sizes that recur.
	Rhythms []Rhythm
	// Diagonals are the slanting lines that go through holes.
	Diagonals []Diagonal
	// Slants are the slanting lines that are surely meant to go through holes, by their
	// lengths, and MissHoles is how many of them do not.
	Slants    []Slant
	MissHoles int
	// Warnings name what moved by more than a channel, and what found no room.
	Warnings []weave.Warning
}

// Renumbered returns the result with channel 0 of each axis so many channels further
// on: everything moves back by so much.
func (r Result) Renumbered(across, along int, g weave.Grid) Result {
	if across == 0 && along == 0 || len(r.Strokes) == 0 {
		return r
	}
	back := g.At(weave.Place{Across: -float64(across), Along: -float64(along)})
	by := [2]int{across, along}
	out := r
	out.Strokes, out.Lines = slices.Clone(r.Strokes), slices.Clone(r.Lines)
	out.Rhythms, out.Warnings = slices.Clone(r.Rhythms), slices.Clone(r.Warnings)
	for i, k := range r.Strokes {
		out.Strokes[i] = k.Transform(paths.Translate(back))
	}
	for i := range out.Lines {
		l := &out.Lines[i]
		fixed, _ := l.Axis.Split(back)
		l.Channel, l.Was, l.At = l.Channel-by[l.Axis], l.Was+fixed, l.At.Add(back)
	}
	out.Diagonals = slices.Clone(r.Diagonals)
	for i := range out.Diagonals {
		d := &out.Diagonals[i]
		for axis := range 2 {
			d.From[axis] -= by[axis]
			d.To[axis] -= by[axis]
		}
	}
	for i := range out.Rhythms {
		out.Rhythms[i].At = out.Rhythms[i].At.Add(back)
	}
	for i := range out.Warnings {
		out.Warnings[i].At = out.Warnings[i].At.Add(back)
	}
	return out
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
//  6. Each diagonal told of lies on the line through its two crossings, to 1e-9 mm at
//     its ends, and its mirror image in a design that is its own.
//
// The package comment says which channels are chosen. Refused, with a
// [fault.Error], are an angle below 0 or over 20 degrees, other options below 0, a
// grid without pitch, a fixed line without extent, named lines that are none, several
// or have no room, and strokes that are broken or
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
	s := &snapper{Web: web.New(strokes), grid: g, opt: opt, evenLooks: evenLooks}
	s.pause = &pause{stop: opt.Stop, meter: cores.NewMeter(s.steps(), opt.Progress)}
	if s.place(); s.err != nil {
		return Result{}, s.err
	}
	if s.pause.now() {
		return Result{}, s.pause.err
	}
	s.carry()
	if s.pause.now() {
		return Result{}, s.pause.err
	}
	out := s.result()
	if s.pause.now() {
		return Result{}, s.pause.err
	}
	s.pause.meter.To(1)
	return out, nil
}

// steps is how many small steps there are about: each stroke is looked at along both axes,
// each vertex is carried along both, and each curve is drawn anew.
func (s *snapper) steps() int {
	n := 2*len(s.Strokes) + 2*len(s.Vertices)
	for _, st := range s.Strokes {
		n += len(st)
	}
	return n
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
	errs, boxes := make([]error, len(strokes)), make([]paths.Rect, len(strokes))
	cores.Ranges(len(strokes), func(lo, hi int) {
		for i := lo; i < hi; i++ {
			if errs[i] = strokes[i].Validate(); errs[i] == nil {
				boxes[i] = strokes[i].Bounds()
			}
		}
	})
	for i, err := range errs {
		if err != nil {
			return &fault.Error{Kind: fault.Input, Where: fmt.Sprintf("stroke %d", i+1), What: err.Error(), Err: err}
		}
	}
	r := paths.Rect{Min: paths.Point{X: -weave.MostMM, Y: -weave.MostMM}, Max: paths.Point{X: weave.MostMM, Y: weave.MostMM}}
	if by, side := r.Excess(boundsOf(boxes)); by > 0 {
		return fault.TooBig("", "give the finished size with its unit", "the design reaches more than 100 m to the %s", side)
	}
	return nil
}

// snapper holds the state of one call of Strokes.
type snapper struct {
	*web.Web
	grid      weave.Grid
	opt       Options
	straights [2][]*straight // by axis, as found
	on        [2][]*straight // by axis, for each vertex the straight it lies on
	rows      [2]*web.Rows   // by axis, the vertices, while straights are attached
	touches   []touchOn
	motifs    []motif
	partOf    []int      // by stroke, its motif
	equals    [][]int    // sets of equal motifs
	repeated  []bool     // by motif, whether it is in one
	joined    [][]int    // otherEnds, when somebody asked
	evenLooks int        // strokes that may still be looked at to make motifs equal
	bounds    paths.Rect // of all strokes
	carriers  [2]*carry.Carrier
	moved     []paths.Point       // where each vertex went
	slanting  func() []slantTouch // what lies on the middle of slanting lines, found once
	crossing  map[int]bool        // the vertices that were put on crossings, as ends of diagonals
	plaiter   *plaiter            // of the slanting lines through holes; nil for none
	diagonals []Diagonal
	slants    []Slant
	missHoles int            // of those
	shifted   paths.Point    // all of the design, to bring its middle to the weave
	taken     []bool         // by the number of the curve, whether it is a part of a straight
	whole     []*paths.Point // by stroke, by how much it moves whole, or nil
	images    *images        // once they were asked for
	hangsOn   []bool         // by stroke, whether others meet it
	mirrors   [2]*mirror     // by axis, where its straights are their own mirror image
	flips     [2]*mirror     // by axis, where they are when turned end for end
	rhythms   []Rhythm
	warnings  []weave.Warning
	pause     *pause
	err       error // a line that was named cannot lie in its channel
}

// fixedStraights returns the fixed lines of an axis as straights.
func (s *snapper) fixedStraights(axis weave.Axis) []*straight {
	var out []*straight
	for _, f := range s.opt.Fixed {
		if f.Axis != axis {
			continue
		}
		at := float64(f.Channel) * s.grid.Pitch(axis)
		lo, hi := f.Lo, max(f.Hi, f.Lo+web.Joint)
		out = append(out, &straight{axis: axis, fixed: true, mean: at, channel: f.Channel, at: []carry.Knot{{Fixed: at, Along: lo}, {Fixed: at, Along: hi}}})
	}
	return out
}

// stopped reports whether the snapping is to end.
func (o *Options) stopped() bool { return o.Stop != nil && o.Stop() != nil }

// pause asks now and then whether to go on, and tells how far it is. Once it says stop,
// what follows is of no use to anyone and is ended as soon as can be.
type pause struct {
	stop  func() error // nil: never stop
	steps int
	err   error // of stop
	meter *cores.Meter
}

// asking is how many small steps lie between two questions.
const asking = 64

// step counts a small step, such as a stroke, and reports whether to stop.
func (p *pause) step() bool {
	if p == nil {
		return false
	}
	p.meter.Add(1)
	if p.stop == nil {
		return false
	}
	if p.err == nil && p.steps%asking == 0 {
		p.err = p.stop()
	}
	p.steps++
	return p.err != nil
}

// skip counts small steps for which there is nothing to do.
func (p *pause) skip(n int) {
	if p != nil {
		p.meter.Add(n)
	}
}

// now asks at once, before a large step, and reports whether to stop.
func (p *pause) now() bool {
	if p == nil || p.stop == nil {
		return false
	}
	if p.err == nil {
		p.err = p.stop()
	}
	return p.err != nil
}
