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
	at, said, last := [2]int{}, false, ""
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	for n, line := range lines {
		wrong := func(format string, args ...any) string {
			return fmt.Sprintf("line %d, %q: ", n+1, line) + fmt.Sprintf(format, args...)
		}
		m := instructionForm.FindStringSubmatch(line)
		if m == nil || len(line) > 80 {
			return wrong("no instruction, or too long")
		}
		var params []string
		if m[2] != "" {
			params = strings.Split(m[2], ",")
		}
		whole := make([]int, len(params))
		for i, p := range params {
			v, err := strconv.Atoi(p)
			if whole[i] = v; m[1] != "VS" && (err != nil || v < -32768 || v > 32767) {
				return wrong("%s is no coordinate", p)
			}
		}
		switch m[1] {
		case "PU", "PD":
			if len(whole)%2 != 0 {
				return wrong("half a pair")
			}
			for i := 0; i < len(whole); i += 2 {
				to := [2]int{whole[i], whole[i+1]}
				if said && to == at {
					return wrong("no length")
				}
				at, said = to, true
			}
		case "AA":
			if len(whole) != 4 || whole[2] == 0 || whole[2] > 360 || whole[2] < -360 || whole[3] < 1 || [2]int{whole[0], whole[1]} == at {
				return wrong("no arc")
			}
			for range ((whole[2]/90)%4 + 4) % 4 {
				at = [2]int{whole[0] - (at[1] - whole[1]), whole[1] + (at[0] - whole[0])}
			}
		case "IN":
			if n != 0 {
				return wrong("not at the beginning")
			}
		case "SP", "VS", "FS", "NR":
		default:
			return wrong("not written here")
		}
		last = line
	}
	if lines[0] != "IN;" || last != "SP0;" {
		return "it opens or ends wrongly"
	}
	return ""
}

// TestRules throws any program at the rules of HP-GL.
func TestRules(t *testing.T) {
	plain := []profiles.Machine{machine(t, "flatbed-hpgl"), machine(t, "knife-cutter")}
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
