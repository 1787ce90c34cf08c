package svg

import (
	"strings"

	"weftplot/paths"
)

// known are the properties that decide about line work. The value says whether
// an attribute of the same name may stand for it (SVG 2, Styling, presentation
// attributes); the geometry of shapes is looked up in the attributes later.
var known = map[string]bool{
	"fill": true, "stroke": true, "stroke-width": true, "stroke-dasharray": true, "stroke-dashoffset": true,
	"fill-opacity": true, "stroke-opacity": true, "opacity": true, "color": true, "font-size": true,
	"display": true, "visibility": true, "overflow": true, "vector-effect": true,
	"clip-path": true, "clip-rule": true, "fill-rule": true, "mask": true, "filter": true,
	"marker-start": true, "marker-mid": true, "marker-end": true, "marker": true,
	"transform": true, "x": true, "y": true, "width": true, "height": true,
	"cx": true, "cy": true, "r": true, "rx": true, "ry": true,
}

// onlyInStyles are the known properties that no presentation attribute sets,
// or whose attribute is read where it is used.
var onlyInStyles = map[string]bool{
	"marker": true, "transform": true, "x": true, "y": true, "width": true, "height": true,
	"cx": true, "cy": true, "r": true, "rx": true, "ry": true,
}

// cascade works out, once, the properties that the file sets for n: attributes
// first, then rules by specificity and order, then the style attribute, and
// what is important over all (CSS Cascading 4, 6.1; SVG 2, Styling).
func (r *reader) cascade(n *node) {
	if n.cascaded {
		return
	}
	n.cascaded = true
	for _, a := range n.attrs {
		if a.Name.Space == "" && known[a.Name.Local] && !onlyInStyles[a.Name.Local] {
			n.set(decl{name: a.Name.Local, value: strings.TrimSpace(a.Value)})
		}
	}
	rules := r.matching(n)
	var own []decl
	if text := n.attr("style"); text != "" {
		own = declarations(r.styleTokens(n, text))
	}
	for _, important := range []bool{false, true} {
		pick := func(list []decl) {
			for _, d := range list {
				if d.important == important {
					n.set(d)
				}
			}
		}
		for _, ru := range rules {
			pick(ru.decls)
		}
		pick(own)
	}
}

// set puts a declaration over what was said of the property before, unless its
// value is an error.
func (n *node) set(d decl) {
	if d.name == "marker" {
		for _, part := range []string{"marker-start", "marker-mid", "marker-end"} {
			n.set(decl{name: part, value: d.value})
		}
		return
	}
	if !validValue(d.name, d.value) {
		return
	}
	for i := range n.props {
		if n.props[i].name == d.name {
			n.props[i] = d
			return
		}
	}
	n.props = append(n.props, d)
}

// prop returns what the cascade holds of a property.
func (n *node) prop(name string) (string, bool) {
	for _, d := range n.props {
		if d.name == name {
			return d.value, true
		}
	}
	return "", false
}

func validValue(name, value string) bool {
	switch strings.ToLower(value) {
	case "inherit", "initial", "unset", "revert":
		return true
	}
	ok := true
	switch name {
	case "fill", "stroke":
		_, ok = parsePaint(value)
	case "color":
		_, ok = parseColour(value)
	case "opacity", "fill-opacity", "stroke-opacity":
		_, ok = parseAlpha(value)
	case "stroke-width":
		var l length
		l, ok = parseLength(value)
		ok = ok && l.v >= 0
	case "stroke-dashoffset":
		_, ok = parseLength(value)
	}
	return ok
}

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
	fillRule, clipRule       string
	markers                  [3]string
	em                       float64
	// Not inherited:
	own ownStyle
}

type ownStyle struct {
	display, overflow, vectorEffect string
	clipPath, mask, filter          string
	opacity                         float64
}

func initialStyle() style {
	return style{
		fill: paint{kind: colourPaint, text: "black"}, stroke: paint{}, colour: "black",
		width: length{v: 1}, dashes: "none", fillOpacity: 1, lineOpacity: 1,
		visibility: "visible", fillRule: "nonzero", clipRule: "nonzero",
		markers: [3]string{"none", "none", "none"}, em: defaultFontSize, own: initialOwn(),
	}
}

func initialOwn() ownStyle {
	return ownStyle{display: "inline", clipPath: "none", mask: "none", filter: "none", opacity: 1}
}

// styleOf returns the computed style of n under that of its parent, which for
// the target of a use element is the style of the use element.
func (r *reader) styleOf(n *node, parent *style) style {
	r.cascade(n)
	s := *parent
	s.own = initialOwn()
	initial := initialStyle()
	for _, first := range []bool{true, false} { // em and currentColor serve the rest
		for _, d := range n.props {
			if first != (d.name == "font-size" || d.name == "color") {
				continue
			}
			switch strings.ToLower(d.value) {
			case "inherit":
				s.copyFrom(parent, d.name)
			case "initial":
				s.copyFrom(&initial, d.name)
			case "unset", "revert": // as when nothing is said
			default:
				s.apply(d, parent)
			}
		}
	}
	return s
}

