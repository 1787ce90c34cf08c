package hpgl

import (
	"fmt"
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

var instructionForm = regexp.MustCompile(`^([A-Z]{2})(-?[0-9]+(?:\.[0-9]+)?(?:,-?[0-9]+(?:\.[0-9]+)?)*)?;$`)

// judge holds a program in HP-GL to the 7470A's manual with a small interpreter of
// its own, and returns what is wrong first: one instruction a line of at most 80
// characters, each with its number of parameters (3-2 to 3-20); whole numbers from
// -32768 to 32767 for coordinates (7475A Operation and Interconnection Manual,
// 2-4); IN first, the pen put away last. Besides: no move without length.
func judge(text string) string {
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	var j judged
	for n, line := range lines {
		if wrong := j.line(n, line); wrong != "" {
			return fmt.Sprintf("line %d, %q: %s", n+1, line, wrong)
		}
	}
	if lines[0] != "IN;" || lines[len(lines)-1] != "SP0;" {
		return "it opens or ends wrongly"
	}
	return ""
}

// judged is a program as far as it was judged.
type judged struct {
	at    [2]int
	known bool // the place
}

// line judges a line, and returns what is wrong with it.
func (j *judged) line(n int, line string) string {
	m := instructionForm.FindStringSubmatch(line)
	if m == nil || len(line) > 80 {
		return "no instruction, or too long"
	}
	var p []int
	for w := range strings.SplitSeq(m[2], ",") {
		if w == "" {
			continue
		}
		v, err := strconv.Atoi(w)
		if m[1] != "VS" && (err != nil || v < -32768 || v > 32767) {
			return w + " is no coordinate"
		}
		p = append(p, v)
	}
	switch m[1] {
	case "PU", "PD":
		return j.lines(p)
	case "AA":
		return j.arc(p)
	case "IN":
		if n != 0 {
			return "not at the beginning"
		}
	case "SP", "VS", "FS", "NR":
	default:
		return "not written here"
	}
	return ""
}

func (j *judged) lines(p []int) string {
	if len(p)%2 != 0 {
		return "half a pair"
	}
	for ; len(p) > 0; p = p[2:] {
		to := [2]int{p[0], p[1]}
		if j.known && to == j.at {
			return "no length"
		}
		j.at, j.known = to, true
	}
	return ""
}

// arc takes only quarter turns for arcs: others do not end on whole numbers.
func (j *judged) arc(p []int) string {
	if len(p) != 4 || p[2] == 0 || p[2] > 360 || p[2] < -360 || p[3] < 1 || [2]int{p[0], p[1]} == j.at {
		return "no arc"
	}
	for range ((p[2]/90)%4 + 4) % 4 {
		j.at = [2]int{p[0] - (j.at[1] - p[1]), p[1] + (j.at[0] - p[0])}
	}
	return ""
}

// TestRules throws any program at the rules of HP-GL.
func TestRules(t *testing.T) {
	plain := []profiles.Machine{programtest.Machine(t, "flatbed-hpgl"), programtest.Machine(t, "knife-cutter")}
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.SampledFrom(plain).Draw(t, "machine")
		m.HPGL.Swap = rapid.Bool().Draw(t, "swap")
		p := program.Program{
			Blocks:    programtest.Blocks(rapid.Float64Range(0.5, 200).Draw(t, "feed"), programtest.Strokes(paths.Point{X: 150, Y: 150}).Draw(t, "strokes")...),
			Tolerance: rapid.SampledFrom([]float64{0, 0.02, 0.1}).Draw(t, "tol"),
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
	for body, want := range map[string]string{
		"PU1,1;\nPD2,2,3,3;\n":                 "",
		"PU100,0;\nPD;\nAA0,0,360,5;\nPD5,5;":  "",
		"PU100,0;\nPD;\nAA0,0,90,5;\nPD0,100;": "no length",
		"PU1,1;\nPD1,1;\n":                     "no length",
		"PU1,1,2;\n":                           "half a pair",
		"PU1,32768;\n":                         "no coordinate",
		"PU1,1.5;\n":                           "no coordinate",
		"PU1,1\n":                              "no instruction",
		"AA0,0,90,5;\n":                        "no arc",
		"QQ1;\n":                               "not written here",
		"IN;\n":                                "not at the beginning",
	} {
		text := "IN;\n" + strings.TrimSuffix(body, "\n") + "\nSP0;\n"
		if got := judge(text); (want == "") != (got == "") || !strings.Contains(got, want) {
			t.Errorf("judge(%q) = %q, want %q", text, got, want)
		}
	}
}
