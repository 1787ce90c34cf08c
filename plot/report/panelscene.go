package report

import (
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/paths/label"
	"weftplot/paths/weave"
	"weftplot/plot"
	"weftplot/plot/figures"
	"weftplot/plot/proof"
)

// panelScene shows one load of a rug in parts, by its number from 0, in the machine frame:
// what is drawn in it, what is there already, and its points to find, numbered.
func panelScene(j plot.Job, load int) proof.Scene {
	l := j.Loads[load]
	s := panelCaptions(j)
	s.Title += fmt.Sprintf(", load %d of %d", l.N, len(j.Loads))
	s.Captions = append(s.Captions, "this load: "+figures.Count(len(l.Drawn), "stroke")+", "+state(j, load))
	s.Machine = proof.Outline(l.Inputs.Machine.Reach())
	s.Loads = []proof.Region{{Outline: l.OnMachine(proof.Outline(l.Window)), Label: fmt.Sprintf("load %d", l.N)}}
	s.Weave = channelsOf(j.Grid, l.Window)
	for i, w := range s.Weave {
		s.Weave[i].Points = nil
		const steps = 24 // a measured channel bends
		for k := 0; k <= steps; k++ {
			at := w.Points[0].Lerp(w.Points[1], float64(k)/steps)
			s.Weave[i].Points = append(s.Weave[i].Points, l.Registration.Point(j.Grid.PlaceOf(at)))
		}
	}
	for _, k := range crop(before(j, load), l.Window) {
		s.Ink = append(s.Ink, thereAlready(l.OnMachine(k)))
	}
	if l.NeedsMarks {
		s.NoDirection = true
		for _, k := range l.Placed {
			if pen, err := l.PenFor(k.Layer); err == nil {
				s.Ink = append(s.Ink, Inked(k.Stroke, pen, k.Layer))
			}
		}
	}
	var drawn []proof.Ink
	for _, run := range l.PenRuns {
		ink, travel := inkOf(run)
		drawn, s.Travel = append(drawn, ink...), append(s.Travel, travel...)
	}
	s.Ink = append(s.Ink, drawn...)
	s.Start, s.End = ends(drawn)
	s.Marks, s.EveryNote = proofMarks(l.Job), true
	for _, f := range l.Points {
		at := l.Registration.Point(f.Place)
		s.Notes = append(s.Notes, proof.Note{At: &at, Label: "find " + pointWords(f)})
	}
	return s
}

// pointWords names a point and says where it is counted.
func pointWords(f plot.Find) string {
	return fmt.Sprintf("%s: %s across, %s along", label.Clean(f.Name, label.Picture), figures.Channels(f.Place.Across), figures.Channels(f.Place.Along))
}

// thereAlready is a stroke that an earlier load drew.
func thereAlready(s paths.Stroke) proof.Ink {
	return proof.Ink{Stroke: s, Colour: "#999999", Width: 0.5, Pen: "drawn in a load before"}
}

// before returns what the loads before one draw, in mm on the cloth.
func before(j plot.Job, load int) []paths.Stroke {
	var out []paths.Stroke
	for _, l := range j.Loads[:load] {
		out = append(out, plainOf(l.Drawn)...)
	}
	return out
}

// Pictures of points: how much of the cloth each shows each way from its middle, and how
// far apart they are, in mm.
const (
	pointReach  = 30.
	pointSpread = 72.
)

