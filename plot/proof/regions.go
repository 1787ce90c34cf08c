package proof

import (
	"math"

	"weftplot/paths"
	"weftplot/plot/proof/typeface"
)

// A Region is a part of a cloth that holds several rugs.
type Region struct {
	Outline paths.Stroke // closed, in mm
	Label   string       // short: "3 Ada", "load 2"
}

// regionLook is how an outline of a load is shown.
func regionLook(em float64) look {
	return look{stroke: reachEdge, width: 1.6 * edgeWidth * em, dash: times(reachDash, em)}
}

// regions draws the edges of the rugs of a kit and of what is drawn in each load.
func (l *layout) regions() *group {
	g := &group{id: "regions"}
	if s := l.scene.Rugs; len(s) > 0 {
		look := rugLook(l.em, l.widestInk())
		g.add(&group{class: "rugs", title: "edges of the rugs", nodes: []node{shape{outlinesOf(s), &look}}})
	}
	if s := l.scene.Loads; len(s) > 0 {
		look := regionLook(l.em)
		g.add(&group{class: "loads", title: "loads: what is drawn in one laying of the cloth", nodes: []node{shape{outlinesOf(s), &look}}})
	}
	return g
}

func outlinesOf(rs []Region) []paths.Stroke {
	out := make([]paths.Stroke, len(rs))
	for i, r := range rs {
		out[i] = r.Outline
	}
	return out
}

// regionLabels names loads and rugs: loads at their corners, rugs beside their upper
// edges, or else in their middles.
func (l *layout) regionLabels(g *group) {
	size := labelSize * l.em
	for _, kind := range []struct {
		regions []Region
		colour  string
		bold    bool
	}{{l.scene.Loads, reachEdge, true}, {l.scene.Rugs, darkText, true}} {
		for _, r := range kind.regions {
			on := l.onPage(r.Outline)
			text := typeface.Clean(r.Label)
			cands := besideCorners(on, size, typeface.Width(text, size, kind.bold), edgeWidth*l.em)
			cands = append(cands, words{at: on.box.Centre(), anchor: anchorMiddle})
			for i := range cands {
				cands[i].text, cands[i].size, cands[i].bold, cands[i].colour, cands[i].halo = text, size, kind.bold, kind.colour, true
			}
			l.putFirst(g, cands)
		}
	}
}

// regionEntries are the entries of the legend for regions.
func (l *layout) regionEntries() []entry {
	var out []entry
	if len(l.scene.Loads) > 0 {
		out = append(out, entry{bar(regionLook(l.em)), "load: drawn in one laying of the cloth"})
	}
	if len(l.scene.Rugs) > 0 {
		look := rugLook(l.em, l.widestInk())
		look.width = math.Min(look.width, 4*edgeWidth*l.em)
		out = append(out, entry{bar(look), "edges of the rugs, with their numbers and names"})
	}
	return out
}
