package gcode

import (
	"context"
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
	"weftplot/profiles"
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
	j := judged{motion: -1}
	for n, line := range strings.Split(strings.TrimSuffix(text, "\n"), "\n") {
		if wrong := j.line(line); wrong != "" {
			return fmt.Sprintf("line %d, %q: %s", n+1, line, wrong)
		}
	}
	if !j.ended {
		return "it does not end"
	}
	return ""
}

// judged is a program as far as it was judged.
type judged struct {
	at           [2]float64
	known, ended bool // the place, the program
	motion       int
	feed         float64
}

// line judges a line, and returns what is wrong with it.
func (j *judged) line(line string) string {
	if len(line) > 80 || j.ended {
		return "too long, or after the end"
	}
	if strings.HasPrefix(line, "(") && strings.HasSuffix(line, ")") {
		return ""
	}
	squeezed := strings.ReplaceAll(line, " ", "")
	if wordForm.ReplaceAllString(squeezed, "") != "" {
		return "not made of words"
	}
	value, motion, wrong := j.words(wordForm.FindAllStringSubmatch(squeezed, -1))
	if wrong != "" {
		return wrong
	}
	if _, z := value["Z"]; motion >= 0 && motion == j.motion && !z {
		return "the motion is in force already"
	}
	if motion >= 0 {
		j.motion = motion
	}
	if f, ok := value["F"]; ok {
		if j.feed = f; f <= 0 {
			return "no feed"
		}
	}
	return j.move(value)
}

// words returns the values of the words but G and M, and the motion they say, -1
// for none.
func (j *judged) words(all [][]string) (value map[string]float64, motion int, wrong string) {
	value, motion = map[string]float64{}, -1
	for _, w := range all {
		v, _ := strconv.ParseFloat(w[2], 64)
		_, twice := value[w[1]]
		switch {
		case w[1] == "G" && v <= 3:
			if motion >= 0 {
				return nil, 0, "two motions"
			}
			motion = int(v)
		case w[1] == "M" && v == 2:
			j.ended = true
		case w[1] == "G" || w[1] == "M":
		case twice:
			return nil, 0, w[1] + " twice"
		default:
			value[w[1]] = v
		}
	}
	return value, motion, ""
}

// move judges the motion of a line.
func (j *judged) move(value map[string]float64) string {
	to, said := j.target(value)
	goes := said > 0
	_, hasI := value["I"]
	_, hasJ := value["J"]
	if r, hasR := value["R"]; hasR {
		if wrong := j.round(j.motion >= 2 && goes && !hasI && !hasJ, to, r); wrong != "" {
			return wrong
		}
	} else if centred := hasI || hasJ; centred || j.motion >= 2 && goes {
		whole := j.motion >= 2 && goes && centred
		if wrong := j.arc(whole, to, [2]float64{j.at[0] + value["I"], j.at[1] + value["J"]}); wrong != "" {
			return wrong
		}
	} else if goes && to == j.at && j.known {
		return "no length"
	}
	if j.motion >= 1 && goes && j.feed == 0 {
		return "no feed yet"
	}
	j.known = j.known || said == 2
	j.at = to
	return ""
}

// target returns where the words lead, and how many of the two there are.
func (j *judged) target(value map[string]float64) (to [2]float64, said int) {
	to = j.at
	for i, word := range []string{"X", "Y"} {
		if v, ok := value[word]; ok {
			to[i] = v
			said++
		}
	}
	return to, said
}

// arc judges whether an arc has all its words, and how far its ends are from its
// centre.
func (j *judged) arc(whole bool, to, centre [2]float64) string {
	if !whole {
		return fmt.Sprintf("no whole arc under G%d", j.motion)
	}
	r0, r1 := math.Hypot(j.at[0]-centre[0], j.at[1]-centre[1]), math.Hypot(to[0]-centre[0], to[1]-centre[1])
	if math.Abs(r0-r1) > 0.002 || r0 == 0 {
		return fmt.Sprintf("radii of %.5f and %.5f", r0, r1)
	}
	return ""
}

// round judges an arc by its radius.
func (j *judged) round(whole bool, to [2]float64, r float64) string {
	if !whole {
		return fmt.Sprintf("no whole arc under G%d", j.motion)
	}
	half := math.Hypot(to[0]-j.at[0], to[1]-j.at[1]) / 2
	if half == 0 || !(r >= half) || 2*math.Asin(half/r) > 165*math.Pi/180 {
		return fmt.Sprintf("a radius of %.5f over %.5f", r, 2*half)
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
		m.GCode = profiles.Controller{Arcs: rapid.SampledFrom(profiles.ArcForms).Draw(t, "arcs"), Compact: rapid.Bool().Draw(t, "compact"), Waits: rapid.SampledFrom(profiles.WaitUnits).Draw(t, "waits")}
		p := program.Program{
			Blocks:    programtest.Blocks(rapid.Float64Range(0.1, 200).Draw(t, "feed"), programtest.Strokes(paths.Point{X: 150, Y: 150}).Draw(t, "strokes")...),
			Tolerance: rapid.SampledFrom([]float64{0, 0.002, 0.01, 0.1}).Draw(t, "tol"),
		}
		text, err := Write(context.Background(), p, m)
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
		"G0X0Y0\nG1F9X10\nG2X18Y2R8\nM2":    "",
		"G0X0Y0\nG1F9X10\nG2X18Y2R4.12\nM2": "a radius of",
		"G0X0Y0\nG1F9X10\nG2X18Y2R4.13\nM2": "a radius of", // nearly half a circle
		"G0X0Y0\nG1F9X10\nG2X18R-8\nM2":     "a radius of",
		"G0X0Y0\nG1F9X10\nG2X10R8\nM2":      "a radius of",
		"G0X0Y0\nG1F9X10\nG2X18R8I4\nM2":    "no whole arc",
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
