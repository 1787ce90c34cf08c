package paths

import (
	"fmt"
	"strings"
)

// A System is one of the two systems in which people say lengths.
type System int

// The systems. Inches are the zero value, and hold where nothing is said.
const (
	Inches System = iota
	Metric
)

// SystemOf returns the system of the first length in a text such as "61cm", "24in" or
// "60inx5yd". ok is false where the text has no unit of either system, such as "216rows".
func SystemOf(text string) (system System, ok bool) {
	unit := strings.TrimLeft(text, "+-.,/0123456789 ")
	if end := strings.IndexFunc(unit, isAfterUnit); end >= 0 {
		unit = unit[:end]
	}
	if _, known := lengthUnits[unit]; !known {
		return Inches, false
	}
	if unit == "mm" || unit == "cm" || unit == "m" {
		return Metric, true
	}
	return Inches, true
}

// isAfterUnit reports whether a rune ends the unit of a length that more follows.
func isAfterUnit(r rune) bool { return strings.ContainsRune("x, +-.0123456789", r) }

// In returns the length in both systems, s first: "24-1/2 in (62.2 cm)" or
// "62.2 cm (24-1/2 in)". Below two inches, where an eighth is coarse, it is written with
// decimals and in mm: "0.46 in (11.8 mm)".
func (l Length) In(s System) string {
	inches, metric := l.Eighths()+" in", fmt.Sprintf("%.1f cm", float64(l)/10)
	if l > -2*MMPerInch && l < 2*MMPerInch {
		inches, metric = fmt.Sprintf("%.2f in", float64(l)/MMPerInch), fmt.Sprintf("%.1f mm", float64(l))
	}
	if s == Metric {
		inches, metric = metric, inches
	}
	return inches + " (" + metric + ")"
}

// Sides returns a width and a height in both systems, s first:
// "24 x 32-3/4 in (61.0 x 83.2 cm)".
func Sides(width, height Length, s System) string {
	first := fmt.Sprintf("%s x %s in", width.Eighths(), height.Eighths())
	second := fmt.Sprintf("%.1f x %.1f cm", float64(width)/10, float64(height)/10)
	if s == Metric {
		first, second = second, first
	}
	return first + " (" + second + ")"
}
