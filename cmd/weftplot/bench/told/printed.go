package told

import (
	"weftplot/plot"
	"weftplot/plot/report"
)

// Printed is what is printed of a job. Rectangles are x0, y0, x1, y1 in mm on
// the front of the rug.
type Printed struct {
	Size    string       `json:"size"`
	Sheets  []Sheet      `json:"sheets"`
	Rows    int          `json:"rows"`
	Columns int          `json:"columns"`
	Fewest  bool         `json:"fewest"`
	Side    string       `json:"side"`
	Presses [][4]float64 `json:"presses"` // places of the iron, in the order of pressing
	Minutes int          `json:"minutes"` // on all of them
}

// Sheet is a sheet of paper: its name, and its share of the rug between the
// joints with its neighbours.
type Sheet struct {
	Name string     `json:"name"`
	Box  [4]float64 `json:"box"`
}

// PrintedOf tells where the sheets of a job, and the places of the iron, lie.
func PrintedOf(m plot.Registered, r *report.Paper) *Printed {
	if r == nil {
		return nil
	}
	plan := r.Plan
	out := &Printed{Size: r.Size, Rows: plan.Rows, Columns: plan.Cols, Fewest: r.Fewest, Side: r.Side, Minutes: r.Minutes, Sheets: []Sheet{}, Presses: [][4]float64{}}
	for _, s := range plan.Sheets {
		out.Sheets = append(out.Sheets, Sheet{s.Name, FrontBox(m, s.Own)})
	}
	for _, p := range plan.Places {
		out.Presses = append(out.Presses, FrontBox(m, p.Sole))
	}
	return out
}
