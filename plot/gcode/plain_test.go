package gcode

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// A number is the float64 that the standard library reads out of its characters without
// the blanks, whichever way it is read.
func TestNumbersAreTheNearest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[-+]?[0-9]{0,9} ?[0-9]{0,9}\.?[0-9]{0,12}`).Draw(t, "number")
		rest := rapid.SampledFrom([]string{"", "Y1", ".5", "-3", " X", "\t"}).Draw(t, "rest")
		v, n, err := number(text + rest)
		whole := text + rest[:max(0, n-len(text))]
		if err == nil {
			whole = (text + rest)[:n]
		}
		want, wrong := strconv.ParseFloat(strings.NewReplacer(" ", "", "\t", "").Replace(whole), 64)
		if refused := wrong != nil || math.Abs(want) > maxValue; refused != (err != nil) {
			t.Fatalf("%q: error %v, and %v by the standard library", whole, err, wrong)
		} else if err == nil && math.Float64bits(v) != math.Float64bits(want) {
			t.Errorf("%q is read as %v, and is %v", whole, v, want)
		}
	})
}

// A line says what it does once it is squeezed.
func TestSaysIsSqueezed(t *testing.T) {
	line := rapid.StringOfN(rapid.SampledFrom([]rune("nNgGm0015. \t\vxZ-é\u00a0")), 0, 12, -1)
	rapid.Check(t, func(t *rapid.T) {
		a := line.Draw(t, "line")
		want := squeeze(a)
		if rapid.Bool().Draw(t, "another") {
			want = squeeze(line.Draw(t, "wanted"))
		}
		if got := says(a, want); got != (squeeze(a) == want) {
			t.Errorf("says(%q, %q) = %v, and squeezed it is %q", a, want, got, squeeze(a))
		}
	})
}

// A number is written as the standard library writes it with so many decimals, without the
// zeros at its end, and bare without the one before its point.
func TestDecimalsAreTheLibrarys(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, places := rapid.Int64Range(-2_000_000, 2_000_000).Draw(t, "n"), rapid.IntRange(0, 5).Draw(t, "places")
		want := strconv.FormatFloat(float64(n)/math.Pow10(places), 'f', -1, 64)
		if got := decimal(n, places); got != want {
			t.Errorf("decimal(%d, %d) = %q, want %q", n, places, got, want)
		}
		bare := strings.Replace(strings.Replace(want, "-0.", "-.", 1), "0.", ".", 1)
		if !strings.HasPrefix(want, "0.") && !strings.HasPrefix(want, "-0.") {
			bare = want
		}
		if got := string(appendDecimal([]byte("X"), n, places, true)); got != "X"+bare {
			t.Errorf("%d by %d places is %q bare, want %q", n, places, got, "X"+bare)
		}
	})
}
