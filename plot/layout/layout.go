package layout

import (
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/letters"
	"weftplot/paths/weave"
	"weftplot/plot/job"
)

// Arranged is a design with its place in the rug.
type Arranged struct {
	Field       paths.Design // without the layers that are repeated along the border
	Band        *Band        // the row of these, nil for none
	Layout      Layout       // how it lies in the rug
	Inscription Inscription  // of the words of the settings
}

// Arrange finds the finished size of a rug and where the design, the row of motifs and the
// words of the settings, in the letters of an alphabet, lie in it. It refuses with a
// [fault.Input] sizes that are not possible, and with a [fault.Fit] a rug that is too small
// for its border, its words or its weave.
func Arrange(d paths.Design, s job.Settings, alpha letters.Alphabet, g weave.Grid) (a Arranged, err error) {
	words, err := inscriptionOf(s, alpha, g)
	if err != nil {
		return a, err
	}
	if a.Field, a.Band, err = bandOf(d, s, g, words.inside+words.clear); err != nil {
		return a, err
	}
	if a.Band != nil { // what follows lies inside it
		words.inside += words.clear + a.Band.Deep
	}
	a.Inscription = words
	a.Layout, err = layOut(a.Field, s, g, words, a.Band)
	return a, err
}

// Layout says how the design lies in the finished rug: the step from the frame
// "design" to the frame "rug".
type Layout struct {
	// Size of the finished rug in mm, outer line to outer line.
	Width, Height float64
	// NX and NY are the size in channels: whole numbers with a border.
	NX, NY float64
	// ToRug is the map from design to rug: a scale and a move.
	ToRug paths.Affine
	// Scale is the factor of lengths in ToRug.
	Scale float64

	// Room is what a border leaves.
	Room Room
}

// layOut finds the finished size. Without a border the rug is the design's
// extent. With one it is a whole number of channels each way, and the artwork,
// its proportions kept, lies in the middle, inside border, words and clearance.
func layOut(d paths.Design, s job.Settings, g weave.Grid, words Inscription, band *Band) (Layout, error) {
	rows, err := s.BorderRows()
	if err != nil {
		return Layout{}, err
	}
	b, err := extent(d, words.alpha, g)
	if err != nil {
		return Layout{}, err
	}
	w, h := b.Width(), b.Height()
	if err := sizeGiven(d, s, w, h); err != nil {
		return Layout{}, err
	}
	var l Layout
	inset := float64(words.inside + words.clear)
	bottom, top := inset+float64(words.takes(job.WordsBottom)), inset+float64(words.takes(job.WordsTop))
	switch {
	case rows != nil:
		if l, err = layInside(s, g, 2*inset, bottom+top, w, h); err != nil {
			return Layout{}, err
		}
		if band != nil {
			if err := band.close(&l, s, g); err != nil {
				return Layout{}, err
			}
			l.Scale = min(sideScale((l.NX-2*inset)*g.Across, w), sideScale((l.NY-bottom-top)*g.Along, h))
			l.Width, l.Height = l.NX*g.Across, l.NY*g.Along
		}
	case s.Width > 0:
		l.Scale = float64(s.Width) / w
	case s.Height > 0:
		l.Scale = float64(s.Height) / h
	default:
		l.Scale = 1
	}
	if rows == nil {
		inset, bottom, top = 0, 0, 0
		l.Width, l.Height = w*l.Scale, h*l.Scale
		l.NX, l.NY = l.Width/g.Across, l.Height/g.Along
		if n := math.Max(l.NX, l.NY); n < weave.LeastChannels {
			return Layout{}, fault.TooBig(d.Name, "make it larger", "the rug would be %.1f by %.1f channels, and at least %d one way are needed to work anything", l.NX, l.NY, weave.LeastChannels)
		}
	}
	l.ToRug = paths.Translate(b.Centre().Mul(-1)).Then(paths.Scale(l.Scale, l.Scale)).
		Then(paths.Translate(paths.Point{X: l.Width / 2, Y: l.Height/2 + (bottom-top)/2*g.Along}))
	l.Room = Room{rows != nil, weave.Place{Across: inset, Along: bottom}, weave.Place{Across: l.NX - inset, Along: l.NY - top}, s.Said}
	return l, nil
}

