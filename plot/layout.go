package plot

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
)

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
}

// lay finds the finished size. Without a border the rug is the line work's
// extent. With one it is a whole number of channels each way, and the artwork,
// its proportions kept, lies in the middle, inset channels in from the edge on
// every side at least.
func lay(d paths.Design, s Settings, g weave.Grid, inset int, bordered bool) (Layout, error) {
	b := d.Bounds()
	w, h := b.Width(), b.Height()
	if err := sizeGiven(d, s, w, h); err != nil {
		return Layout{}, err
	}
	var l Layout
	switch {
	case bordered:
		var err error
		if l, err = layInside(s, g, inset, w, h); err != nil {
			return Layout{}, err
		}
	case s.Width > 0:
		l.Scale = float64(s.Width) / w
	case s.Height > 0:
		l.Scale = float64(s.Height) / h
	default:
		l.Scale = 1
	}
	if !bordered {
		l.Width, l.Height = w*l.Scale, h*l.Scale
		l.NX, l.NY = l.Width/g.Across, l.Height/g.Along
		if n := math.Max(l.NX, l.NY); n < weave.LeastChannels {
			return Layout{}, fault.TooBig(d.Name, "make it larger", "the rug would be %.1f by %.1f channels, and at least %d one way are needed to work anything", l.NX, l.NY, weave.LeastChannels)
		}
	}
	l.ToRug = paths.Translate(b.Centre().Mul(-1)).Then(paths.Scale(l.Scale, l.Scale)).
		Then(paths.Translate(paths.Point{X: l.Width / 2, Y: l.Height / 2}))
	return l, nil
}

// layInside fits the artwork inside a border: one side is as asked, rounded to
// whole channels, and the other follows from the artwork's proportions.
func layInside(s Settings, g weave.Grid, inset int, w, h float64) (Layout, error) {
	var l Layout
	margin := 2 * float64(inset)
	follow := func(asked, pitch, size, otherPitch, otherSize float64) (n, other float64) {
		n = math.Round(asked / pitch)
		l.Scale = (n - margin) * pitch / size
		return n, math.Ceil(otherSize*l.Scale/otherPitch-0.02) + margin
	}
	asked := float64(s.Width)
	if asked == 0 && s.Height == 0 {
		asked = w
		if w == 0 {
			s.Height = paths.Length(h)
		}
	}
	if s.Height > 0 && s.Width == 0 {
		l.NY, l.NX = follow(float64(s.Height), g.Along, h, g.Across, w)
	} else {
		l.NX, l.NY = follow(asked, g.Across, w, g.Along, h)
	}
	// The other side was rounded up but for a fiftieth of a channel.
	for _, side := range []struct{ room, size float64 }{
		{(l.NX - margin) * g.Across, w}, {(l.NY - margin) * g.Along, h},
	} {
		if side.size > 0 {
			l.Scale = min(l.Scale, side.room/side.size)
		}
	}
	l.Width, l.Height = l.NX*g.Across, l.NY*g.Along
	if err := weave.CheckSize(int(l.NX), int(l.NY)); err != nil {
		return l, fault.At("border", err)
	}
	if l.Scale <= 0 {
		return l, fault.TooBig("border", "make the rug larger, or the border or the clearance smaller",
			"border and clearance take %.0f channels of the rug's %.0f by %.0f, and nothing is left for the artwork", margin, l.NX, l.NY)
	}
	return l, nil
}

// sizeGiven checks that a size can be had, and that two sizes agree.
func sizeGiven(d paths.Design, s Settings, w, h float64) error {
	const do = `say how large the rug is to be: --width 24in, or --height 61cm`
	switch {
	case s.Width == 0 && s.Height == 0 && !d.HasSize:
		return fault.Bad(d.Name, do, "the design states no size, and none was given")
	case w == 0 && h == 0:
		return fault.Bad(d.Name, "", "the line work is a single point and has no size")
	case s.Width > 0 && s.Height == 0 && w == 0:
		return fault.Bad("width", "give --height instead", "the line work has no width to scale")
	case s.Height > 0 && s.Width == 0 && h == 0:
		return fault.Bad("height", "give --width instead", "the line work has no height to scale")
	case s.Width > 0 && s.Height > 0:
		if w == 0 || h == 0 || math.Abs(float64(s.Width)/w*h/float64(s.Height)-1) > 0.005 {
			follows := paths.Length(float64(s.Width) * h / max(w, 1e-9))
			return fault.Bad("width and height", "give one of the two; the other follows from the design",
				"they contradict each other: at %s wide this design is %s high, not %s", s.Width, paths.Length(math.Round(float64(follows)*10)/10), s.Height)
		}
	}
	return nil
}
