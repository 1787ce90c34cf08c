package gcode

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/plot/program"
	"weftplot/plot/program/programtest"
)

var wordForm = regexp.MustCompile(`([A-Z])([-+]?[0-9]*\.?[0-9]+)`)

// judge holds a program to NISTIR 6556 with a small interpreter of its own, and
// returns what is wrong first, "" if nothing is: lines of at most 80 characters
// made of words (3.3); no letter twice but G and M (3.3.5); one command of a
// modal group a line (table 4); a feed before the first feed move; an arc with X
// or Y, with I or J, and with two radii that differ by 0.002 mm at most (3.5.3);
// the end said (M2, 3.6.1). Besides: no move without length, and no motion word
// said again while it is in force.
func judge(text string) string {
	var at, to [2]float64
	motion, feed, known, ended := -1, 0.0, false, false
	for n, line := range strings.Split(strings.TrimSuffix(text, "\n"), "\n") {
		wrong := func(format string, args ...any) string {
			return fmt.Sprintf("line %d, %q: ", n+1, line) + fmt.Sprintf(format, args...)
		}
		if len(line) > 80 || ended {
			return wrong("too long, or after the end")
		}
		if strings.HasPrefix(line, "(") && strings.HasSuffix(line, ")") {
			continue
		}
		squeezed := strings.ReplaceAll(line, " ", "")
		if wordForm.ReplaceAllString(squeezed, "") != "" {
			return wrong("not made of words")
		}
		value, said, z := map[string]float64{}, -1, false
		for _, w := range wordForm.FindAllStringSubmatch(squeezed, -1) {
			v, _ := strconv.ParseFloat(w[2], 64)
			_, twice := value[w[1]]
			switch {
			case w[1] == "G" && v <= 3:
				if said >= 0 {
					return wrong("two motions")
				}
				said = int(v)
			case w[1] == "M" && v == 2:
				ended = true
			case w[1] == "G" || w[1] == "M":
			case twice:
				return wrong("%s twice", w[1])
			default:
				value[w[1]] = v
				z = z || w[1] == "Z"
			}
		}
		if said >= 0 {
			if said == motion && !z {
				return wrong("the motion is in force already")
			}
			motion = said
		}
		if f, ok := value["F"]; ok {
			if feed = f; f <= 0 {
				return wrong("no feed")
			}
		}
		x, hasX := value["X"]
		y, hasY := value["Y"]
		i, hasI := value["I"]
		j, hasJ := value["J"]
		to = at
		if hasX {
			to[0] = x
		}
		if hasY {
			to[1] = y
		}
		if hasI || hasJ || motion >= 2 && (hasX || hasY) {
			if motion < 2 || !(hasX || hasY) || !(hasI || hasJ) {
				return wrong("no whole arc under G%d", motion)
			}
			r0, r1 := math.Hypot(i, j), math.Hypot(to[0]-at[0]-i, to[1]-at[1]-j)
			if math.Abs(r0-r1) > 0.002 || r0 == 0 {
				return wrong("radii of %.5f and %.5f", r0, r1)
			}
		} else if (hasX || hasY) && to == at && known {
			return wrong("no length")
		}
		if motion >= 1 && (hasX || hasY) && feed == 0 {
			return wrong("no feed yet")
		}
		if hasX && hasY {
			known = true
		}
		at = to
	}
	if !ended {
		return "it does not end"
	}
	return ""
}

// TestRules throws any program, on every machine, at every tolerance, at the
// rules of the language.
func TestRules(t *testing.T) {
	built := machines(t)
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.SampledFrom(built).Draw(t, "machine")
		m.Calib.Scale = rapid.SampledFrom([][2]float64{{1, 1}, {1.004, 0.997}}).Draw(t, "scale")
		p := program.Program{
			Blocks:    programtest.Blocks(rapid.Float64Range(0.1, 200).Draw(t, "feed"), programtest.Strokes(paths.Point{X: 150, Y: 150}).Draw(t, "strokes")...),
			Tolerance: rapid.SampledFrom([]float64{0, 0.002, 0.01, 0.1}).Draw(t, "tol"),
		}
		text, err := Write(p, m)
		if err != nil {
			t.Fatal(err)
		}
		if wrong := judge(string(text)); wrong != "" {
			t.Fatalf("%s in\n%s", wrong, text)
		}
	})
}

// TestJudgeJudges: the judge of TestRules finds what is against the rules.
func TestJudgeJudges(t *testing.T) {
	for text, want := range map[string]string{
		"G0X1Y1\nG1X5F100\nG3X5I1\nM2\n":    "", // a full circle carries an X
		"G0X1Y1\nG1X5F100\nG3I1\nM2\n":      "no whole arc",
		"G0X1Y1\nG1X5F100\nG3X6Y7\nM2\n":    "no whole arc",
		"G0X1Y1\nG1X5F100\nX6I1\nM2\n":      "no whole arc",
		"G0X0Y0\nG1F9X10\nG2X14.0021I2\nM2": "radii",
		"G0X0Y0\nG1F9X10\nG2X14.0019I2\nM2": "",
		"G0X1Y1\nX1\nM2\n":                  "no length",
		"G0X1Y1\nG0X2\nM2\n":                "in force already",
		"G0X1Y1\nG1X2\nM2\n":                "no feed yet",
		"G0G1X1Y1F9\nM2\n":                  "two motions",
		"G0X1X2\nM2\n":                      "X twice",
		"G0X1;2\nM2\n":                      "not made of words",
		"G0X1Y1\n":                          "does not end",
		"M2\nG0X1Y1\n":                      "after the end",
	} {
		if got := judge(text); (want == "") != (got == "") || !strings.Contains(got, want) {
			t.Errorf("judge(%q) = %q, want %q", text, got, want)
		}
	}
}
