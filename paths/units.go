package paths

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"weftplot/paths/fault"
)

// MMPerInch is exact: the inch has been 25.4 mm since 1 July 1959 (addendum to
// NBS Circular 572, 1960).
const MMPerInch = 25.4

// A Length is in mm.
type Length float64

// A Speed is in mm/s.
type Speed float64

// An Accel is an acceleration in mm/s².
type Accel float64

// A Duration is in seconds.
type Duration float64

// A Count is the number of channels (rows of holes) per mm, across along x and
// along along y. The zero value means that none was given.
type Count struct{ Across, Along float64 }

// Pitch returns the distance between neighbouring channels in mm each way.
func (c Count) Pitch() (across, along float64) { return 1 / c.Across, 1 / c.Along }

// lengthUnits are mm by unit. The foot is 12 inches, so 304.8 mm exactly (NIST Special
// Publication 811, appendix B, lists both); the marks ″ and ′ and their typewriter
// forms stand for inch and foot.
var lengthUnits = map[string]float64{
	"mm": 1, "cm": 10, "m": 1000,
	"in": MMPerInch, "inch": MMPerInch, "inches": MMPerInch, `"`: MMPerInch, "″": MMPerInch, "”": MMPerInch, "''": MMPerInch,
	"ft": 12 * MMPerInch, "foot": 12 * MMPerInch, "feet": 12 * MMPerInch, "'": 12 * MMPerInch, "′": 12 * MMPerInch, "’": 12 * MMPerInch,
	"yd": 36 * MMPerInch,
}

const lengthHelp = `write a length with its unit, such as "24-1/2in", "61cm" or "610mm"`

// ParseLength reads a length that carries its unit: 24in, 24.5in, 24-1/2in,
// 1/2in, 2ft, 5yd, 61cm, 610mm; also as people write it: 24", 24 in, 24inch, 24 1/2". The
// error is a [fault.Error] that shows how to write one.
func ParseLength(s string) (Length, error) {
	num, unit := splitUnit(s)
	per, ok := lengthUnits[unit]
	if !ok {
		if unit == "" && num != "" {
			return 0, fault.Bad("", lengthHelp, "the length %q has no unit", s)
		}
		return 0, fault.Bad("", lengthHelp, "%q is not a length", s)
	}
	v, err := parseNumber(num)
	if err != nil {
		return 0, fault.Bad("", lengthHelp, "%q is not a length: %v", s, err)
	}
	return Length(v * per), nil
}

// ParseRugLength reads a length on the rug: what [ParseLength] reads, or rows of holes
// such as 216rows, which are pitch mm each.
func ParseRugLength(s string, pitch float64) (Length, error) {
	if rows, ok, err := ParseRows(s); ok {
		return Length(float64(rows) * pitch), err
	}
	return ParseLength(s)
}

// ParseRows reads rows of holes: 216rows, 1row, 216 rows. ok is false where s does not
// end in that word; the error, of a number that is no whole one from 0 to 100000, is a
// [fault.Error].
func ParseRows(s string) (rows int, ok bool, err error) {
	num, unit := splitUnit(s)
	if unit != "rows" && unit != "row" {
		return 0, false, nil
	}
	rows, err = strconv.Atoi(num)
	if err != nil || rows < 0 || rows > 1e5 {
		return 0, true, fault.Bad("", `give a whole number of rows of holes, such as "216rows"`, "%q is no number of rows", s)
	}
	return rows, true, nil
}

// splitUnit cuts s before the letters, or the mark of inch or foot, at its end.
func splitUnit(s string) (num, unit string) {
	s = strings.TrimSpace(s)
	num = strings.TrimRightFunc(s, func(r rune) bool {
		return r >= 'a' && r <= 'z' || strings.ContainsRune("\"'″′”’", r)
	})
	return strings.TrimSpace(num), s[len(num):]
}

