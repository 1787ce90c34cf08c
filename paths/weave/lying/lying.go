// Package lying simulates how a piece of cloth comes to lie on a machine: shifted, turned,
// leaning, bowed and of another count than its profile says. Programs are judged with it
// from outside: what they draw is taken back to the cloth's own threads.
//
// It is no part of a fit: [weftplot/paths/weave/cloth] knows nothing of it.
package lying

import (
	"math"
	"math/rand/v2"

	"weftplot/paths"
	"weftplot/paths/weave"
)

// A Cloth is a piece of cloth as it lies. Its map from threads to the machine is about the
// middle of the piece.
type Cloth struct {
	Grid weave.Grid // what its profile says
	Box  paths.Rect // of the piece, in mm of the relaxed cloth
	// At is where the middle of the piece would lie if it was laid as it should be, on the
	// machine in mm, and Shift how far it lies from there.
	At, Shift paths.Point
	Turn      float64 // in degrees, counter-clockwise
	// Lean, Bow and Count are shares: of the threads across and of those along. Bow is the
	// greatest distance from the chord over the width (ASTM D3882).
	Lean, Bow, Count [2]float64
}

// Slack is how differently cloth may lie.
type Slack struct {
	Shift            float64 // mm
	Turn             float64 // degrees
	Lean, Bow, Count float64 // shares
}

// Random returns a cloth that lies anyhow within the slack.
func Random(r *rand.Rand, g weave.Grid, box paths.Rect, at paths.Point, s Slack) Cloth {
	any := func(most float64) float64 { return most * (2*r.Float64() - 1) }
	far, way := s.Shift*math.Sqrt(r.Float64()), 2*math.Pi*r.Float64()
	c := Cloth{Grid: g, Box: box, At: at, Turn: any(s.Turn)}
	c.Shift = paths.Point{X: far * math.Cos(way), Y: far * math.Sin(way)}
	for i := range 2 {
		c.Lean[i], c.Bow[i], c.Count[i] = any(s.Lean)/2, any(s.Bow), any(s.Count)
	}
	return c
}

// Point returns where a place of the weave lies on the machine, in mm.
func (c Cloth) Point(p weave.Place) paths.Point {
	at := c.Grid.At(p).Sub(c.Box.Centre())
	w, h := c.Box.Width(), c.Box.Height()
	u, v := 2*at.X/w, 2*at.Y/h
	moved := paths.Point{
		X: at.X*(1+c.Count[0]) + c.Lean[1]*at.Y + c.Bow[1]*h*(1-v*v),
		Y: at.Y*(1+c.Count[1]) + c.Lean[0]*at.X + c.Bow[0]*w*(1-u*u),
	}
	return paths.Rotate(c.Turn * math.Pi / 180).Apply(moved).Add(c.At).Add(c.Shift)
}

// Place returns the place of the weave that lies at a point of the machine, by Newton's
// method.
func (c Cloth) Place(at paths.Point) weave.Place {
	p := c.Grid.PlaceOf(at.Sub(c.At).Sub(c.Shift).Add(c.Box.Centre()))
	const h = 1e-4
	for range 30 {
		o := c.Point(p)
		off := at.Sub(o)
		if off.Len() < 1e-9 {
			break
		}
		a := c.Point(weave.Place{Across: p.Across + h, Along: p.Along}).Sub(o).Mul(1 / h)
		b := c.Point(weave.Place{Across: p.Across, Along: p.Along + h}).Sub(o).Mul(1 / h)
		det := a.Cross(b)
		p.Across += off.Cross(b) / det
		p.Along += a.Cross(off) / det
	}
	return p
}

// Read returns a point as a person reads it who steers a pen to it: off by noise mm each
// way, root mean square.
func Read(r *rand.Rand, at paths.Point, noise float64) paths.Point {
	return at.Add(paths.Point{X: noise * r.NormFloat64(), Y: noise * r.NormFloat64()})
}
