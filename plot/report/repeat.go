package report

import (
	"fmt"
	"slices"
	"strings"

	"weftplot/paths"
	"weftplot/paths/weave/frieze"
	"weftplot/plot"
	"weftplot/plot/job"
)

// Repeat is the row of motifs along the border. All is counted in channels.
type Repeat struct {
	Layer string `json:"layer"` // of the motif
	Wide  int    `json:"wide"`  // of every motif, along its side
	Deep  int    `json:"deep"`  // of it, and of the square in each corner
	// From and To are the channels of the row's edges, counted from the rug's edge.
	From   int          `json:"from"`
	To     int          `json:"to"`
	Corner string       `json:"corner"` // empty, mitre, or the layer of the motif there
	Give   string       `json:"give"`   // what gave: gap, motif or size
	Sides  []RepeatSide `json:"sides"`  // across, then along
	Ways   []RepeatWay  `json:"ways"`   // what each way of closing takes
}

// RepeatSide is how two sides that face each other close.
type RepeatSide struct {
	Axis   string `json:"axis"`   // that it runs across or along
	Motifs int    `json:"motifs"` // on each
	Gaps   []int  `json:"gaps"`   // from the corner to the first, between them, and to the corner
}

// RepeatWay is what it takes to close the row when one thing gives.
type RepeatWay struct {
	Give    string `json:"give"`
	Closes  bool   `json:"closes"`
	Message string `json:"message"` // a sentence without a full stop
}

func repeatOf(j plot.Job) *Repeat {
	b := j.Band
	if b == nil {
		return nil
	}
	r := &Repeat{Layer: b.Layer, Wide: b.Plan.Width, Deep: b.Deep, From: b.From, To: b.From + b.Deep,
		Corner: j.Settings.RepeatCorner, Give: j.Settings.RepeatWay()}
	if r.Corner == "" {
		r.Corner = job.CornerEmpty
	}
	for i, axis := range []string{"across", "along"} {
		r.Sides = append(r.Sides, RepeatSide{axis, len(b.Plan.Sides[i].Starts), b.Plan.Gaps(i)})
	}
	for _, way := range job.Ways {
		plan, ok := b.PlanFor(way)
		r.Ways = append(r.Ways, RepeatWay{way, ok, repeatPrice(j, way, plan, ok)})
	}
	return r
}

// repeatPrice says what it takes to close the row when one thing gives.
func repeatPrice(j plot.Job, way string, p frieze.Plan, ok bool) string {
	b := j.Band
	if !ok {
		return fmt.Sprintf("if the %s gives: no way to close all sides", way)
	}
	motifs := fmt.Sprintf("%d motifs across and %d along", len(p.Sides[0].Starts), len(p.Sides[1].Starts))
	switch way {
	case job.GiveMotif:
		return fmt.Sprintf("if the motif gives: %s, each %d channels wide in place of %d", motifs, p.Width, b.Wish.Width)
	case job.GiveSize:
		more := 2 * (b.From + b.Deep)
		nx, ny := p.Sides[0].Length+more, p.Sides[1].Length+more
		return fmt.Sprintf("if the size gives: %s, on a rug of %d x %d channels in place of %d x %d, %s x %s", motifs, nx, ny,
			b.Wish.Sides[0]+more, b.Wish.Sides[1]+more, paths.Length(float64(nx)*j.Grid.Across).Both(), paths.Length(float64(ny)*j.Grid.Along).Both())
	}
	return fmt.Sprintf("if the gap gives: %s, with %s between them across and %s along in place of %d", motifs,
		emptyRows(p.Gaps(0)), emptyRows(p.Gaps(1)), b.Wish.Gap-1)
}

// emptyRows says how many rows of holes stay empty between motifs, those at the corners
// aside.
func emptyRows(gaps []int) string {
	if len(gaps) > 2 {
		gaps = gaps[1 : len(gaps)-1]
	}
	lo, hi := slices.Min(gaps)-1, slices.Max(gaps)-1
	if lo == hi {
		return fmt.Sprintf("%d rows", lo)
	}
	return fmt.Sprintf("%d or %d rows", lo, hi)
}

// Words says in a few lines what is repeated and what each way of closing takes;
// none where nothing is.
func (r *Repeat) Words() []string {
	if r == nil {
		return nil
	}
	out := []string{
		fmt.Sprintf("motif %q, %d channels wide and %d deep, in channels %d to %d from the edge; corners: %s", r.Layer, r.Wide, r.Deep, r.From, r.To, r.Corner),
	}
	for _, s := range r.Sides {
		out = append(out, fmt.Sprintf("the sides that run %s: %d motifs, rows empty from corner to corner %s", s.Axis, s.Motifs, gapWords(s.Gaps)))
	}
	for _, w := range r.Ways {
		text := w.Message
		if w.Give == r.Give {
			text += " (as here)"
		}
		out = append(out, text)
	}
	return out
}

// gapWords lists gaps as rows left empty, those alike together: "2, 5 x 3, 2".
func gapWords(gaps []int) string {
	var words []string
	for i := 0; i < len(gaps); {
		n := i + 1
		for n < len(gaps) && gaps[n] == gaps[i] {
			n++
		}
		text := fmt.Sprint(gaps[i] - 1)
		if n-i > 1 {
			text = fmt.Sprintf("%d x %d", n-i, gaps[i]-1)
		}
		words = append(words, text)
		i = n
	}
	return strings.Join(words, ", ")
}
