package svg

import "weftplot/paths/svg/css"

// shownPaint is a paint with its opacity and reference resolved.
type shownPaint struct {
	colour string
	server *node   // the gradient or pattern, when the file holds it
	alpha  float64 // how much it hides of what lies under it; 0.5 for a gradient, where that is unknown
}

// seen returns how a paint shows, and whether it shows at all.
func (r *reader) seen(p css.Paint, s *css.Style) (shownPaint, bool) {
	switch p.Kind {
	case css.ColourPaint:
		return shownPaint{colour: p.Text, alpha: p.Alpha}, p.Alpha > 0
	case css.CurrentPaint:
		alpha, _ := css.ParseColour(s.Colour)
		return shownPaint{colour: s.Colour, alpha: alpha}, alpha > 0
	case css.ServerPaint:
		if n := r.byID[p.Server]; n != nil && paintServers[n.name] {
			return shownPaint{colour: p.Text, server: n, alpha: 0.5}, true
		}
		if p.Fallback != nil {
			return r.seen(*p.Fallback, s)
		}
	}
	return shownPaint{}, false
}

var paintServers = map[string]bool{
	"linearGradient": true, "radialGradient": true, "pattern": true, "meshgradient": true, "meshGradient": true,
	"hatch": true, "solidcolor": true, "solidColor": true,
}
