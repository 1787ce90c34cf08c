package told

import (
	"fmt"
	"math"

	"weftplot/cmd/weftplot/bench/sheets"
	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/plot"
	"weftplot/plot/job"
)

// Largest is the largest size of a rug that a machine reaches with the cloth
// lying one way.
type Largest struct {
	Lay  string     `json:"lay"`  // upright or turned
	Size string     `json:"size"` // both sides, as a maker says them
	Fits bool       `json:"fits"` // the rug as it is now
	MM   [2]float64 `json:"mm"`
}

// LargestOf returns the largest sizes that fit. Turned, the cloth lies on the
// machine by a quarter round.
func LargestOf(m plot.Registered) []Largest {
	out := []Largest{}
	if !m.Settings.HasMachine() {
		return out
	}
	box, reach := m.Inputs.Design.Bounds(), m.Inputs.Machine.Reach()
	w, h := m.Rug.Width(), m.Rug.Height()
	for _, lay := range []string{job.Upright, job.LaidTurned} {
		r := reach
		if lay == job.LaidTurned {
			r.Max = paths.Point{X: reach.Min.X + reach.Height(), Y: reach.Min.Y + reach.Width()}
		}
		wide := WidthThatFits(box, r, m.Count)
		high := wide * h / w
		out = append(out, Largest{lay, paths.Length(wide).Both() + " × " + paths.Length(high).Both(), w <= wide+1e-6 && h <= high+1e-6, [2]float64{sheets.Hundredth(wide), sheets.Hundredth(high)}})
	}
	return out
}

// WidthThatFits is the greatest width at which a drawing of these proportions fits a
// reach, down to a whole channel, mm.
func WidthThatFits(box, reach paths.Rect, c paths.Count) float64 {
	w, h := box.Width(), box.Height()
	wide := reach.Width()
	if w > 0 && h > 0 {
		wide = min(wide, reach.Height()*w/h)
	}
	g, err := weave.NewGrid(c)
	if err != nil {
		return wide
	}
	// A line that goes into its channel may move by half of one each way.
	return max(g.Across, math.Floor(wide/g.Across-1)*g.Across)
}

// SayLength writes a length of the program's own choice as a person would: in
// inches where that is exact to an eighth, else in cm.
func SayLength(mm float64) string {
	eighths := mm / paths.MMPerInch * 8
	if math.Abs(eighths-math.Round(eighths)) < 1e-6 {
		return paths.Length(mm).Eighths() + "in"
	}
	return fmt.Sprintf("%gcm", math.Round(mm*10)/100)
}
