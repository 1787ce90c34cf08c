package told

import (
	"weftplot/cmd/weftplot/bench/sheets"
	"weftplot/paths"
	"weftplot/plot"
)

// Kit is a kit as the page shows it.
type Kit struct {
	Cloth  string   `json:"cloth"` // as a maker says it
	Copies []Copy   `json:"copies"`
	Loads  []Load   `json:"loads"`
	Due    int      `json:"due"` // the load that comes next, 0 when all are drawn or none is made
	Notes  []string `json:"notes"`
	// Of one rug in several loads, whose Copies are none: where lines go on in another
	// load, seen from the front.
	Panels bool         `json:"panels"`
	Joints [][2]float64 `json:"joints"`
}

// Copy is a copy: State is drawn, begun or due.
type Copy struct {
	N      int    `json:"n"`
	Name   string `json:"name"`
	Load   int    `json:"load"`
	Turned bool   `json:"turned"`
	State  string `json:"state"`
}

// Load is a load: State is drawn, sent, begun or due. Box is what it takes of the
// cloth, seen from the front: x0, y0, x1, y1.
type Load struct {
	N      int        `json:"n"`
	Copies []int      `json:"copies"`
	Box    [4]float64 `json:"box"`
	State  string     `json:"state"`
	Begun  Begun      `json:"begun"`
	Lay    string     `json:"lay"`
	// Waits tells that it cannot be drawn before its marks are found, and Found that there
	// are some. Do is what to do while it waits, Fit what the marks tell.
	Waits bool   `json:"waits"`
	Found bool   `json:"found"`
	Do    string `json:"do"`
	Fit   string `json:"fit"`
}

// What is known of a copy or a load.
const (
	Due       = "due"
	HalfDrawn = "begun" // and not drawn to its end
	Drawn     = "drawn"
	Sent      = "sent" // to its end, to a machine that does not say whether it drew it
)

// FrontBox is a rectangle of the drawn side as the front shows it.
func FrontBox(m plot.Registered, b paths.Rect) [4]float64 {
	if m.Mirrored {
		mid := m.Rug.Min.X + m.Rug.Max.X
		b.Min.X, b.Max.X = mid-b.Max.X, mid-b.Min.X
	}
	return [4]float64{sheets.Hundredth(b.Min.X), sheets.Hundredth(b.Min.Y), sheets.Hundredth(b.Max.X), sheets.Hundredth(b.Max.Y)}
}
