package css

import (
	"fmt"
	"math"
	"strings"

	"golang.org/x/image/colornames"

	"weftplot/paths/svg/lex"
)

// PaintKind is what a paint consists of.
type PaintKind int

// The kinds of paint.
const (
	NoPaint      PaintKind = iota // nothing
	ColourPaint                   // one colour
	CurrentPaint                  // the value of color where it is used
	ServerPaint                   // a gradient or a pattern
)

// Paint is a value of fill or stroke. The zero value paints nothing.
type Paint struct {
	Kind     PaintKind
	Text     string  // the colour or reference as written
	Alpha    float64 // of the colour: 0 is transparent, 1 opaque
	Server   string  // the id of a gradient or pattern of the file
	Fallback *Paint  // used where there is no such gradient; nil for none
}

// parsePaint reads a paint (SVG 2, Painting, specifying paint).
func parsePaint(value string) (Paint, bool) {
	value = strings.TrimSpace(value)
	lower := strings.ToLower(value)
	switch lower {
	case "none", "context-fill", "context-stroke":
		return Paint{}, true
	case "currentcolor":
		return Paint{Kind: CurrentPaint}, true
	}
	if !strings.HasPrefix(lower, "url(") {
		alpha, ok := ParseColour(value)
		return Paint{Kind: ColourPaint, Text: value, Alpha: alpha}, ok
	}
	id, rest, ok := URL(value)
	p := Paint{Kind: ServerPaint, Server: id, Text: value}
	if !ok {
		return Paint{}, false
	}
	if rest != "" {
		f, ok := parsePaint(rest)
		if !ok || f.Kind == ServerPaint {
			return Paint{}, false
		}
		p.Fallback = &f
	}
	return p, true
}

// ParseColour reports whether a value is a colour (CSS Color 4), and returns
// its alpha: 0 is transparent, 1 opaque.
func ParseColour(value string) (alpha float64, ok bool) {
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
			if lex.HexValue(hex[i]) < 0 {
				return 0, false
			}
		}
		switch len(hex) {
		case 3, 6:
			return 1, true
		case 4:
			return float64(lex.HexValue(hex[3])) / 15, true
		case 8:
			return float64(lex.HexValue(hex[6])<<4|lex.HexValue(hex[7])) / 255, true
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
	s := lex.Scanner{Text: strings.TrimSpace(value)}
	v, ok := s.Number()
	switch rest := s.Text[s.At:]; {
	case !ok || rest != "" && rest != "%":
		return 0, false
	case rest == "%":
		v /= 100
	}
	return min(1, max(0, v)), true
}

// Canonical returns #rrggbb for a colour by name, in hexadecimal or by rgb(), and
// any other value in lower case.
func Canonical(value string) string {
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
		l, ok := ParseLength(p)
		if !ok {
			return lower
		}
		if l.Unit == "%" {
			l.Value *= 2.55
		}
		out += fmt.Sprintf("%02x", int(math.Round(min(255, max(0, l.Value)))))
	}
	return out
}

// Luminance returns how light a colour is as [Canonical] returns it, from 0, black, to 1,
// white, with the weights that masks have (CSS Masking 1, 7.10.1). ok is false for a
// colour that is not written as red, green and blue.
func Luminance(canonical string) (light float64, ok bool) {
	if len(canonical) != 7 || canonical[0] != '#' {
		return 0, false
	}
	for i, weight := range []float64{0.2125, 0.7154, 0.0721} {
		hi, lo := lex.HexValue(canonical[1+2*i]), lex.HexValue(canonical[2+2*i])
		if hi < 0 || lo < 0 {
			return 0, false
		}
		light += weight * float64(hi<<4|lo) / 255
	}
	return light, true
}
