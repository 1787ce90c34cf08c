package hpgl

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

var (
	lineForm        = regexp.MustCompile(`^(?:PUPA|PDPR|[A-Z]{2})(?:-?[0-9]+(?:\.[0-9]+)?(?:,-?[0-9]+(?:\.[0-9]+)?)*)?;$`)
	instructionForm = regexp.MustCompile(`([A-Z]{2})([-0-9.,]*)`)
)

// judge holds a program in HP-GL to the 7470A's manual with a small interpreter of
// its own, and returns what is wrong first: one instruction a line of at most 80
// characters, or the pen's own and a move, each with its number of parameters (3-2
// to 3-10); whole numbers from -32768 to 32767 for coordinates (7475A Operation and
// Interconnection Manual, 2-4); IN first, the pen put away last. Besides: no move
// without length, travels absolute, lines relative, and no more than 12 mm in an
// instruction but for its last move, of at most 24 mm.
func judge(text string, unit float64) string {
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	j := judged{unit: unit}
	for n, line := range lines {
		if !lineForm.MatchString(line) || len(line) > 80 {
			return fmt.Sprintf("line %d, %q: no instruction, or too long", n+1, line)
		}
		for _, m := range instructionForm.FindAllStringSubmatch(line, -1) {
			if wrong := j.instruction(n, m[1], m[2]); wrong != "" {
				return fmt.Sprintf("line %d, %q: %s", n+1, line, wrong)
			}
		}
	}
	if lines[0] != "IN;" || lines[len(lines)-1] != "SP0;" {
		return "it opens or ends wrongly"
	}
	return ""
}

// judged is a program as far as it was judged.
type judged struct {
	unit  float64
	at    [2]int
	known bool // the place
	down  bool
}

// instruction judges an instruction, and returns what is wrong with it.
func (j *judged) instruction(n int, name, numbers string) string {
	var p []int
	for w := range strings.SplitSeq(numbers, ",") {
		if w == "" {
			continue
		}
		v, err := strconv.Atoi(w)
		if name != "VS" && (err != nil || v < -32768 || v > 32767) {
			return w + " is no coordinate"
		}
		p = append(p, v)
	}
	switch name {
	case "PU", "PD":
		j.down = name == "PD"
		if len(p) > 0 {
			return "a move beside PA and PR"
		}
	case "PA":
		return j.travel(p)
	case "PR":
		return j.lines(p)
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

func (j *judged) travel(p []int) string {
	switch {
	case len(p) != 2:
		return "half a pair"
	case j.down:
		return "the pen is down"
	case j.known && [2]int{p[0], p[1]} == j.at:
		return "no length"
	}
	j.at, j.known = [2]int{p[0], p[1]}, true
	return ""
}

func (j *judged) lines(p []int) string {
	if len(p)%2 != 0 {
		return "half a pair"
	}
	if !j.down {
		return "the pen is up"
	}
	for sum := 0.0; len(p) > 0; p = p[2:] {
		mm := math.Hypot(float64(p[0]), float64(p[1])) * j.unit
		switch {
		case mm == 0:
			return "no length"
		case mm > 24+j.unit || sum > 12+j.unit:
			return "too long a line"
		}
		j.at = [2]int{j.at[0] + p[0], j.at[1] + p[1]}
		sum += mm
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
		text, err := Write(context.Background(), p, m)
		if err != nil {
			t.Fatal(err)
		}
		if wrong := judge(string(text), float64(m.HPGL.Unit)); wrong != "" {
			t.Fatalf("%s in\n%s", wrong, text)
		}
	})
}

// TestJudgeJudges: the judge of TestRules finds what is against the rules.
func TestJudgeJudges(t *testing.T) {
	for body, want := range map[string]string{
		"PUPA1,1;\nPDPR2,2,3,3;\nPR1,0;\nPU;\nPUPA7,7;\n": "",
		"PUPA1,1;\nPUPA1,1;\n":                            "no length",
		"PUPA1,1;\nPDPR0,0;\n":                            "no length",
		"PUPA1,1,2;\n":                                    "half a pair",
		"PUPA1,32768;\n":                                  "no coordinate",
		"PUPA1,1.5;\n":                                    "no coordinate",
		"PUPA1,1\n":                                       "no instruction",
		"PUPA1,1;\nPR1,1;\n":                              "the pen is up",
		"PUPA1,1;\nPD;\nPA1,2;\n":                         "the pen is down",
		"PD1,1;\n":                                        "a move beside",
		"PUPA1,1;\nPDPR970,0;\n":                          "too long a line",
		"PUPA1,1;\nPDPR490,0,1,1;\n":                      "too long a line",
		"QQ1;\n":                                          "not written here",
		"IN;\n":                                           "not at the beginning",
	} {
		text := "IN;\n" + strings.TrimSuffix(body, "\n") + "\nSP0;\n"
		if got := judge(text, 0.025); (want == "") != (got == "") || !strings.Contains(got, want) {
			t.Errorf("judge(%q) = %q, want %q", text, got, want)
		}
	}
}