// copyFrom takes the value of one property from another style.
func (s *style) copyFrom(o *style, name string) {
	switch name {
	case "fill":
		s.fill = o.fill
	case "stroke":
		s.stroke = o.stroke
	case "stroke-width":
		s.width = o.width
	case "stroke-dasharray":
		s.dashes = o.dashes
	case "stroke-dashoffset":
		s.dashOffset = o.dashOffset
	case "fill-opacity":
		s.fillOpacity = o.fillOpacity
	case "stroke-opacity":
		s.lineOpacity = o.lineOpacity
	case "opacity":
		s.own.opacity = o.own.opacity
	case "color":
		s.colour = o.colour
	case "font-size":
		s.em = o.em
	case "display":
		s.own.display = o.own.display
	case "visibility":
		s.visibility = o.visibility
	case "overflow":
		s.own.overflow = o.own.overflow
	case "vector-effect":
		s.own.vectorEffect = o.own.vectorEffect
	case "clip-path":
		s.own.clipPath = o.own.clipPath
	case "clip-rule":
		s.clipRule = o.clipRule
	case "fill-rule":
		s.fillRule = o.fillRule
	case "mask":
		s.own.mask = o.own.mask
	case "filter":
		s.own.filter = o.own.filter
	case "marker-start":
		s.markers[0] = o.markers[0]
	case "marker-mid":
		s.markers[1] = o.markers[1]
	case "marker-end":
		s.markers[2] = o.markers[2]
	}
}

// apply sets one property to a value that stands for itself.
func (s *style) apply(d decl, parent *style) {
	word := strings.ToLower(d.value)
	switch d.name {
	case "fill":
		s.fill, _ = parsePaint(d.value)
	case "stroke":
		s.stroke, _ = parsePaint(d.value)
	case "stroke-width":
		s.width = fixed(d.value, s.em)
	case "stroke-dasharray":
		s.dashes = d.value
	case "stroke-dashoffset":
		s.dashOffset = fixed(d.value, s.em)
	case "fill-opacity":
		s.fillOpacity, _ = parseAlpha(d.value)
	case "stroke-opacity":
		s.lineOpacity, _ = parseAlpha(d.value)
	case "opacity":
		s.own.opacity, _ = parseAlpha(d.value)
	case "color":
		if word != "currentcolor" {
			s.colour = d.value
		}
	case "font-size":
		s.em = fontSize(word, parent.em)
	case "display":
		s.own.display = word
	case "visibility":
		s.visibility = word
	case "overflow":
		s.own.overflow = word
	case "vector-effect":
		s.own.vectorEffect = word
	case "clip-path":
		s.own.clipPath = d.value
	case "clip-rule":
		s.clipRule = word
	case "fill-rule":
		s.fillRule = word
	case "mask":
		s.own.mask = d.value
	case "filter":
		s.own.filter = d.value
	case "marker-start":
		s.markers[0] = d.value
	case "marker-mid":
		s.markers[1] = d.value
	case "marker-end":
		s.markers[2] = d.value
	}
}

// fixed reads a length whose font-relative units are settled where it is set,
// while a percentage waits for the viewport of its use.
func fixed(text string, em float64) length {
	l, _ := parseLength(text)
	if l.unit == "%" {
		return l
	}
	return length{v: l.in(0, em)}
}

// fontSizes are the absolute sizes as programs agree on them, in px.
var fontSizes = map[string]float64{
	"xx-small": 9, "x-small": 10, "small": 13, "medium": 16, "large": 18, "x-large": 24, "xx-large": 32,
}

func fontSize(word string, parent float64) float64 {
	if v, ok := fontSizes[word]; ok {
		return v
	}
	switch word {
	case "larger":
		return parent * 1.2
	case "smaller":
		return parent / 1.2
	}
	if l, ok := parseLength(word); ok && l.v >= 0 {
		return l.in(parent, parent)
	}
	return parent
}

// transform returns the map that n sets for itself, and notes one in error,
// which does not count.
func (r *reader) transform(n *node) paths.Affine {
	text, ok := n.prop("transform")
	if !ok {
		text, ok = n.lookup("transform")
	}
	if !ok || text == "none" {
		return paths.Identity()
	}
	m, err := parseTransform(text)
	if err != nil {
		r.notes.add(n, "transform-unreadable", "Its transform is left out of account: %v.", err)
	}
	if n.attr("transform-origin") != "" {
		r.notes.add(n, "transform-origin-not-read", "Its transform-origin is left out of account; it may lie elsewhere.")
	}
	return m
}
