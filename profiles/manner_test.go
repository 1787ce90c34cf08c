package profiles

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
)

// manner is a profile with lines in its section serial.manner.
func manner(t *testing.T, lines string) []byte {
	t.Helper()
	data := with(t, MachineKind, "gantry-z", "", "")
	text := string(data)
	from, to := strings.Index(text, "[serial.manner]"), strings.Index(text, "[calibration]")
	if from < 0 || to < from {
		t.Fatal("gantry-z has no section serial.manner")
	}
	return []byte(text[:from] + "[serial.manner]\n" + lines + "\n" + text[to:])
}

func TestMannerKeys(t *testing.T) {
	for lines, want := range map[string]string{
		``:                           "",
		`greeting = "good morning"`:  "",
		`greeting = " good morning"`: "serial.manner.greeting",
		`accepted = ""`:              "serial.manner.accepted",
		`accepted = "o\u0007k"`:      "serial.manner.accepted",
		`refused = ""`:               "serial.manner.refused",
		`alarm = ""`:                 "serial.manner.alarm",
		`alarm = "` + strings.Repeat("a", 41) + `"`:     "serial.manner.alarm",
		`refused = "OKAY"`:                              `serial.manner: "OKAY"`,
		`alarm = "err"`:                                 `serial.manner: "err"`,
		`aside = ["note", "o"]`:                         `serial.manner: "o"`,
		`aside = []`:                                    "",
		`aside = "["`:                                   "line ",
		`aside = [` + strings.Repeat(`"x",`, 17) + `]`:  "serial.manner.aside",
		`status = '('`:                                  "serial.manner.status",
		`status = '<(?P<x>.)(?P<y>.)>'`:                 "serial.manner.status",
		`status = '<(?P<state>.)(?P<x>.)>'`:             "serial.manner.status",
		`status = '<(?P<state>.)(?P<z>.)>'`:             "serial.manner.status",
		`status = '<(?P<state>.)(?P<speed>.)>'`:         `the part "speed"`,
		`status = '(?P<state>.)(?P<state>.)'`:           "serial.manner.status",
		`status = '<(?P<state>[a-z]+)>'`:                "",
		`status = '` + strings.Repeat("a", 301) + `'`:   "an expression of 301",
		`status = ''`:                                   "serial.manner.status",
		"status = ''\nask = ''":                         "",
		`ask = "??"`:                                    "serial.manner.ask",
		`ask = "X"`:                                     "serial.manner.ask",
		`ask = "7"`:                                     "serial.manner.ask",
		`ask = "\n"`:                                    "serial.manner.ask",
		`ask = "\u0080"`:                                "serial.manner.ask",
		`ask = "!"`:                                     "serial.manner.hold",
		`ask = "\u0005"`:                                "",
		"ask = ''\nhold = ''\ngo_on = ''\nreset = ''":   "",
		`hold = 33`:                                     "line ",
		`asks = "?"`:                                    `no key "serial.manner.asks"`,
		"[serial.manner.states]\nidle = ['a']":          "",
		"[serial.manner.states]\nidle = ['Run']":        "serial.manner.states.moving",
		"[serial.manner.states]\nidle = []":             "serial.manner.states",
		"[serial.manner.states]\nheld = []\nalarm = []": "",
		"[serial.manner.states]\nidle = ['a','b']\nmoving = ['c']\nrun = 1": `no key "serial.manner.states.run"`,
	} {
		_, err := ParseMachine("mine.toml", manner(t, lines))
		wantFault(t, lines, err, want)
	}
}

// A profile without the section has the usual manner, and one that names a part
// of it keeps the rest. The built-in gantries write the usual one out in full.
func TestUsualManner(t *testing.T) {
	bare, err := ParseMachine("mine.toml", manner(t, "accepted = \"fine\""))
	if err != nil {
		t.Fatal(err)
	}
	want := UsualManner()
	want.Accepted = "fine"
	if !reflect.DeepEqual(bare.Serial.Manner, want) {
		t.Errorf("the manner is %+v, want %+v", bare.Serial.Manner, want)
	}
	for _, name := range []string{"gantry-z", "gantry-servo"} {
		m, err := MachineNamed(name)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(m.Serial.Manner, UsualManner()) {
			t.Errorf("%s: the manner is %+v", name, m.Serial.Manner)
		}
	}
}

func TestStatusForm(t *testing.T) {
	re, err := UsualManner().StatusForm()
	if err != nil {
		t.Fatal(err)
	}
	for line, want := range map[string]string{
		"<idle 1.5,-2.25,0.000>":        "idle 1.5 -2.25 0.000",
		"<Run|pos:1.500,2.000,0|f:0,0>": "Run 1.500 2.000 0",
		"<hold>":                        "hold",
		"<hold:0|w=1,2>":                "hold 1 2",
		"<idle 1.5,2x>":                 "idle",
		"<idle 1.5,-2.25":               "none",
		"x<idle 1.5,-2.25>":             "none",
		"<1,2>":                         "none",
		"<idle 1<idle 1.5,2>":           "none",
	} {
		got := "none"
		if found := re.FindStringSubmatch(line); found != nil {
			got = strings.TrimSpace(fmt.Sprint(found[1], " ", found[2], " ", found[3], " ", found[4]))
		}
		if got != want {
			t.Errorf("%q is %q, want %q", line, got, want)
		}
	}
}
