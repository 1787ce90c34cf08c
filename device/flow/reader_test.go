package flow

import (
	"fmt"
	"strings"
	"testing"

	"weftplot/profiles"
)

var kindNames = map[eventKind]string{noise: "noise", acknowledgement: "ok", refusal: "error", alarm: "alarm", report: "status",
	aside: "talk", greeting: "greeting"}

func usualReader(t testing.TB) *reader {
	t.Helper()
	r, err := newReader(profiles.UsualManner())
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Replies in the usual manner.
func TestReplies(t *testing.T) {
	r := usualReader(t)
	for line, want := range map[string]string{
		"ok":                            "ok",
		" OK\r":                         "ok",
		"o":                             "noise",
		"okk":                           "noise",
		"ok ok":                         "noise",
		"error:9":                       "error",
		"Error: bad number":             "error",
		"alarm:1":                       "alarm",
		"[a message]":                   "talk",
		"<idle 1.5,-2.25,0.000>":        "status idle 1.5 -2.25",
		"<Run|pos:1.500,2.000,0|f:0,0>": "status run 1.5 2",
		"<hold>":                        "status hold",
		"<idle 1.5,-2.25":               "noise",
		"<idle 1<idle 1.5,2>":           "noise",
		"<1,2>":                         "noise",
		"<idle nan,inf>":                "status idle",
		"practice plotter ready":        "greeting",
		"\xff\xfe":                      "noise",
	} {
		p := r.read(line)
		got := kindNames[p.kind]
		if p.word != "" {
			got += " " + p.word
		}
		if p.hasPlace {
			got += fmt.Sprintf(" %g %g", p.place.X, p.place.Y)
		}
		if got != want {
			t.Errorf("%q is %q, want %q", line, got, want)
		}
	}
}

// Whatever comes on the line is understood as something, and only a plain ok is
// an acknowledgement.
func FuzzReply(f *testing.F) {
	for _, s := range []string{"ok", "error:1", "<idle 1,2,3>", "alarm", "<run|1e400,2>", "\x00ok"} {
		f.Add(s)
	}
	r := usualReader(f)
	f.Fuzz(func(t *testing.T, line string) {
		p := r.read(line)
		if p.hasPlace && !p.place.IsFinite() {
			t.Errorf("%q has the position %v", line, p.place)
		}
		if p.kind == acknowledgement && !strings.EqualFold(strings.Trim(line, " \t\r\n\x00"), "ok") {
			t.Errorf("%q counts as an acknowledgement", line)
		}
	})
}
