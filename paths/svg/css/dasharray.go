package css

import "strings"

// IsDashed reports whether a value of stroke-dasharray makes dashes.
func IsDashed(value string) bool { return len(DashList(value)) > 0 }

// DashList returns the lengths of dashes and gaps in turn, an even number of
// them; none for a solid line, which any error gives as well (SVG 2, Painting,
// stroke-dasharray).
func DashList(value string) []Length {
	if value == "none" {
		return nil
	}
	var list []Length
	some := false
	depth := 0
	for _, f := range strings.FieldsFunc(value, func(c rune) bool {
		depth += strings.Count("(", string(c)) - strings.Count(")", string(c))
		return depth == 0 && strings.ContainsRune(", \t\r\n\f", c)
	}) {
		l, ok := ParseLength(f)
		if !ok || l.IsNegative() {
			return nil
		}
		some = some || l.Value > 0 || l.percent > 0 || l.em > 0
		list = append(list, l)
	}
	if !some {
		return nil
	}
	if len(list)%2 == 1 {
		list = append(list, list...)
	}
	return list
}
