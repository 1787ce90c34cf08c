package hpgl

import (
	"strings"
	"testing"

	"weftplot/plot/program/programtest"
)

// hostile are texts made to take long: each grows with n.
var hostile = map[string]func(n int) string{
	"digits":     func(n int) string { return "PU" + strings.Repeat("1", n) + ",1;" },
	"commas":     func(n int) string { return "PU1,1" + strings.Repeat(",", n) + ";" },
	"semicolons": func(n int) string { return "PU1,1" + strings.Repeat(";", n) },
	"tiny moves": func(n int) string { return "PD" + strings.Repeat("1,1,2,1,", n) + "3,3;" },
	"circles":    func(n int) string { return strings.Repeat("CI9,.0000001;", n) },
	"ellipses":   func(n int) string { return "IP0,0,1000,2000;SC0,10,0,10;" + strings.Repeat("CI9;", n) },
	"polygon again": func(n int) string {
		return "PM0;PD" + strings.Repeat("9,9,8,9,", n) + "1,1;PM2;" + strings.Repeat("EP;", n)
	},
	"unseen again": func(n int) string {
		return "IW0,0,1,1;PM0;PD" + strings.Repeat("9,9,8,9,", n) + "9,8;PM2;" + strings.Repeat("EP;", n)
	},
	"polygon parts":  func(n int) string { return "PM0;PD" + strings.Repeat("9,9;PM1;PD8,9;", n) + "PM2;FP;" },
	"open polygon":   func(n int) string { return "PM0;PD" + strings.Repeat("9,9,8,9,", n) + "9,8;" },
	"window":         func(n int) string { return "IW0,0,50,50;PD" + strings.Repeat("100,100,0,0,", n) + "1,1;" },
	"labels":         func(n int) string { return "PU1,1;" + strings.Repeat("LBa\x03", n) },
	"open label":     func(n int) string { return "PU1,1;LB" + strings.Repeat("PU1,1;", n) },
	"escapes":        func(n int) string { return "PU1,1;" + strings.Repeat("\x1b%0A", n) },
	"escapes alone":  func(n int) string { return "PU1,1;" + strings.Repeat("\x1b", n) },
	"resets":         func(n int) string { return "PU1,1;" + strings.Repeat("\x1bE", n) },
	"resets back":    func(n int) string { return "PU1,1;" + strings.Repeat("\x1bEa\x1b%0", n) + "\x1b%0B" },
	"other words":    func(n int) string { return programtest.Numbered("PU1,1;QQ%d;", n) },
	"scales":         func(n int) string { return strings.Repeat("SC5,5,5,5;PU1,1;", n) },
	"turns":          func(n int) string { return strings.Repeat("RO90;RO0;PU1,1;", n) },
	"encoded":        func(n int) string { return "PE" + strings.Repeat("?", n) + ";PU1,1;" },
	"encoded pens":   func(n int) string { return "PE7" + strings.Repeat(":a", n) + ";" },
	"encoded points": func(n int) string { return "PE7" + strings.Repeat("aa", n) + ";" },
}

// TestHostileTexts: whatever a text is made of, it takes memory in proportion,
// makes steps in proportion, and ends in a program or a fault.
func TestHostileTexts(t *testing.T) {
	codec.Hostile(t, programtest.Machine(t, "flatbed-hpgl"), hostile)
	for name, text := range hostile { // ways that make no block are steps too
		r := newReader(text(4000), nil)
		for !r.full && r.readItem() {
		}
		if r.steps > r.most+1 {
			t.Errorf("%s: %d steps of %d", name, r.steps, r.most)
		}
	}
}

// TestWildNumbers: what is too large to be a position is left out and said.
func TestWildNumbers(t *testing.T) {
	nines := strings.Repeat("9", 400)
	for text, want := range map[string]string{
		"PD" + nines + "," + nines + ";PD1,1;":                        "down D1,1",
		"AA" + nines + ",0,90;PU1,1;":                                 "T1,1",
		"CI" + nines + ";PU1,1;":                                      "T1,1",
		"EW" + nines + ",0,90;PU1,1;":                                 "T1,1",
		"AT" + nines + ",1,2,2;PU1,1;":                                "T1,1",
		"BZ" + nines + ",1,2,2,3,3;PU1,1;":                            "T1,1",
		"EA" + nines + ",1;PU1,1;":                                    "T1,1",
		"IP0,0," + nines + "," + nines + ";SC0,1,0,1;PU0,0;SC;PU1,1;": "T1,1",
		"SC0,.00000000000001,0,1;PU1,1;SC;PU1,1;":                     "T1,1",
		"IW0,0," + nines + ",1;PU1,1;":                                "T1,1",
		"VS" + nines + ";PU1,1;":                                      "T1,1",
		"PE>~~~~~~~~~~~~\xbf<=\x47\xc2\x47\xc2;PU1,1;":                "T100,100 T1,1",
		"PE<=" + strings.Repeat("~", 200) + "\xfe\xc1;PU1,1;":         "T1,1",
	} {
		if got := summary(read(t, text)); got != want {
			t.Errorf("%.30q is %s, want %s", text, got, want)
		}
	}
}
