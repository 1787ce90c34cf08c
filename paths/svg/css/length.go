package css

import (
	"strings"

	"weftplot/paths/svg/lex"
)

// Length is a number with its unit as written: "", "%" or letters. The result
// of calc() is a number of px plus a percentage plus a multiple of the font
// size.
type Length struct {
	Value       float64 // in Unit
	Unit        string  // in lower case
	percent, em float64
}

// px is how many px, user units of the outermost picture, are in one unit (CSS
// Values and Units 3, 5.2: the inch is 96 px).
var px = map[string]float64{
	"": 1, "px": 1, "in": 96, "cm": 96 / 2.54, "mm": 96 / 25.4, "q": 96 / 101.6, "pt": 96. / 72, "pc": 16,
}

var relativeUnits = map[string]bool{"%": true, "em": true, "ex": true, "ch": true, "rem": true}

// ParseLength reads a number with an optional unit, a percentage, or a sum by
// calc(). ok is false for anything else.
func ParseLength(text string) (l Length, ok bool) {
	text = strings.TrimSpace(text)
	if isCalc(text) {
		return parseCalc(text)
	}
	s := lex.Scanner{Text: text}
	v, ok := s.Number()
	if !ok || !lex.Finite(v) {
		return Length{}, false
	}
	unit := strings.ToLower(s.Text[s.At:])
	if _, absolute := px[unit]; !absolute && !relativeUnits[unit] {
		return Length{}, false
	}
	return Length{Value: v, Unit: unit}, true
}

// IsRelative reports whether l depends on a font size or on what 100% means.
func (l Length) IsRelative() bool {
	return relativeUnits[l.Unit] || l.percent != 0 || l.em != 0
}

// IsNegative reports whether l is below zero for every size that it may refer to.
func (l Length) IsNegative() bool { return l.Value < 0 && l.percent == 0 && l.em == 0 }

// In returns the length in user units, where whole is what 100% means and em
// the font size.
func (l Length) In(whole, em float64) float64 {
	if l.percent != 0 || l.em != 0 {
		return l.Value + l.percent/100*whole + l.em*em
	}
	switch l.Unit {
	case "%":
		return l.Value / 100 * whole
	case "em":
		return l.Value * em
	case "ex", "ch": // half an em where the font is not known (CSS Values 3, 5.1)
		return l.Value * em / 2
	case "rem":
		return l.Value * DefaultFontSize
	}
	return l.Value * px[l.Unit]
}

// DefaultFontSize is the size of medium text in px, common practice in browsers.
const DefaultFontSize = 16
