package plot

import (
	"weftplot/paths"
	"weftplot/plot/knife"
	"weftplot/profiles"
)

// overcutOffsets is how far a closed cut goes on over its start, in offsets of
// the blade, so that its ends meet (common practice: the offset or a little
// more).
const overcutOffsets = 1.5

// nested groups the strokes of a blade, innermost first, and says how many dots
// it leaves out.
func (j *Job) nested(strokes []Stroke) [][]Stroke {
	var cuts []Stroke
	dots := 0
	for _, s := range strokes {
		if s.IsDot() {
			dots++
			continue
		}
		cuts = append(cuts, s)
	}
	if dots > 0 {
		j.warnf(nil, "dots-not-cut", "%d dots are left out: a blade that does not move cuts nothing", dots)
	}
	plain := make([]paths.Stroke, len(cuts))
	for i, s := range cuts {
		plain[i] = s.Stroke
	}
	var out [][]Stroke
	for _, level := range knife.Nest(plain) {
		var group []Stroke
		for _, i := range level {
			group = append(group, cuts[i])
		}
		out = append(out, group)
	}
	return out
}

// towBlade replaces each cut by the way that the blade's holder goes to make it.
func (j *Job) towBlade(cuts []Stroke, p profiles.Pen) {
	plain := make([]paths.Stroke, len(cuts))
	for i, s := range cuts {
		plain[i] = s.Stroke
	}
	offset := float64(p.Offset)
	ways := knife.Ways(plain, knife.Blade{
		Offset: offset, Overcut: overcutOffsets * offset,
		// Over a turn smaller than this the tip strays no more than fitting may.
		Swing: j.tolerance(bladeShare) / max(offset, 1e-6),
	})
	for i := range cuts {
		cuts[i].Stroke = ways[i]
	}
}
