package svg

import (
	"fmt"
	"math"
	"strings"

	"golang.org/x/image/colornames"
)

type paintKind int

const (
	noPaint paintKind = iota
	colourPaint
	currentPaint // the value of color where it is used
	serverPaint  // a gradient or a pattern
)

// paint is a value of fill or stroke. The zero value paints nothing.
type paint struct {
	kind     paintKind
	text     string  // the colour as written
	alpha    float64 // of the colour: 0 for nothing to be seen, 1 for nothing under it
	server   string  // the id of a gradient or pattern of the file
	fallback *paint
}

// parsePaint reads a paint (SVG 2, Painting, specifying paint).
func parsePaint(value string) (paint, bool) {
	value = strings.TrimSpace(value)
	lower := strings.ToLower(value)
	switch lower {
	case "none", "context-fill", "context-stroke":
		return paint{}, true
	case "currentcolor":
		return paint{kind: currentPaint}, true
	}
	if !strings.HasPrefix(lower, "url(") {
		alpha, ok := parseColour(value)
		return paint{kind: colourPaint, text: value, alpha: alpha}, ok
	}
	id, rest, ok := urlID(value)
	p := paint{kind: serverPaint, server: id, text: value}
	if !ok {
		return paint{}, false
	}
	if rest != "" {
		f, ok := parsePaint(rest)
		if !ok || f.kind == serverPaint {
			return paint{}, false
		}
		p.fallback = &f
	}
	return p, true
}

// urlID takes url(#id) from the front of a value. The id is empty when the
// reference leads out of the file.
func urlID(value string) (id, rest string, ok bool) {
	end := strings.IndexByte(value, ')')
	if len(value) < 5 || !strings.EqualFold(value[:4], "url(") || end < 0 {
		return "", "", false
	}
	ref := strings.Trim(strings.TrimSpace(value[4:end]), `"'`)
	if name, local := strings.CutPrefix(strings.TrimSpace(ref), "#"); local {
		id = name
	}
	return id, strings.TrimSpace(value[end+1:]), true
}

// parseColour reads a colour (CSS Color 4) as far as line work wants it: is it
// one, and what lets it of things under it be seen: 0 is wholly clear, 1 hides
// all.
func parseColour(value string) (alpha float64, ok bool) {
	lower := strings.ToLower(strings.TrimSpace(value))
	if lower == "transparent" {
		return 0, true
	}
	if lower == "currentcolor" {
		return 1, true
	}
	if _, named := colornames.Map[lower]; named {
		return 1, true
	}
	if hex, is := strings.CutPrefix(lower, "#"); is {
		hex, _, _ = strings.Cut(hex, " ") // an ICC colour may follow
		for i := range len(hex) {
			if hexValue(hex[i]) < 0 {
				return 0, false
			}
		}
		switch len(hex) {
		case 3, 6:
			return 1, true
		case 4:
			return float64(hexValue(hex[3])) / 15, true
		case 8:
			return float64(hexValue(hex[6])<<4|hexValue(hex[7])) / 255, true
		}
		return 0, false
	}
	return colourFunction(lower)
}

var colourFunctions = map[string]bool{
	"rgb": true, "rgba": true, "hsl": true, "hsla": true, "hwb": true, "lab": true, "lch": true,
	"oklab": true, "oklch": true, "color": true, "device-cmyk": true,
}

// colourFunction reads rgb(...) and its kind.
func colourFunction(lower string) (alpha float64, ok bool) {
	name, args, found := strings.Cut(lower, "(")
	end := strings.IndexByte(args, ')')
	if !found || end < 0 || !colourFunctions[name] {
		return 0, false
	}
	parts := strings.FieldsFunc(args[:end], func(c rune) bool { return strings.ContainsRune(" ,/\t\r\n\f", c) })
	if len(parts) < 3 {
		return 0, false
	}
	if name == "device-cmyk" || name == "color" || len(parts) < 4 {
		return 1, true
	}
	return parseAlpha(parts[3])
}

// parseAlpha reads a number or a percentage, kept within 0 and 1.
func parseAlpha(value string) (float64, bool) {
	s := scan{s: strings.TrimSpace(value)}
	v, ok := s.number()
	switch rest := s.s[s.i:]; {
	case !ok || rest != "" && rest != "%":
		return 0, false
	case rest == "%":
		v /= 100
	}
	return min(1, max(0, v)), true
}

// canonical returns the same text for the same colour, however written, where
// it is one of the usual notations: #rrggbb.
func canonical(value string) string {
	lower := strings.ToLower(strings.TrimSpace(value))
	if c, named := colornames.Map[lower]; named {
		return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B)
	}
	if hex, is := strings.CutPrefix(lower, "#"); is {
		switch len(hex) {
		case 3, 4:
			return fmt.Sprintf("#%c%c%c%c%c%c", hex[0], hex[0], hex[1], hex[1], hex[2], hex[2])
		case 8:
			return lower[:7]
		}
		return lower
	}
	name, args, _ := strings.Cut(lower, "(")
	if name != "rgb" && name != "rgba" {
		return lower
	}
	parts := strings.FieldsFunc(args, func(c rune) bool { return strings.ContainsRune(" ,/)\t\r\n\f", c) })
	out := "#"
	for _, p := range parts[:min(3, len(parts))] {
		l, ok := parseLength(p)
		if !ok {
			return lower
		}
		if l.unit == "%" {
			l.v *= 2.55
		}
		out += fmt.Sprintf("%02x", int(math.Round(min(255, max(0, l.v)))))
	}
	return out
}

// shownPaint is a paint as it is seen.
type shownPaint struct {
	colour string
	server *node   // the gradient or pattern, when it is one that the file holds
	alpha  float64 // what of things under it it hides; for a gradient not known, 0.5
}

// seen returns how a paint shows, and whether it leaves anything to be seen.
func (r *reader) seen(p paint, s *style) (shownPaint, bool) {
	switch p.kind {
	case colourPaint:
		return shownPaint{colour: p.text, alpha: p.alpha}, p.alpha > 0
	case currentPaint:
		alpha, _ := parseColour(s.colour)
		return shownPaint{colour: s.colour, alpha: alpha}, alpha > 0
	case serverPaint:
		if n := r.byID[p.server]; n != nil && paintServers[n.name] {
			return shownPaint{colour: p.text, server: n, alpha: 0.5}, true
		}
		if p.fallback != nil {
			return r.seen(*p.fallback, s)
		}
	}
	return shownPaint{}, false
}

var paintServers = map[string]bool{
	"linearGradient": true, "radialGradient": true, "pattern": true, "meshgradient": true, "meshGradient": true,
	"hatch": true, "solidcolor": true, "solidColor": true,
}