// parseNumber reads a decimal, a fraction "1/2", or a whole and a fraction
// "24-1/2" or "24 1/2". Infinite and absurd values are refused.
func parseNumber(s string) (float64, error) {
	if w, f, ok := strings.Cut(s, " "); ok && strings.Contains(f, "/") {
		s = w + "-" + strings.TrimSpace(f)
	}
	whole, frac, mixed := 0.0, s, false
	if i := strings.LastIndexByte(s, '-'); i > 0 && strings.Contains(s[i:], "/") {
		w, err := plainNumber(s[:i])
		if err != nil {
			return 0, err
		}
		whole, frac, mixed = w, s[i+1:], true
	}
	num, den, isFrac := strings.Cut(frac, "/")
	n, err := plainNumber(num)
	if err != nil {
		return 0, err
	}
	if !isFrac {
		return n, nil
	}
	d, err := plainNumber(den)
	if err != nil {
		return 0, err
	}
	if d == 0 {
		return 0, fmt.Errorf("the fraction has nothing below its line")
	}
	if mixed && (n < 0 || d < 0 || n >= d) {
		return 0, fmt.Errorf("the fraction after the whole number must lie between 0 and 1")
	}
	if whole < 0 {
		return whole - n/d, nil
	}
	return whole + n/d, nil
}

