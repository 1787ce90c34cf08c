package sheets

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/svg"
	"weftplot/plot/report"
)

// Point is what is on the cloth round a point to find. Paths are SVG path data in mm from
// the point, y up.
type Point struct {
	Reach float64  `json:"reach"` // how far the picture reaches each way
	Ink   []string `json:"ink"`
	Weave []string `json:"weave"` // a line to a channel
}

// PointOf puts the piece of cloth round a point into the form of the page.
func PointOf(p report.PointPiece) Point {
	out := Point{Reach: p.Box.Max.X, Ink: []string{}, Weave: []string{}}
	data := func(s paths.Stroke) string { return svg.PathData([]paths.Stroke{s}, 2, math.Pi*0.99) }
	for _, s := range p.Ink {
		out.Ink = append(out.Ink, data(s))
	}
	for _, w := range p.Weave {
		out.Weave = append(out.Weave, data(paths.Polyline(w.Points...)))
	}
	return out
}