// layInside fits the artwork, w by h mm as drawn, inside a border: one side of the rug is as
// asked, rounded to whole channels, and the other follows from the artwork's proportions.
// The artwork does not get the given numbers of channels across and along.
func layInside(s job.Settings, g weave.Grid, across, along, w, h float64) (Layout, error) {
	var l Layout
	follow := func(asked, pitch, margin, size, otherPitch, otherMargin, otherSize float64) (n, other float64) {
		n = math.Round(asked / pitch)
		l.Scale = (n - margin) * pitch / size
		return n, math.Ceil(otherSize*l.Scale/otherPitch-0.02) + otherMargin
	}
	asked := float64(s.Width)
	if asked == 0 && s.Height == 0 {
		asked = w
		if w == 0 {
			s.Height = paths.Length(h)
		}
	}
	if s.Height > 0 && s.Width == 0 {
		l.NY, l.NX = follow(float64(s.Height), g.Along, along, h, g.Across, across, w)
	} else {
		l.NX, l.NY = follow(asked, g.Across, across, w, g.Along, along, h)
	}
	// The other side may have been rounded down by a fiftieth of a channel.
	for _, side := range []struct{ room, size float64 }{
		{(l.NX - across) * g.Across, w}, {(l.NY - along) * g.Along, h},
	} {
		if side.size > 0 {
			l.Scale = min(l.Scale, side.room/side.size)
		}
	}
	l.Width, l.Height = l.NX*g.Across, l.NY*g.Along
	if l.Scale <= 0 {
		taking, taken := "border and clearance take", fmt.Sprint(across)
		if along != across {
			taking, taken = "border, words and clearance take", fmt.Sprintf("%g by %g", across, along)
		}
		return l, fault.TooBig("border", "make the rug larger, or the border or the clearance smaller",
			"%s %s channels of the rug's %.0f by %.0f, and nothing is left for the artwork", taking, taken, l.NX, l.NY)
	}
	if err := weave.CheckSize(int(l.NX), int(l.NY)); err != nil {
		return l, fault.At("border", err)
	}
	return l, nil
}

// sideScale returns the greatest scale at which artwork of a size fits a room, both in mm.
func sideScale(room, size float64) float64 {
	if size == 0 {
		return math.Inf(1)
	}
	return room / size
}

// sizeGiven checks that a size can be had, and that two sizes agree. The line
// work is w by h mm as drawn.
func sizeGiven(d paths.Design, s job.Settings, w, h float64) error {
	wide, high := s.Width > 0, s.Height > 0
	switch {
	case s.Width == 0 && s.Height == 0 && !d.HasSize:
		return fault.Bad(d.Name, "say how large the rug is to be: [width] 24in, or [height] 61cm", "the design states no size, and none was given")
	case w == 0 && h == 0:
		return fault.Bad(d.Name, "", "the line work is a single point and has no size")
	case wide && high:
		return sizesAgree(s, w, h)
	case wide && w == 0:
		return fault.Bad("width", "give [height] instead", "the line work has no width to scale")
	case high && h == 0:
		return fault.Bad("height", "give [width] instead", "the line work has no height to scale")
	}
	return nil
}

// sizesAgree checks that a width and a height have the proportions of the line
// work, to half a per cent.
func sizesAgree(s job.Settings, w, h float64) error {
	if w > 0 && h > 0 && math.Abs(float64(s.Width)/w*h/float64(s.Height)-1) <= 0.005 {
		return nil
	}
	follows := float64(s.Width) * h / max(w, 1e-9)
	return fault.Bad("width and height", "give one of the two; the other follows from the design",
		"they contradict each other: at %s wide this design is %s high, not %s", s.Width.In(s.Said), paths.Length(follows).In(s.Said), s.Height.In(s.Said))
}

// Room is what a border leaves for the artwork, in channels of the frame "drawn".
type Room struct {
	Bordered bool // there is a border
	Lo, Hi   weave.Place
	said     paths.System // in which the person says lengths
}

// Keep moves words by whole channels into the room inside the border, and refuses
// those that are larger than it.
func (r Room) Keep(p *letters.Pose, t letters.Text, name string, g weave.Grid) error {
	if !r.Bordered {
		return nil
	}
	lo, hi := p.Box(t)
	for _, side := range []struct {
		word             string
		lo, hi, min, max float64
		pitch            float64
		at               *float64
	}{
		{"wide", lo.Across, hi.Across, r.Lo.Across, r.Hi.Across, g.Across, &p.At.Across},
		{"high", lo.Along, hi.Along, r.Lo.Along, r.Hi.Along, g.Along, &p.At.Along},
	} {
		if over := (side.hi - side.lo) - (side.max - side.min); over > 0 {
			return fault.TooBig(name, "make the words smaller, or the rug larger",
				"words of the design are %g channels %s, %g more (%s) than there are inside the border",
				side.hi-side.lo, side.word, over, paths.Length(over*side.pitch).In(r.said))
		}
		*side.at += max(0, side.min-side.lo) - max(0, side.hi-side.max)
	}
	return nil
}
