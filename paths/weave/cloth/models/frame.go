package models

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/weave"
)

// frame centres and scales places, so that the fits are well conditioned: the
// marks come to lie within 1 of the origin.
type frame struct {
	pitch  paths.Point // mm to a channel, for the scale alone
	origin paths.Point
	scale  float64
	to     paths.Point // the mean of the marks on the machine
}

func newFrame(marks []Pair, g weave.Grid) frame {
	f := frame{pitch: paths.Point{X: g.Across, Y: g.Along}, scale: 1}
	n := 1 / float64(len(marks))
	for _, m := range marks {
		f.origin = f.origin.Add(f.mm(m.Place).Mul(n))
		f.to = f.to.Add(m.At.Mul(n))
	}
	var far float64
	for _, m := range marks {
		far = max(far, f.mm(m.Place).Dist(f.origin))
	}
	if far > 0 {
		f.scale = far
	}
	return f
}

func (f frame) mm(p weave.Place) paths.Point {
	return paths.Point{X: p.Across * f.pitch.X, Y: p.Along * f.pitch.Y}
}

func (f frame) local(p weave.Place) paths.Point { return f.mm(p).Sub(f.origin).Mul(1 / f.scale) }

// Pair is a place on the weave and where it lies on the machine.
type Pair struct {
	Place weave.Place
	At    paths.Point // mm
}

// lineShare is the share of their spread one way below which places are on one line.
const lineShare = 0.02

// OnOneLine reports whether the places spread in one direction only: the lesser
// root of their scatter is a small share of the greater.
func OnOneLine(pairs []Pair, g weave.Grid) bool {
	f := newFrame(pairs, g)
	var xx, xy, yy float64
	for _, m := range pairs {
		p := f.local(m.Place)
		xx, xy, yy = xx+p.X*p.X, xy+p.X*p.Y, yy+p.Y*p.Y
	}
	mean, diff := (xx+yy)/2, math.Hypot((xx-yy)/2, xy)
	return mean-diff <= lineShare*lineShare*(mean+diff)
}
