package dxf

import (
	"math"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/bounded/boundedtest"
)

// unitFile is a line of length 1 under header variables.
func unitFile(vars string) []byte {
	return []byte(pairs("0 SECTION 2 HEADER " + vars + " 0 ENDSEC 0 SECTION 2 ENTITIES 0 LINE 11 1 0 ENDSEC 0 EOF"))
}

// Units of $INSUNITS as the published DXF reference numbers them; their lengths
// from the definition of the inch (25.4 mm) and of the SI prefixes.
func TestUnits(t *testing.T) {
	for code, mm := range map[string]float64{
		"1": 25.4, "2": 304.8, "4": 1, "5": 10, "6": 1000, "8": 0.0000254, "9": 0.0254, "10": 914.4, "13": 0.001, "14": 100,
	} {
		d, err := Read("t.dxf", unitFile("9 $INSUNITS 70 "+code), Options{})
		if err != nil || !d.HasSize || math.Abs(d.Bounds().Width()/mm-1) > 1e-12 {
			t.Errorf("unit %s: %v wide, has size %v, %v; want %v", code, d.Bounds().Width(), d.HasSize, err, mm)
		} else if len(d.Notes) != 1 || d.Notes[0].Code != "size-from-file" {
			t.Errorf("unit %s: notes %v", code, d.Notes)
		}
		d, err = Read("t.dxf", unitFile("9 $INSUNITS 70 "+code), Options{Unit: 10})
		if err != nil || !d.HasSize || d.Bounds().Width() != 10 || len(d.Notes) != 0 {
			t.Errorf("unit %s read as cm: %v wide, %v, %v", code, d.Bounds().Width(), err, d.Notes)
		}
	}
}

// A file without a unit is an error that repeats what the file does say, or is
// read for its proportions alone.
func TestNoUnit(t *testing.T) {
	for vars, hint := range map[string]string{"": "24in", "9 $INSUNITS 70 0": "24in", "9 $INSUNITS 70 3": "24in", "9 $MEASUREMENT 70 1": "metric", "9 $MEASUREMENT 70 0": "inches"} {
		_, err := Read("t.dxf", unitFile(vars), Options{})
		if err == nil || !strings.Contains(boundedtest.Fault(t, err).Do, "[units] mm, cm, m, in or ft") || !strings.Contains(boundedtest.Fault(t, err).Do, hint) {
			t.Errorf("without a unit (%s): %v", vars, err)
		}
		d, err := Read("t.dxf", unitFile(vars), Options{Proportions: true})
		if err != nil || d.HasSize || d.Bounds().Width() != 1 {
			t.Errorf("without a unit (%s), for its proportions: %v, %v", vars, d, err)
		}
	}
}

// Code pages as registered by IANA: 0xF6 is o with diaeresis in windows-1252,
// 0x94 in IBM850; release 2007 and later (AC1021) are UTF-8.
func TestNames(t *testing.T) {
	for _, tt := range []struct{ version, page, name, want string }{
		{"AC1009", "ANSI_1252", "M\xf6wen", "Möwen"},
		{"AC1009", "DOS850", "M\x94wen", "Möwen"},
		{"AC1015", "ANSI_1251", "\xf7\xe0\xe9\xea\xe0", "чайка"},
		{"AC1015", "ANSI_932", "\x83\x4a\x83\x82\x83\x81", "カモメ"},
		{"AC1018", "ANSI_nonsense", "M\xf6wen", "Möwen"},
		{"AC1018", "", "Möwen", "Möwen"},
		{"AC1021", "ANSI_1252", "Möwen", "Möwen"},
		{"AC1032", "ANSI_1252", "M\xf6wen", "M\uFFFDwen"},
		{"AC1009", "ANSI_1252", "gull", "gull"},
	} {
		text := pairs("0 SECTION 2 HEADER 9 $ACADVER 1 "+tt.version) + "9\n$DWGCODEPAGE\n3\n" + tt.page + "\n" +
			pairs("9 $INSUNITS 70 4 0 ENDSEC 0 SECTION 2 ENTITIES 0 LINE 8 "+tt.name+" 11 1 0 ENDSEC 0 EOF")
		if d := read(t, text); d.Layers[0].Name != tt.want {
			t.Errorf("%s, %s: layer %q, want %q", tt.version, tt.page, d.Layers[0].Name, tt.want)
		}
	}
}

