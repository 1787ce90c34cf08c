package css

import (
	"strings"

	"weftplot/paths/svg/shape"
)

// property is one property that affects line work: how its value is checked and
// put into a style. Other properties do not change what a pen draws, and are
// not read.
type property struct {
	// attribute says that an attribute of the same name may set it (SVG 2,
	// Styling, presentation attributes).
	attribute bool
	// valid checks a value; nil accepts all.
	valid func(value string) bool
	// set puts a value into s, under the style of the parent; copy copies the
	// value of another style. Both are nil for properties that are looked up by
	// name where they are used.
	set  func(s *Style, value string, parent *Style)
	copy func(s, from *Style)
}

var properties = map[string]property{
	"fill":              paintIn(func(s *Style) *Paint { return &s.Fill }),
	"stroke":            paintIn(func(s *Style) *Paint { return &s.Stroke }),
	"stroke-width":      lengthIn(func(s *Style) *Length { return &s.StrokeWidth }, true),
	"stroke-dashoffset": lengthIn(func(s *Style) *Length { return &s.DashOffset }, false),
	"fill-opacity":      alphaIn(func(s *Style) *float64 { return &s.FillOpacity }),
	"stroke-opacity":    alphaIn(func(s *Style) *float64 { return &s.StrokeOpacity }),
	"opacity":           alphaIn(func(s *Style) *float64 { return &s.Own.Opacity }),
	"stroke-linecap":    choiceIn(map[string]shape.Cap{"butt": shape.ButtCap, "round": shape.RoundCap, "square": shape.SquareCap}, func(s *Style) *shape.Cap { return &s.LineCap }),
	"stroke-linejoin":   choiceIn(map[string]shape.Join{"miter": shape.MiterJoin, "miter-clip": shape.MiterJoin, "arcs": shape.MiterJoin, "round": shape.RoundJoin, "bevel": shape.BevelJoin}, func(s *Style) *shape.Join { return &s.LineJoin }),
	"stroke-miterlimit": {
		attribute: true,
		valid:     func(v string) bool { l, ok := ParseLength(v); return ok && l.Unit == "" && l.Value >= 1 },
		set:       func(s *Style, v string, _ *Style) { l, _ := ParseLength(v); s.MiterLimit = l.Value },
		copy:      func(s, from *Style) { s.MiterLimit = from.MiterLimit },
	},
	"stroke-dasharray": textIn(func(s *Style) *string { return &s.DashArray }),
	"display":          wordIn(func(s *Style) *string { return &s.Own.Display }),
	"visibility":       wordIn(func(s *Style) *string { return &s.Visibility }),
	"overflow":         wordIn(func(s *Style) *string { return &s.Own.Overflow }),
	"vector-effect":    wordIn(func(s *Style) *string { return &s.Own.VectorEffect }),
	"clip-path":        textIn(func(s *Style) *string { return &s.Own.ClipPath }),
	"clip-rule":        wordIn(func(s *Style) *string { return &s.ClipRule }),
	"fill-rule":        wordIn(func(s *Style) *string { return &s.FillRule }),
	"mask":             textIn(func(s *Style) *string { return &s.Own.Mask }),
	"mask-type":        choiceIn(map[string]bool{"luminance": false, "alpha": true}, func(s *Style) *bool { return &s.Own.MaskAlpha }),
	"filter":           textIn(func(s *Style) *string { return &s.Own.Filter }),
	"marker-start":     textIn(func(s *Style) *string { return &s.Markers[0] }),
	"marker-mid":       textIn(func(s *Style) *string { return &s.Markers[1] }),
	"marker-end":       textIn(func(s *Style) *string { return &s.Markers[2] }),
	"color": {
		attribute: true,
		valid:     func(v string) bool { _, ok := ParseColour(v); return ok },
		set: func(s *Style, v string, _ *Style) {
			if !strings.EqualFold(v, "currentColor") {
				s.Colour = v
			}
		},
		copy: func(s, from *Style) { s.Colour = from.Colour },
	},
	"font-size": {
		attribute: true,
		set:       func(s *Style, v string, parent *Style) { s.FontSize = fontSize(strings.ToLower(v), parent.FontSize) },
		copy:      func(s, from *Style) { s.FontSize = from.FontSize },
	},
	// Looked up where they are used, together with the attributes.
	"d":                {valid: func(v string) bool { _, ok := PathFunction(v); return ok || v == "none" }},
	"transform-origin": {attribute: true}, "transform-box": {attribute: true},
	"transform": {}, "x": {}, "y": {}, "width": {}, "height": {}, "cx": {}, "cy": {}, "r": {}, "rx": {}, "ry": {},
	// Shorthands for several others; see [State.set].
	"marker": {}, "font": {},
	"font-family":          textIn(func(s *Style) *string { return &s.FontFamily }),
	"font-weight":          {attribute: true, set: setWeight, copy: func(s, from *Style) { s.Bold = from.Bold }},
	"font-style":           {attribute: true, set: func(s *Style, v string, _ *Style) { s.Italic = !strings.EqualFold(v, "normal") }, copy: func(s, from *Style) { s.Italic = from.Italic }},
	"text-anchor":          wordIn(func(s *Style) *string { return &s.TextAnchor }),
	"white-space":          wordIn(func(s *Style) *string { return &s.WhiteSpace }),
	"letter-spacing":       spacingIn(func(s *Style) *Length { return &s.LetterSpacing }),
	"word-spacing":         spacingIn(func(s *Style) *Length { return &s.WordSpacing }),
	"writing-mode":         wordIn(func(s *Style) *string { return &s.WritingMode }),
	"direction":            wordIn(func(s *Style) *string { return &s.Direction }),
	"baseline-shift":       textIn(func(s *Style) *string { return &s.Own.BaselineShift }),
	"dominant-baseline":    wordIn(func(s *Style) *string { return &s.DominantBaseline }),
	"text-decoration":      textIn(func(s *Style) *string { return &s.Own.TextDecoration }),
	"text-decoration-line": textIn(func(s *Style) *string { return &s.Own.TextDecoration }),
}

