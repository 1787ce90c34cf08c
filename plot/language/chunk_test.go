package language_test

import (
	"bytes"
	"context"
	"slices"
	"strings"
	"testing"

	"weftplot/plot/language"
	"weftplot/plot/program"
	"weftplot/profiles"
)

func pieces(t testing.TB, name profiles.Language, text string) []string {
	l, err := language.Of(name)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, c := range l.Chunks([]byte(text)) {
		out = append(out, text[c.Start:c.End])
	}
	return out
}

func TestChunks(t *testing.T) {
	for _, c := range []struct {
		name profiles.Language
		text string
		want []string
	}{
		{profiles.GCode, "", nil},
		{profiles.GCode, "%\nG21\n\n(x)\nG0 X1 ; y\n;z\nM2", []string{"G21\n", "G0 X1 ; y\n", "M2"}},
		{profiles.GCode, "G0 X1\r\n\r\n(a)G1 X2\n", []string{"G0 X1\r\n", "(a)G1 X2\n"}},
		{profiles.GCode, "G21\nN20\nM2\nG0 X5\n", []string{"G21\n", "M2\n"}}, // the program has ended
		{profiles.GCode, "%\nG21\n%\nG0 X5\n", []string{"G21\n"}},
		{profiles.GCode, "\xef\xbb\xbfG21\nG0 ?\n#1=2\nM#1\nX1", []string{"G21\n", "G0 ?\n", "#1=2\n", "M#1\n"}},
		{profiles.HPGL, "", nil},
		{profiles.HPGL, "IN;\nSP1;PU1,2;\n", []string{"IN;", "\nSP1;", "PU1,2;"}},
		{profiles.HPGL, "IN SP1PU1 2PD", []string{"IN ", "SP1", "PU1 2", "PD"}}, // no semicolons
		{profiles.HPGL, "LBa;b\x03;PU;", []string{"LBa;b\x03", ";PU;"}},
		{profiles.HPGL, "PU1,1LBa;b\x03PU;", []string{"PU1,1", "LBa;b\x03", "PU;"}},
		{profiles.HPGL, "DT*;LBa\x03;b*PU;", []string{"DT*;", "LBa\x03;b*", "PU;"}}, // 7470A, 5-7
		{profiles.HPGL, "DT*;IN;LBa\x03b*;", []string{"DT*;", "IN;", "LBa\x03", "b*"}},
		{profiles.HPGL2, "PE7<=?x\ny;PU;", []string{"PE7<=?x\ny;", "PU;"}},
		{profiles.HPGL, "\x1b.H100;5;6:IN;", []string{"\x1b.H100;5;6:", "IN;"}}, // 7470A, 10-23
		{profiles.HPGL2, "CO\"a;b\";PU;", []string{"CO\"a;b\"", ";PU;"}},
		{profiles.HPGL, "IN;;;\n", []string{"IN;"}},
	} {
		if got := pieces(t, c.name, c.text); !slices.Equal(got, c.want) {
			t.Errorf("%s %q is cut into %q, want %q", c.name, c.text, got, c.want)
		}
	}
}

