package report

import (
	"fmt"

	"weftplot/plot"
	"weftplot/plot/figures"
)

// MakingUp is a line round the rug for making it up: hemming, folding, cutting.
type MakingUp struct {
	Layer string `json:"layer"`
	// Rows are the rows of holes left empty between it and the rug's edge; of a line at the
	// margin, at the left of the rug.
	Rows int `json:"rows"`
	// AcrossChannels and AlongChannels are those of its sides, from the rug's lower left
	// corner as drawn.
	AcrossChannels [2]int `json:"across_channels"`
	AlongChannels  [2]int `json:"along_channels"`
}

func makingUpOf(j plot.Job) []MakingUp {
	var out []MakingUp
	for _, r := range j.MakingUp {
		out = append(out, MakingUp{r.Layer, r.Rows, [2]int{r.Left, r.Right}, [2]int{r.Bottom, r.Top}})
	}
	return out
}

// makingUpWords says in a few words each which lines for making up lie where.
func makingUpWords(j plot.Job) []string {
	var out []string
	if j.Settings.Ticks {
		out = append(out, "ticks: long at the middle of each side, short at its quarters")
		if size := sizeOf(j); int(size.nx+0.5)%2 != 0 || int(size.ny+0.5)%2 != 0 {
			out = append(out, "where two long ticks stand, the middle lies between them")
		}
	}
	what := map[string]string{plot.HemLayer: "hem", plot.FoldLayer: "fold here", plot.CutLayer: "cut here"}
	for _, r := range j.MakingUp {
		where := figures.Count(r.Rows, "row") + " empty"
		if r.AtMargin {
			where = "at the margin"
		}
		out = append(out, fmt.Sprintf("%s: %s, channels %d, %d across and %d, %d along",
			what[r.Layer], where, r.Left, r.Right, r.Bottom, r.Top))
	}
	return out
}
