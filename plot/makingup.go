package plot

import (
	"slices"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
)

// The layers of the lines for making up. A layer of the design that has such a name is
// drawn with the same pen.
const (
	TicksLayer = "ticks"
	HemLayer   = "hem"
	FoldLayer  = "fold"
	CutLayer   = "cut"
)

// Ticks are so many channels long, at the middles of the sides and at the quarters.
const longTick, shortTick = 6, 3

// Round is a line round the rug, in channels.
type Round struct {
	Layer string // hem, fold or cut
	weave.Edge
	// Rows are those of holes left empty between it and the rug's edge; fewer where the
	// edge lies in no channel.
	Rows     int
	AtMargin bool // it lies where the backing's margin ends
}

// withMakingUp adds the ticks and the lines round the rug that the settings ask for.
func (s Snapped) withMakingUp() (Snapped, error) {
	lines, err := s.Settings.MakingUp()
	if err != nil {
		return Snapped{}, err
	}
	edge, room := weave.EdgeRound(s.Rug, s.Grid), s.Rug.Grow(s.Margin+1e-6)
	if s.Settings.Ticks {
		if err := s.withinMargin(TicksLayer, edge.Outside(longTick-1), room); err != nil {
			return Snapped{}, err
		}
		for _, k := range edge.Ticks(longTick, shortTick, s.Grid) {
			s.Lines = append(s.Lines, Stroke{k, TicksLayer})
		}
	}
	for _, l := range lines {
		round := edge.Outside(l.Rows)
		if l.AtMargin {
			round = weave.EdgeWithin(room, s.Grid)
		}
		if err := s.withinMargin(l.Name, round, room); err != nil {
			return Snapped{}, err
		}
		s.MakingUp = append(s.MakingUp, Round{l.Name, round, edge.Left - round.Left - 1, l.AtMargin})
		s.Lines = append(s.Lines, Stroke{round.Line(s.Grid), l.Name})
	}
	return s, nil
}

// withinMargin refuses what would lie beyond the backing's margin.
func (s Snapped) withinMargin(name string, e weave.Edge, room paths.Rect) error {
	by, side := room.Excess(e.Rect(s.Grid))
	if by <= 0 {
		return nil
	}
	return fault.TooBig(name, "put it nearer to the rug, or leave more backing: [margin]",
		"the line would lie %s beyond the %s of backing that is left round the rug, at the %s",
		paths.Length(by).In(s.Settings.Said), paths.Length(s.Margin).In(s.Settings.Said), side)
}

// IsForMakingUp reports whether a stroke is a line for making up: it lies outside the
// rug, on a layer that is for that.
func (s Snapped) IsForMakingUp(k Stroke) bool {
	asked := s.Settings.Ticks && k.Layer == TicksLayer ||
		slices.ContainsFunc(s.MakingUp, func(r Round) bool { return r.Layer == k.Layer })
	if !asked {
		return false
	}
	const weld = 0.01 // mm: the edge may lie so far from its channel where ends were joined
	b, rug := k.Bounds(), s.Rug.Grow(-weld)
	return !b.Overlaps(rug) || b.Union(rug) == b
}
