package css

import (
	"strings"

	"weftplot/paths/svg/shape"
)

// Style is the computed style of an element, as far as it affects line work.
// Keywords are in lower case; text is as written.
type Style struct {
	Fill, Stroke Paint
	Colour       string // the value of currentColor
	// StrokeWidth and DashOffset are in user units or percent; font-relative
	// units are already converted.
	StrokeWidth, DashOffset Length
	DashArray               string // see [DashList]
	// FillOpacity and StrokeOpacity are between 0, transparent, and 1, opaque.
	FillOpacity, StrokeOpacity float64
	Visibility                 string
	ClipRule, FillRule         string    // nonzero or evenodd
	Markers                    [3]string // at the start, the middle and the end
	FontSize                   float64   // in user units: one em
	MiterLimit                 float64   // of stroke-miterlimit
	FontFamily                 string    // families separated by commas, as written
	Bold, Italic               bool      // from weight 600 on; italic or oblique
	LineCap                    shape.Cap
	LineJoin                   shape.Join
	TextAnchor, WhiteSpace     string
	WritingMode, Direction     string
	DominantBaseline           string
	// LetterSpacing and WordSpacing are like StrokeWidth.
	LetterSpacing, WordSpacing Length
	// Own are the properties that the elements within do not inherit.
	Own OwnStyle

	vars map[string]string // custom properties; never changed in place
}

// OwnStyle is the part of a style that is not inherited.
type OwnStyle struct {
	Display, Overflow, VectorEffect string  // keywords
	ClipPath, Mask, Filter          string  // mostly url(#id); see [URL]
	MaskAlpha                       bool    // of a mask: what is opaque shows, not what is light
	Opacity                         float64 // 0, transparent, to 1
	BaselineShift, TextDecoration   string  // as written
}

// Initial returns the style that the root inherits: the initial values of all
// properties.
func Initial() Style {
	return Style{
		Fill: Paint{Kind: ColourPaint, Text: "black", Alpha: 1}, Stroke: Paint{}, Colour: "black",
		StrokeWidth: Length{Value: 1}, DashArray: "none", MiterLimit: 4, FillOpacity: 1, StrokeOpacity: 1,
		Visibility: "visible", ClipRule: "nonzero", FillRule: "nonzero",
		Markers: [3]string{"none", "none", "none"}, FontSize: DefaultFontSize, Own: initialOwn(),
		TextAnchor: "start", WhiteSpace: "normal", WritingMode: "horizontal-tb", Direction: "ltr", DominantBaseline: "auto",
	}
}

func initialOwn() OwnStyle {
	return OwnStyle{Display: "inline", ClipPath: "none", Mask: "none", Filter: "none", Opacity: 1, BaselineShift: "baseline", TextDecoration: "none"}
}

// Style returns the computed style of e under that of its parent, which for the
// target of a use element is the style of the use element.
func (c *Cascade) Style(e Element, parent *Style) Style {
	c.Prepare(e)
	// The setters are called by name, so what they are given lies on the heap: once, and not
	// for every element.
	c.above, c.made = *parent, *parent
	s, above := &c.made, &c.above
	s.Own = initialOwn()
	state := e.State()
	state.resolved = state.props
	if state.variable {
		state.resolved = c.resolve(e, s)
	}
	for _, first := range []bool{true, false} { // the other properties depend on font size and colour
		for _, d := range state.resolved {
			if first == (d.name == "font-size" || d.name == "color") {
				s.apply(d, above)
			}
		}
	}
	return *s
}

// apply puts one declaration into s.
func (s *Style) apply(d decl, parent *Style) {
	p := properties[d.name]
	if p.set == nil {
		return
	}
	switch strings.ToLower(d.value) {
	case "inherit":
		p.copy(s, parent)
	case "initial":
		initial := Initial()
		p.copy(s, &initial)
	case "unset", "revert", "revert-layer": // as if the property were not set
	default:
		p.set(s, d.value, parent)
	}
}