// The same file however its lines end, with blanks and remarks.
func TestLineEnds(t *testing.T) {
	plain := inModel("0 LINE 8 Ink 10 1 20 2 11 3 21 4")
	want := shown(read(t, plain))
	for name, text := range map[string]string{
		"CR LF":       strings.ReplaceAll(plain, "\n", "\r\n"),
		"CR":          strings.ReplaceAll(plain, "\n", "\r"),
		"blanks":      "  " + strings.ReplaceAll(plain, "\n", " \n   "),
		"remarks":     "999\nfor the lighthouse\n" + strings.ReplaceAll(plain, "0\nLINE\n", "999\n0\n0\nLINE\n999\nLINE\n"),
		"mark":        utf8Mark + plain,
		"after EOF":   plain + "what follows is not read\n",
		"blank end":   strings.TrimSuffix(plain, "\n") + "\n\n \n",
		"no last end": strings.TrimSuffix(plain, "\n"),
	} {
		if d, err := Read("t.dxf", []byte(text), Options{}); err != nil || shown(d) != want {
			t.Errorf("%s: %s, %v; want %s", name, shown(d), err, want)
		}
		if !Looks([]byte(text)) {
			t.Errorf("%s: it does not look like DXF", name)
		}
	}
	for _, text := range []string{"", "0", "<svg/>", "0\nLINE\n", "999\n", "G0 X1", "0\nSECTIONS\n"} {
		if Looks([]byte(text)) {
			t.Errorf("%q looks like DXF", text)
		}
	}
}

func TestLineOfNotes(t *testing.T) {
	d := read(t, inModel("0 LINE 11 1\n0 TEXT 1 a"))
	text := strings.Split(inModel("0 LINE 11 1\n0 TEXT 1 a"), "\n")
	for _, n := range d.Notes {
		if n.Code == "text-not-drawn" && text[n.Line] != "TEXT" {
			t.Errorf("line %d holds %q", n.Line, text[n.Line])
		}
	}
	if s := d.Layers[0].Strokes[0]; text[s.Line] != "LINE" || s.Element != "LINE" {
		t.Errorf("the line is of %s at line %d", s.Element, s.Line)
	}
}

// TestPlacesOfNotes: what is not drawn is noted with its place on the page, through the
// inserts around it; one that gives none, or lies in a plane of its own, has none.
func TestPlacesOfNotes(t *testing.T) {
	const block = "0 BLOCK 2 X 10 1 20 1 0 DIMENSION 10 3 20 4 0 ENDBLK"
	d := read(t, withBlocks(block, "0 LINE 8 Ink 11 1 0 TEXT 10 5 20 6 1 a 0 TEXT 10 7 20 8 1 b 0 TEXT 10 1 20 1 210 0 230 -1 1 c "+
		"0 HATCH 10 0 20 0 0 INSERT 2 X 10 10 20 20 41 2 42 2 0 LINE 6 DASHED 10 2 20 3 11 9"))
	want := map[string][]paths.Point{
		"text-not-drawn":      {{X: 5, Y: 6}, {X: 7, Y: 8}},
		"fill-not-drawn":      nil,
		"dimension-not-drawn": {{X: 10 + 2*(3-1), Y: 20 + 2*(4-1)}},
		"dashes-drawn-whole":  {{X: 2, Y: 3}},
	}
	for _, n := range d.Notes {
		at, ok := want[n.Code]
		if !ok {
			continue
		}
		delete(want, n.Code)
		if len(n.Places) != len(at) {
			t.Errorf("%s: places %v, want %v", n.Code, n.Places, at)
			continue
		}
		for i, p := range n.Places {
			if p.At.Dist(at[i]) > 1e-9 || p.Message == "" || p.Line == 0 {
				t.Errorf("%s: place %v, want %v", n.Code, p, at[i])
			}
		}
	}
	if len(want) > 0 {
		t.Errorf("no notes of %v", want)
	}
}