// plainNumber reads digits with an optional sign and point; no exponent, no
// "inf", no hexadecimal.
func plainNumber(s string) (float64, error) {
	if s == "" {
		return 0, fmt.Errorf("a number is missing")
	}
	if strings.Trim(s, "+-.0123456789") != "" {
		return 0, fmt.Errorf("%q is not a number", s)
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.Abs(v) > 1e9 {
		return 0, fmt.Errorf("%q is not a number that can be used", s)
	}
	return v, nil
}

const countHelp = `count the rows of holes each way and write, such as "12x13/in" or "48x47/10cm"`

// ParseCount reads channels per length, across x along: 12x12/in,
// 12.5x11.75/in, 48x47/10cm, 5x5/cm. A count of zero, a negative one, and one
// beyond 1 to 100 channels an inch is refused with a [fault.Error].
func ParseCount(s string) (Count, error) {
	bad := func(why string) (Count, error) {
		return Count{}, fault.Bad("", countHelp, "%q is not a count of the weave: %s", s, why)
	}
	pair, per, ok := strings.Cut(strings.TrimSpace(s), "/")
	if !ok {
		return bad("it does not say over what length")
	}
	if per != "" && per[0] >= 'a' && per[0] <= 'z' {
		per = "1" + per
	}
	length, err := ParseLength(per)
	if err != nil || length <= 0 {
		return bad("what stands after the stroke is not a length")
	}
	a, b, ok := strings.Cut(pair, "x")
	if !ok {
		return bad("it takes two numbers, across x along")
	}
	na, errA := plainNumber(a)
	nb, errB := plainNumber(b)
	if errA != nil || errB != nil {
		return bad("it takes two numbers, across x along")
	}
	c := Count{na / float64(length), nb / float64(length)}
	for _, v := range []float64{c.Across, c.Along} {
		if perInch := v * MMPerInch; perInch < 1 || perInch > 100 {
			return bad(fmt.Sprintf("it comes to %.4g channels an inch; cloth has 1 to 100", perInch))
		}
	}
	return c, nil
}

// perSecond reads a length over a time unit such as "/s".
func perSecond(s string, times map[string]float64, what, help string) (float64, error) {
	num, unit, ok := strings.Cut(strings.TrimSpace(s), "/")
	per, known := times[unit]
	if !ok || !known {
		return 0, fault.Bad("", help, "%q is not %s", s, what)
	}
	l, err := ParseLength(num)
	if err != nil {
		return 0, fault.Bad("", help, "%q is not %s", s, what)
	}
	return float64(l) / per, nil
}

// ParseSpeed reads a speed: 40mm/s, 2400mm/min, 1.5in/s.
func ParseSpeed(s string) (Speed, error) {
	v, err := perSecond(s, map[string]float64{"s": 1, "min": 60}, "a speed",
		`write a speed such as "40mm/s", "2400mm/min" or "1.5in/s"`)
	return Speed(v), err
}

// ParseAccel reads an acceleration: 800mm/s2.
func ParseAccel(s string) (Accel, error) {
	v, err := perSecond(s, map[string]float64{"s2": 1}, "an acceleration",
		`write an acceleration such as "800mm/s2"`)
	return Accel(v), err
}

// ParseDuration reads a time in seconds or milliseconds: 0.2s, 250ms.
func ParseDuration(s string) (Duration, error) {
	num, unit := splitUnit(s)
	per, ok := map[string]float64{"s": 1, "ms": 0.001}[unit]
	v, err := plainNumber(num)
	if !ok || err != nil {
		return 0, fault.Bad("", `write a time such as "0.2s"`, "%q is not a time", s)
	}
	return Duration(v * per), nil
}

// UnmarshalText and MarshalText let TOML files hold quantities with units. What
// is written is read back to the same number.

// UnmarshalText reads what [ParseLength] reads.
func (l *Length) UnmarshalText(b []byte) (err error) { *l, err = ParseLength(string(b)); return }

// UnmarshalText reads what [ParseSpeed] reads.
func (v *Speed) UnmarshalText(b []byte) (err error) { *v, err = ParseSpeed(string(b)); return }

// UnmarshalText reads what [ParseAccel] reads.
func (a *Accel) UnmarshalText(b []byte) (err error) { *a, err = ParseAccel(string(b)); return }

// UnmarshalText reads what [ParseDuration] reads.
func (d *Duration) UnmarshalText(b []byte) (err error) { *d, err = ParseDuration(string(b)); return }

// UnmarshalText reads what [ParseCount] reads.
func (c *Count) UnmarshalText(b []byte) (err error) { *c, err = ParseCount(string(b)); return }

// MarshalText writes what String returns.
func (l Length) MarshalText() ([]byte, error) { return []byte(l.String()), nil }

// MarshalText writes what String returns.
func (v Speed) MarshalText() ([]byte, error) { return []byte(v.String()), nil }

// MarshalText writes what String returns.
func (a Accel) MarshalText() ([]byte, error) { return []byte(a.String()), nil }

// MarshalText writes what String returns.
func (d Duration) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// MarshalText writes what String returns.
func (c Count) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

func shortest(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// String returns the length in mm with all its digits: "622.3mm".
func (l Length) String() string { return shortest(float64(l)) + "mm" }

// String returns the speed as "40mm/s".
func (v Speed) String() string { return shortest(float64(v)) + "mm/s" }

// String returns the acceleration as "800mm/s2".
func (a Accel) String() string { return shortest(float64(a)) + "mm/s2" }

// String returns the time as "0.2s".
func (d Duration) String() string { return shortest(float64(d)) + "s" }

// String returns the count over an inch, 10 cm or 1 mm, whichever reads back to
// the same number with the fewest digits: "12x13/in".
func (c Count) String() string {
	best := ""
	for _, per := range []struct {
		mm   float64
		name string
	}{{MMPerInch, "/in"}, {100, "/10cm"}, {1, "/mm"}} {
		s := countDigits(c.Across, per.mm) + "x" + countDigits(c.Along, per.mm) + per.name
		if back, err := ParseCount(s); err == nil && back == c && (best == "" || len(s) < len(best)) {
			best = s
		}
	}
	if best == "" { // no count that ParseCount would take
		return fmt.Sprintf("%gx%g/mm", c.Across, c.Along)
	}
	return best
}

// countDigits returns the shortest decimal that, divided by mm, gives v.
func countDigits(v, mm float64) string {
	for digits := 0; digits < 17; digits++ {
		s := strconv.FormatFloat(v*mm, 'f', digits, 64)
		if back, err := strconv.ParseFloat(s, 64); err == nil && back/mm == v {
			return s
		}
	}
	return shortest(v * mm)
}

// Both returns the length in the two systems people work in: "24-1/2 in
// (62.2 cm)", the inches to the nearest eighth.
func (l Length) Both() string {
	return fmt.Sprintf("%s in (%.1f cm)", l.Eighths(), float64(l)/10)
}

// Eighths returns the length in inches to the nearest eighth: "24-1/2".
func (l Length) Eighths() string {
	e := int(math.Round(float64(l) / MMPerInch * 8))
	sign := ""
	if e < 0 {
		sign, e = "-", -e
	}
	whole, num, den := e/8, e%8, 8
	for num != 0 && num%2 == 0 {
		num, den = num/2, den/2
	}
	switch {
	case num == 0:
		return sign + strconv.Itoa(whole)
	case whole == 0:
		return fmt.Sprintf("%s%d/%d", sign, num, den)
	}
	return fmt.Sprintf("%s%d-%d/%d", sign, whole, num, den)
}
