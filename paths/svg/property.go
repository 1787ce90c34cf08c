package svg

import "strings"

// property is one property that decides about line work: how its value is
// judged and put into a style. The set is closed; what is not in it is of no
// use to a pen.
type property struct {
	// attribute says that an attribute of the same name may stand for it (SVG 2,
	// Styling, presentation attributes).
	attribute bool
	// valid judges a value; nil accepts all.
	valid func(value string) bool
	// set puts a value into s, under the style of the parent; copy takes that of
	// another style. Both are nil for properties that are looked up by name
	// where they are used.
	set  func(s *style, value string, parent *style)
	copy func(s, from *style)
}

var properties = map[string]property{
	"fill":              paintIn(func(s *style) *paint { return &s.fill }),
	"stroke":            paintIn(func(s *style) *paint { return &s.stroke }),
	"stroke-width":      lengthIn(func(s *style) *length { return &s.width }, true),
	"stroke-dashoffset": lengthIn(func(s *style) *length { return &s.dashOffset }, false),
	"fill-opacity":      alphaIn(func(s *style) *float64 { return &s.fillOpacity }),
	"stroke-opacity":    alphaIn(func(s *style) *float64 { return &s.lineOpacity }),
	"opacity":           alphaIn(func(s *style) *float64 { return &s.own.opacity }),
	"stroke-dasharray":  textIn(func(s *style) *string { return &s.dashes }),
	"display":           wordIn(func(s *style) *string { return &s.own.display }),
	"visibility":        wordIn(func(s *style) *string { return &s.visibility }),
	"overflow":          wordIn(func(s *style) *string { return &s.own.overflow }),
	"vector-effect":     wordIn(func(s *style) *string { return &s.own.vectorEffect }),
	"clip-path":         textIn(func(s *style) *string { return &s.own.clipPath }),
	"clip-rule":         wordIn(func(s *style) *string { return &s.clipRule }),
	"fill-rule":         wordIn(func(s *style) *string { return &s.fillRule }),
	"mask":              textIn(func(s *style) *string { return &s.own.mask }),
	"filter":            textIn(func(s *style) *string { return &s.own.filter }),
	"marker-start":      textIn(func(s *style) *string { return &s.markers[0] }),
	"marker-mid":        textIn(func(s *style) *string { return &s.markers[1] }),
	"marker-end":        textIn(func(s *style) *string { return &s.markers[2] }),
	"color": {
		attribute: true,
		valid:     func(v string) bool { _, ok := parseColour(v); return ok },
		set: func(s *style, v string, _ *style) {
			if !strings.EqualFold(v, "currentColor") {
				s.colour = v
			}
		},
		copy: func(s, from *style) { s.colour = from.colour },
	},
	"font-size": {
		attribute: true,
		set:       func(s *style, v string, parent *style) { s.em = fontSize(strings.ToLower(v), parent.em) },
		copy:      func(s, from *style) { s.em = from.em },
	},
	// Looked up where they are used; the attributes are asked there as well.
	"d":                {valid: func(v string) bool { _, ok := pathFunction(v); return ok || v == "none" }},
	"transform-origin": {attribute: true},
	"transform":        {}, "x": {}, "y": {}, "width": {}, "height": {}, "cx": {}, "cy": {}, "r": {}, "rx": {}, "ry": {},
	// Stand for several others; see [node.set].
	"marker": {}, "font": {},
	"font-family":          textIn(func(s *style) *string { return &s.fontFamily }),
	"font-weight":          {attribute: true, set: setWeight, copy: func(s, from *style) { s.bold = from.bold }},
	"font-style":           {attribute: true, set: func(s *style, v string, _ *style) { s.italic = !strings.EqualFold(v, "normal") }, copy: func(s, from *style) { s.italic = from.italic }},
	"text-anchor":          wordIn(func(s *style) *string { return &s.anchor }),
	"white-space":          wordIn(func(s *style) *string { return &s.whiteSpace }),
	"letter-spacing":       spacingIn(func(s *style) *length { return &s.letterSpacing }),
	"word-spacing":         spacingIn(func(s *style) *length { return &s.wordSpacing }),
	"writing-mode":         wordIn(func(s *style) *string { return &s.writingMode }),
	"direction":            wordIn(func(s *style) *string { return &s.direction }),
	"baseline-shift":       textIn(func(s *style) *string { return &s.own.baselineShift }),
	"dominant-baseline":    wordIn(func(s *style) *string { return &s.baseline }),
	"text-decoration":      textIn(func(s *style) *string { return &s.own.decoration }),
	"text-decoration-line": textIn(func(s *style) *string { return &s.own.decoration }),
}

func paintIn(field func(*style) *paint) property {
	return property{
		attribute: true,
		valid:     func(v string) bool { _, ok := parsePaint(v); return ok },
		set:       func(s *style, v string, _ *style) { *field(s), _ = parsePaint(v) },
		copy:      func(s, from *style) { *field(s) = *field(from) },
	}
}

// lengthIn settles font-relative units where the length is set, while a
// percentage waits for the viewport of its use.
func lengthIn(field func(*style) *length, positive bool) property {
	return property{
		attribute: true,
		valid: func(v string) bool {
			l, ok := parseLength(v)
			return ok && !(positive && l.negative())
		},
		set: func(s *style, v string, _ *style) {
			l, _ := parseLength(v)
			switch {
			case l.percent != 0:
				l = length{v: l.v + l.em*s.em, percent: l.percent}
			case l.unit != "%":
				l = length{v: l.in(0, s.em)}
			}
			*field(s) = l
		},
		copy: func(s, from *style) { *field(s) = *field(from) },
	}
}

func alphaIn(field func(*style) *float64) property {
	return property{
		attribute: true,
		valid:     func(v string) bool { _, ok := parseAlpha(v); return ok },
		set:       func(s *style, v string, _ *style) { *field(s), _ = parseAlpha(v) },
		copy:      func(s, from *style) { *field(s) = *field(from) },
	}
}

func textIn(field func(*style) *string) property {
	return property{
		attribute: true,
		set:       func(s *style, v string, _ *style) { *field(s) = v },
		copy:      func(s, from *style) { *field(s) = *field(from) },
	}
}

// wordIn is textIn for keywords, whose case does not matter.
func wordIn(field func(*style) *string) property {
	p := textIn(field)
	p.set = func(s *style, v string, _ *style) { *field(s) = strings.ToLower(v) }
	return p
}

// spacingIn is lengthIn for the spaces of text, where "normal" is none.
func spacingIn(field func(*style) *length) property {
	p := lengthIn(field, false)
	valid, set := p.valid, p.set
	p.valid = func(v string) bool { return strings.EqualFold(v, "normal") || valid(v) }
	p.set = func(s *style, v string, parent *style) {
		if strings.EqualFold(v, "normal") {
			v = "0"
		}
		set(s, v, parent)
	}
	return p
}

// setWeight tells bold from not (CSS Fonts 4, 2.2: from 600 on).
func setWeight(s *style, v string, parent *style) {
	switch v = strings.ToLower(v); v {
	case "bold", "bolder":
		s.bold = true
	case "normal", "lighter":
		s.bold = false
	default:
		if n, ok := parseLength(v); ok {
			s.bold = n.v >= 600
		}
	}
}

// fontSizes are the absolute sizes as programs agree on them, in px (CSS Fonts
// 4, 2.5).
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
