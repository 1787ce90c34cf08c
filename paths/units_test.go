package paths

import (
	"errors"
	"math"
	"strings"
	"testing"
	"weftplot/paths/fault"

	"pgregory.net/rapid"
)

func TestParseLength(t *testing.T) {
	for in, want := range map[string]float64{
		"24in": 609.6, "24.5in": 622.3, "24-1/2in": 622.3, "2ft": 609.6, "61cm": 610,
		"610mm": 610, "1/2in": 12.7, " 3 mm ": 3, "-5mm": -5, "0mm": 0, "1m": 1000, ".5cm": 5,
		"-1-1/2in": -38.1, "24 1/2in": 622.3,
		`24"`: 609.6, `24 "`: 609.6, "24 in": 609.6, "24inch": 609.6, "24 inches": 609.6, `24 1/2"`: 622.3, `24-1/2"`: 622.3,
		"60 cm": 600, "2'": 609.6, "2 feet": 609.6, "1foot": 304.8, "24″": 609.6, "2′": 609.6, "24''": 609.6,
	} {
		got, err := ParseLength(in)
		if err != nil || math.Abs(float64(got)-want) > 1e-12*max(1, want) {
			t.Errorf("ParseLength(%q) = %v, %v, want %v", in, got, err, want)
		}
	}
	for _, in := range []string{"", "24", "in", "NaNmm", "infmm", "Infmm", "1e3mm", "0x10mm", "24 1 /2in", "24 25in", "24  1/2 /3in", `24"in`, "24rows", "1/0in", "24-3/2in", "1--2mm", "24px", "99999999999mm", "½in"} {
		if got, err := ParseLength(in); err == nil {
			t.Errorf("ParseLength(%q) = %v, want an error", in, got)
		}
	}
	_, err := ParseLength("24")
	var f *fault.Error
	if !errors.As(err, &f) || f.Kind != fault.Input || !strings.Contains(f.What, "no unit") {
		t.Fatalf("a bare number: %v", err)
	}
	for _, way := range []string{"24-1/2in", "61cm", "610mm"} {
		if !strings.Contains(f.Do, way) {
			t.Errorf("the advice %q does not show %s", f.Do, way)
		}
	}
}

func TestParseRugLength(t *testing.T) {
	for in, want := range map[string]float64{"216rows": 432, "216 rows": 432, "1row": 2, "24in": 609.6, `24"`: 609.6, "0rows": 0} {
		if got, err := ParseRugLength(in, 2); err != nil || math.Abs(float64(got)-want) > 1e-9 {
			t.Errorf("%q: %v, %v, want %v", in, got, err, want)
		}
	}
	for _, in := range []string{"rows", "2.5rows", "-3rows", "100001rows", "216", "1/2rows"} {
		if got, err := ParseRugLength(in, 2); err == nil {
			t.Errorf("%q: %v, want an error", in, got)
		}
	}
}

func TestParseCount(t *testing.T) {
	for _, c := range []struct {
		in            string
		across, along float64 // channels per inch
	}{
		{"12x12/in", 12, 12}, {"12.5x11.75/in", 12.5, 11.75},
		{"48x47/10cm", 48 * 0.254, 47 * 0.254}, {"5x5/cm", 12.7, 12.7}, {"48x52/4in", 12, 13},
	} {
		got, err := ParseCount(c.in)
		if err != nil || math.Abs(got.Across*MMPerInch-c.across) > 1e-9 || math.Abs(got.Along*MMPerInch-c.along) > 1e-9 {
			t.Errorf("ParseCount(%q) = %+v, %v", c.in, got, err)
		}
	}
	for _, in := range []string{"", "12", "12x12", "0x12/in", "-12x12/in", "12x12/", "12x12/0in", "12/in", "ax12/in", "1000x12/in", "NaNx12/in", "12x12x12/in"} {
		if got, err := ParseCount(in); err == nil {
			t.Errorf("ParseCount(%q) = %+v, want an error", in, got)
		}
	}
	// Pitches of the usual counts, to the figures commonly printed: 25.4/12 and
	// 25.4/13 mm.
	c, _ := ParseCount("12x13/in")
	if a, b := c.Pitch(); math.Abs(a-2.117) > 5e-4 || math.Abs(b-1.954) > 5e-4 {
		t.Errorf("pitch of 12x13/in = %g, %g mm", a, b)
	}
}

func TestSpeedsTimesAndAccelerations(t *testing.T) {
	for in, want := range map[string]Speed{"40mm/s": 40, "2400mm/min": 40, "1.5in/s": 38.1} {
		if got, err := ParseSpeed(in); err != nil || math.Abs(float64(got-want)) > 1e-12 {
			t.Errorf("ParseSpeed(%q) = %v, %v, want %v", in, got, err, want)
		}
	}
	if got, err := ParseAccel("800mm/s2"); err != nil || got != 800 {
		t.Errorf("ParseAccel = %v, %v", got, err)
	}
	if got, err := ParseDuration("250ms"); err != nil || got != 0.25 {
		t.Errorf("ParseDuration = %v, %v", got, err)
	}
	for _, in := range []string{"40", "40mm", "40/s", "mm/s", "40mm/h", "40mm/s2"} {
		if got, err := ParseSpeed(in); err == nil {
			t.Errorf("ParseSpeed(%q) = %v, want an error", in, got)
		}
	}
}

func TestUnitsReadBackToTheSameNumber(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Length(rapid.Float64Range(-1e6, 1e6).Draw(t, "length"))
		if got, err := ParseLength(l.String()); err != nil || got != l {
			t.Fatalf("%v -> %q -> %v, %v", float64(l), l, got, err)
		}
		n := func(name string) float64 { return rapid.Float64Range(2, 90).Draw(t, name) }
		c := Count{n("across") / MMPerInch, n("along") / MMPerInch}
		if got, err := ParseCount(c.String()); err != nil || got != c {
			t.Fatalf("%v -> %q -> %v, %v", c, c.String(), got, err)
		}
	})
	c, _ := ParseCount("48x47/10cm")
	if got := c.String(); got != "48x47/10cm" {
		t.Errorf("a count over 10 cm is written %s", got)
	}
}

func TestLengthInBothSystems(t *testing.T) {
	for l, want := range map[Length]string{
		622.3: "24-1/2 in (62.2 cm)", 609.6: "24 in (61.0 cm)", 12.7: "1/2 in (1.3 cm)",
		3.175: "1/8 in (0.3 cm)", 0: "0 in (0.0 cm)", 630.2: "24-3/4 in (63.0 cm)",
	} {
		if got := l.Both(); got != want {
			t.Errorf("%v.Both() = %q, want %q", float64(l), got, want)
		}
	}
}

func FuzzParseUnits(f *testing.F) {
	for _, s := range []string{"24-1/2in", "12x13/in", "48x47/10cm", "1.5in/s", "800mm/s2", "-", "/", "x", "1-1/0in"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if l, err := ParseLength(s); err == nil && !isFinite(float64(l)) {
			t.Errorf("ParseLength(%q) = %v", s, l)
		}
		if c, err := ParseCount(s); err == nil && !(c.Across > 0 && c.Along > 0 && c.Across < 10 && c.Along < 10) {
			t.Errorf("ParseCount(%q) = %v", s, c)
		}
		if v, err := ParseSpeed(s); err == nil && !isFinite(float64(v)) {
			t.Errorf("ParseSpeed(%q) = %v", s, v)
		}
	})
}