// pointsScene shows the points to find of a load at full size, in rows, each with the ink
// round it that is on the cloth by then.
func pointsScene(j plot.Job, load int) proof.Scene {
	l := j.Loads[load]
	s := panelCaptions(j)
	s.Title += fmt.Sprintf(", points to find for load %d", l.N)
	s.Captions = []string{fmt.Sprintf("each piece is %.0f mm wide and high, at full size when this page is printed so, and shows what is on the cloth when the pen stands over the point", 2*pointReach)}
	s.NoDirection, s.EveryNote = true, true
	ink, places := before(j, load), proof.Places{Label: "point to find", Sign: proof.Cross}
	columns := max(2, int(math.Ceil(math.Sqrt(float64(len(l.Points))))))
	for i, f := range l.Points {
		to := paths.Point{X: float64(i%columns) * pointSpread, Y: -float64(i/columns) * pointSpread}
		m := paths.Translate(to)
		piece := roundPoint(j.Grid, ink, f.Place)
		s.Loads = append(s.Loads, proof.Region{Outline: proof.Outline(piece.Box).Transform(m), Label: fmt.Sprint(i + 1)})
		for _, w := range piece.Weave {
			w.Points = []paths.Point{m.Apply(w.Points[0]), m.Apply(w.Points[1])}
			s.Weave = append(s.Weave, w)
		}
		for _, k := range piece.Ink {
			k := thereAlready(k.Transform(m))
			k.Colour = "#000000"
			s.Ink = append(s.Ink, k)
		}
		places.At = append(places.At, to)
		s.Notes = append(s.Notes, proof.Note{Label: pointWords(f)})
	}
	s.Places = []proof.Places{places}
	return s
}

// PointPiece is what is on the cloth round a point to find when the pen stands over it, in
// mm from the point.
type PointPiece struct {
	Box   paths.Rect
	Ink   []paths.Stroke    // that loads before have drawn
	Weave []proof.WeaveLine // channels, numbered from the lower left corner of the rug
}

// NewPointPiece returns the piece of cloth round a place that is to be found before load n
// is drawn, from 1.
func NewPointPiece(j plot.Job, n int, at weave.Place) PointPiece {
	return roundPoint(j.Grid, before(j, n-1), at)
}

func roundPoint(g weave.Grid, ink []paths.Stroke, place weave.Place) PointPiece {
	at := g.At(place)
	m := paths.Translate(at.Mul(-1))
	box := paths.Rect{Min: at, Max: at}.Grow(pointReach)
	out := PointPiece{Box: paths.Rect{}.Grow(pointReach)}
	for _, w := range channelsOf(g, box) {
		w.Points = []paths.Point{m.Apply(w.Points[0]), m.Apply(w.Points[1])}
		out.Weave = append(out.Weave, w)
	}
	for _, k := range crop(ink, box) {
		out.Ink = append(out.Ink, k.Transform(m))
	}
	return out
}

// crop returns what of strokes lies in a rectangle, bends as short lines.
func crop(strokes []paths.Stroke, r paths.Rect) []paths.Stroke {
	var out []paths.Stroke
	for _, s := range strokes {
		if !s.Bounds().Overlaps(r) {
			continue
		}
		if s.IsDot() {
			out = append(out, s)
			continue
		}
		pts := s.Flatten(0.1)
		var run []paths.Point
		for i := 1; i < len(pts); i++ {
			a, b, ok := inside(pts[i-1], pts[i], r)
			if ok && len(run) > 0 && run[len(run)-1] != a {
				out, run = append(out, paths.Polyline(run...)), nil
			}
			if ok && len(run) == 0 {
				run = []paths.Point{a}
			}
			if ok && a != b {
				run = append(run, b)
			}
		}
		if len(run) > 1 {
			out = append(out, paths.Polyline(run...))
		}
	}
	return out
}

// inside returns the part of the line from a to b that lies in r (Liang and Barsky, ACM
// Transactions on Graphics 3 (1984) 1-22).
func inside(a, b paths.Point, r paths.Rect) (from, to paths.Point, ok bool) {
	lo, hi := 0., 1.
	d := b.Sub(a)
	for _, side := range [][2]float64{{-d.X, a.X - r.Min.X}, {d.X, r.Max.X - a.X}, {-d.Y, a.Y - r.Min.Y}, {d.Y, r.Max.Y - a.Y}} {
		p, q := side[0], side[1]
		switch {
		case p == 0 && q < 0:
			return a, b, false
		case p < 0:
			lo = max(lo, q/p)
		case p > 0:
			hi = min(hi, q/p)
		}
	}
	if lo > hi {
		return a, b, false
	}
	from, to = a, b
	if lo > 0 {
		from = a.Lerp(b, lo)
	}
	if hi < 1 {
		to = a.Lerp(b, hi)
	}
	return from, to, true
}
