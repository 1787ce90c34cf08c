// Package figures writes numbers as reports, pictures and people want them: lengths
// rounded for JSON, sizes in inches and centimetres, times, and counts with their
// nouns. Its functions are pure.
package figures

import (
	"fmt"
	"math"
	"strconv"

	"weftplot/paths"
	"weftplot/paths/weave"
)

// Round keeps four decimals: a tenth of a micrometre, or of a millisecond.
func Round(v float64) float64 { return math.Round(v*1e4) / 1e4 }

// Bounds returns the corners of r, rounded, as x0, y0, x1, y1 in mm; nil when r is
// empty.
func Bounds(r paths.Rect) *[4]float64 {
	if r.IsEmpty() {
		return nil
	}
	return &[4]float64{Round(r.Min.X), Round(r.Min.Y), Round(r.Max.X), Round(r.Max.Y)}
}

// Minutes writes a time in s as a person says it: "45 s", "12 min", "1 h 5 min".
func Minutes(s float64) string {
	m := int(math.Round(s / 60))
	switch {
	case s < 90:
		return fmt.Sprintf("%.0f s", s)
	case m < 60:
		return fmt.Sprintf("%d min", m)
	}
	return fmt.Sprintf("%d h %d min", m/60, m%60)
}

// InchesAndCM writes a size in mm as inches and cm.
func InchesAndCM(w, h float64) string {
	return fmt.Sprintf("%s x %s in (%.1f x %.1f cm)", paths.Length(w).Eighths(), paths.Length(h).Eighths(), w/10, h/10)
}

// Inches writes a length in mm in inches to the hundredth: "35.3in".
func Inches(mm float64) string {
	return strconv.FormatFloat(math.Round(mm/paths.MMPerInch*100)/100, 'f', -1, 64) + "in"
}

// Channels writes a number of channels without needless decimals.
func Channels(n float64) string {
	if math.Abs(n-math.Round(n)) < 0.005 {
		return fmt.Sprintf("%.0f", n)
	}
	return fmt.Sprintf("%.1f", n)
}

// Count writes a number of things: "1 stroke", "3 strokes".
func Count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// Way names the direction in which spacings along an axis follow one another.
func Way(a weave.Axis) string {
	if a == weave.Across {
		return "across the rug"
	}
	return "up the rug"
}
