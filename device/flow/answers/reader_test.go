package answers

import (
	"fmt"
	"strings"
	"testing"

	"weftplot/profiles"
)

var kindNames = map[Kind]string{Noise: "noise", Acknowledgement: "ok", Refusal: "error", Alarm: "alarm", Report: "status",
	Aside: "talk", Greeting: "greeting"}

func usualReader(t testing.TB) *Reader {
	t.Helper()
	r, err := NewReader(profiles.UsualManner())
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
		p := r.Read(line)
		got := kindNames[p.Kind]
		if p.Word != "" {
			got += " " + p.Word
		}
		if p.HasPlace {
			got += fmt.Sprintf(" %g %g", p.Place.X, p.Place.Y)
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
		p := r.Read(line)
		if p.HasPlace && !p.Place.IsFinite() {
			t.Errorf("%q has the position %v", line, p.Place)
		}
		if p.Kind == Acknowledgement && !strings.EqualFold(strings.Trim(line, " \t\r\n\x00"), "ok") {
			t.Errorf("%q counts as an acknowledgement", line)
		}
	})
}