// TestCut: pauses are marked, in any language, and lines that cannot be sent
// whole are refused.
func TestCut(t *testing.T) {
	for _, c := range []struct {
		machine, text string
		pauses        []string // the words of each
		wrong         string
	}{
		{"practice", "G21\nM3\n(MSG, blue pen)\nM0\nM5\nM2\n", []string{"blue pen"}, ""},
		{"practice", "N10 M1 ; look\nM2\n", []string{""}, ""},
		{"practice", "G21\nG0 X1 M0\nM2\n", nil, "line 2"},
		{"practice", "G21\nM5 M0\nM2\n", nil, "line 2"},
		{"practice", "G21\n" + strings.Repeat(" ", 3000) + "M2\n", nil, "line 2"},
		{"flatbed-hpgl", "IN;PU1,1;\nNR;PD;", []string{"the program waits here, by NR"}, ""},
		{"flatbed-hpgl", "IN;nr PU1,1;PD;", []string{"the program waits here, by NR"}, ""},
		{"flatbed-hpgl", "IN;LBNR;\x03;PD;", nil, ""},
	} {
		m := machine(t, c.machine)
		p, err := of(t, m).Read(context.Background(), "test", []byte(c.text), &m)
		if err != nil {
			t.Fatal(err)
		}
		chunks, err := language.Cut(p, []byte(c.text), m)
		if c.wrong != "" {
			if err == nil || !strings.Contains(err.Error(), c.wrong) {
				t.Errorf("%q: %v, want an error on %s", c.text, err, c.wrong)
			}
			continue
		}
		var words []string
		for _, k := range chunks {
			if k.Pause {
				words = append(words, k.Words)
			}
		}
		if err != nil || !slices.Equal(words, c.pauses) {
			t.Errorf("%q pauses for %q (%v), want %q", c.text, words, err, c.pauses)
		}
	}
}

// FuzzChunks: chunks are in order and not empty, and what they leave out does
// nothing: the program that is read from them alone is the one that is read from
// the whole text.
func FuzzChunks(f *testing.F) {
	for _, text := range []string{
		"G21\n(x)\n\nG0 X1 ; y\n%\nM2", "%\nG1 X1 F60\n(open\nM3\nX2\n%", "(a (b) X1\nM3\nG1 X2\n",
		"IN;PU1,2;LBa;b\x03PD;PE7<=?x;", "DT*,1;LBa\x03;b*PU3,3;PD4,4", "\x1b.H1;2:SC0,1,0,1;;;PU1,1", "\x1b%0APU9,9;\x1b%1BPU2,2;",
		"CO\"a;b\"PD1,1;WDx;SM*PU;@PJL;\nPU", "IN;\x00\x01PU;,,NR;", "PU1 2-3+4PD",
	} {
		f.Add([]byte(text), true)
		f.Add([]byte(text), false)
	}
	f.Fuzz(func(t *testing.T, text []byte, isGCode bool) {
		name := profiles.HPGL
		if isGCode {
			name = profiles.GCode
		}
		l, err := language.Of(name)
		if err != nil {
			t.Fatal(err)
		}
		kept := joined(t, l, text)
		whole, err := l.Read(context.Background(), "whole", text, nil)
		if err != nil || len(kept) == 0 && len(doings(whole)) == 0 {
			return
		}
		again, err := l.Read(context.Background(), "chunks", kept, nil)
		if err != nil {
			t.Fatalf("%v in the chunks %q", err, kept)
		}
		if a, b := doings(whole), doings(again); !slices.EqualFunc(a, b, sameBlock) {
			t.Fatalf("%q does %+v and its chunks %q do %+v", text, a, kept, b)
		}
	})
}

// joined returns what the chunks of a text hold. Of HP-GL nothing between them is
// left out.
func joined(t *testing.T, l language.Language, text []byte) []byte {
	var kept []byte
	end, line := 0, 1
	for _, c := range l.Chunks(text) {
		if c.Start < end || c.End <= c.Start || c.End > len(text) || c.Line < line {
			t.Fatalf("the chunk %+v comes after %d of %d", c, end, len(text))
		}
		kept = append(kept, text[c.Start:c.End]...)
		end, line = c.End, c.Line
	}
	if l.Name() != profiles.GCode && !bytes.HasPrefix(text, kept) {
		t.Fatalf("%q is cut to %q", text, kept)
	}
	return kept
}

// doings are the blocks that do something, in no place of a text.
func doings(p program.Program) []program.Block {
	var out []program.Block
	for _, b := range p.Blocks {
		if b.Kind != program.Remark {
			b.Line, b.End = 0, 0
			out = append(out, b)
		}
	}
	return out
}

// sameBlock leaves out the words of a pause: a message on a line of its own is a
// comment.
func sameBlock(a, b program.Block) bool {
	a.Text, b.Text = "", ""
	return a == b
}
