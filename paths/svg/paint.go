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
	text     string // the colour as written
	clear    bool   // nothing of it is seen
	server   string // the id of a gradient or pattern of the file
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
		clear, ok := parseColour(value)
		return paint{kind: colourPaint, text: value, clear: clear}, ok
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
// one, and is it wholly clear.
func parseColour(value string) (clear, ok bool) {
	lower := strings.ToLower(strings.TrimSpace(value))
	if lower == "transparent" {
		return true, true
	}
	if lower == "currentcolor" {
		return false, true
	}
	if _, named := colornames.Map[lower]; named {
		return false, true
	}
	if hex, is := strings.CutPrefix(lower, "#"); is {
		hex, _, _ = strings.Cut(hex, " ") // an ICC colour may follow
		for i := range len(hex) {
			if hexValue(hex[i]) < 0 {
				return false, false
			}
		}
		switch len(hex) {
		case 3, 6:
			return false, true
		case 4:
			return hex[3] == '0', true
		case 8:
			return hex[6:] == "00", true
		}
		return false, false
	}
	return colourFunction(lower)
}

var colourFunctions = map[string]bool{
	"rgb": true, "rgba": true, "hsl": true, "hsla": true, "hwb": true, "lab": true, "lch": true,
	"oklab": true, "oklch": true, "color": true, "device-cmyk": true,
}

// colourFunction reads rgb(...) and its kind.
func colourFunction(lower string) (clear, ok bool) {
	name, args, found := strings.Cut(lower, "(")
	end := strings.IndexByte(args, ')')
	if !found || end < 0 || !colourFunctions[name] {
		return false, false
	}
	parts := strings.FieldsFunc(args[:end], func(c rune) bool { return strings.ContainsRune(" ,/\t\r\n\f", c) })
	if len(parts) < 3 {
		return false, false
	}
	if name == "device-cmyk" || name == "color" || len(parts) < 4 {
		return false, true
	}
	a, ok := parseAlpha(parts[3])
	return a == 0, ok
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

// seen returns the colour of a paint and whether it leaves anything to be seen.
// server is the gradient or pattern when it is one that the file holds.
func (r *reader) seen(p paint, s *style) (colour string, server *node, ok bool) {
	switch p.kind {
	case colourPaint:
		return p.text, nil, !p.clear
	case currentPaint:
		clear, _ := parseColour(s.colour)
		return s.colour, nil, !clear
	case serverPaint:
		if n := r.byID[p.server]; n != nil && paintServers[n.name] {
			return p.text, n, true
		}
		if p.fallback != nil {
			return r.seen(*p.fallback, s)
		}
	}
	return "", nil, false
}

var paintServers = map[string]bool{
	"linearGradient": true, "radialGradient": true, "pattern": true, "meshgradient": true, "meshGradient": true,
	"hatch": true, "solidcolor": true, "solidColor": true,
}