func paintIn(field func(*Style) *Paint) property {
	return property{
		attribute: true,
		valid:     func(v string) bool { _, ok := parsePaint(v); return ok },
		set:       func(s *Style, v string, _ *Style) { *field(s), _ = parsePaint(v) },
		copy:      func(s, from *Style) { *field(s) = *field(from) },
	}
}

// lengthIn resolves font-relative units where the length is set. A percentage
// is resolved later, by the viewport in which it is used.
func lengthIn(field func(*Style) *Length, positive bool) property {
	return property{
		attribute: true,
		valid: func(v string) bool {
			l, ok := ParseLength(v)
			return ok && !(positive && l.IsNegative())
		},
		set: func(s *Style, v string, _ *Style) {
			l, _ := ParseLength(v)
			switch {
			case l.percent != 0:
				l = Length{Value: l.Value + l.em*s.FontSize, percent: l.percent}
			case l.Unit != "%":
				l = Length{Value: l.In(0, s.FontSize)}
			}
			*field(s) = l
		},
		copy: func(s, from *Style) { *field(s) = *field(from) },
	}
}

func alphaIn(field func(*Style) *float64) property {
	return property{
		attribute: true,
		valid:     func(v string) bool { _, ok := parseAlpha(v); return ok },
		set:       func(s *Style, v string, _ *Style) { *field(s), _ = parseAlpha(v) },
		copy:      func(s, from *Style) { *field(s) = *field(from) },
	}
}

// choiceIn is for a property with few values, each a word.
func choiceIn[T any](words map[string]T, field func(*Style) *T) property {
	return property{
		attribute: true,
		valid:     func(v string) bool { _, ok := words[strings.ToLower(v)]; return ok },
		set:       func(s *Style, v string, _ *Style) { *field(s) = words[strings.ToLower(v)] },
		copy:      func(s, from *Style) { *field(s) = *field(from) },
	}
}

func textIn(field func(*Style) *string) property {
	return property{
		attribute: true,
		set:       func(s *Style, v string, _ *Style) { *field(s) = v },
		copy:      func(s, from *Style) { *field(s) = *field(from) },
	}
}

// wordIn is textIn for keywords, whose case does not matter.
func wordIn(field func(*Style) *string) property {
	p := textIn(field)
	p.set = func(s *Style, v string, _ *Style) { *field(s) = strings.ToLower(v) }
	return p
}

// spacingIn is lengthIn for the spacing of text, where "normal" is zero.
func spacingIn(field func(*Style) *Length) property {
	p := lengthIn(field, false)
	valid, set := p.valid, p.set
	p.valid = func(v string) bool { return strings.EqualFold(v, "normal") || valid(v) }
	p.set = func(s *Style, v string, parent *Style) {
		if strings.EqualFold(v, "normal") {
			v = "0"
		}
		set(s, v, parent)
	}
	return p
}

// setWeight decides whether a weight is bold (CSS Fonts 4, 2.2: from 600 on).
func setWeight(s *Style, v string, parent *Style) {
	switch v = strings.ToLower(v); v {
	case "bold", "bolder":
		s.Bold = true
	case "normal", "lighter":
		s.Bold = false
	default:
		if n, ok := ParseLength(v); ok {
			s.Bold = n.Value >= 600
		}
	}
}

// fontSizes are the usual absolute sizes in px (CSS Fonts 4, 2.5).
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
	if l, ok := ParseLength(word); ok && l.Value >= 0 {
		return l.In(parent, parent)
	}
	return parent
}
