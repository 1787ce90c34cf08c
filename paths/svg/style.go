package svg

import "strings"

// style is the computed style of an element.
type style struct {
	// Inherited:
	fill, stroke             paint
	colour                   string // of currentColor
	width                    length
	dashes                   string
	dashOffset               length
	fillOpacity, lineOpacity float64
	visibility               string
	clipRule, fillRule       string
	markers                  [3]string
	em                       float64
	fontFamily               string
	bold, italic             bool
	anchor, whiteSpace       string
	writingMode, direction   string
	baseline                 string
	letterSpacing            length
	wordSpacing              length
	vars                     map[string]string // custom properties; never changed in place
	// Not inherited:
	own ownStyle
}

type ownStyle struct {
	display, overflow, vectorEffect string
	clipPath, mask, filter          string
	opacity                         float64
	baselineShift, decoration       string
}

func initialStyle() style {
	return style{
		fill: paint{kind: colourPaint, text: "black", alpha: 1}, stroke: paint{}, colour: "black",
		width: length{v: 1}, dashes: "none", fillOpacity: 1, lineOpacity: 1,
		visibility: "visible", clipRule: "nonzero", fillRule: "nonzero",
		markers: [3]string{"none", "none", "none"}, em: defaultFontSize, own: initialOwn(),
		anchor: "start", whiteSpace: "normal", writingMode: "horizontal-tb", direction: "ltr", baseline: "auto",
	}
}

func initialOwn() ownStyle {
	return ownStyle{display: "inline", clipPath: "none", mask: "none", filter: "none", opacity: 1, baselineShift: "baseline", decoration: "none"}
}

// styleOf returns the computed style of n under that of its parent, which for
// the target of a use element is the style of the use element.
func (r *reader) styleOf(n *node, parent *style) style {
	r.cascade(n)
	s := *parent
	s.own = initialOwn()
	n.resolved = n.props
	if n.variable {
		n.resolved = r.resolve(n, &s)
	}
	for _, first := range []bool{true, false} { // font size and colour serve the rest
		for _, d := range n.resolved {
			if first == (d.name == "font-size" || d.name == "color") {
				s.apply(d, parent)
			}
		}
	}
	return s
}

// apply puts one declaration into s.
func (s *style) apply(d decl, parent *style) {
	p := properties[d.name]
	if p.set == nil {
		return
	}
	switch strings.ToLower(d.value) {
	case "inherit":
		p.copy(s, parent)
	case "initial":
		initial := initialStyle()
		p.copy(s, &initial)
	case "unset", "revert", "revert-layer": // as when nothing is said
	default:
		p.set(s, d.value, parent)
	}
}
