package dxf

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"weftplot/paths"
)

// pairs writes groups, each a code and a value between blanks, as the lines of
// a file; in a value "_" stands for a blank.
func pairs(s string) string {
	var b strings.Builder
	for i, f := range strings.Fields(s) {
		if i%2 == 1 {
			f = strings.ReplaceAll(f, "_", " ")
		}
		b.WriteString(f + "\n")
	}
	return b.String()
}

// inModel wraps entities in a file of 1 mm units.
func inModel(entities string) string { return withBlocks("", entities) }

// withBlocks wraps blocks and entities likewise, with layers of every kind.
func withBlocks(blocks, entities string) string {
	return pairs(`0 SECTION 2 HEADER 9 $ACADVER 1 AC1027 9 $INSUNITS 70 4 0 ENDSEC
		0 SECTION 2 TABLES 0 TABLE 2 LAYER
		0 LAYER 2 Ink 70 0 62 1 0 LAYER 2 Off 70 0 62 -3 0 LAYER 2 Cold 70 1 62 2 0 LAYER 2 Unplotted 62 5 290 0 0 LAYER 2 Dotted 62 4 6 DOT
		0 ENDTAB 0 ENDSEC
		0 SECTION 2 BLOCKS ` + blocks + ` 0 ENDSEC 0 SECTION 2 ENTITIES ` + entities + ` 0 ENDSEC 0 EOF`)
}

// read reads a file that must be good.
func read(t *testing.T, text string) paths.Design {
	t.Helper()
	d, err := Read("test.dxf", []byte(text), Options{})
	if err != nil {
		t.Fatalf("Read = %v", err)
	}
	checkDesign(t, d)
	return d
}

// shown writes strokes in a short form: "0,0 10,0 | 5,5 C 5,6 7,8 9,9"; A is an
// arc with its centre, radius and sweep in degrees.
func shown(d paths.Design) string {
	pt := func(p paths.Point) string { return fmt.Sprintf("%.6g,%.6g", tidy(p.X), tidy(p.Y)) }
	var list []string
	for _, s := range d.Strokes() {
		text := pt(s.Start())
		for _, c := range s {
			switch c := c.(type) {
			case paths.Line:
				text += " " + pt(c.B)
			case paths.Cubic:
				text += " C " + pt(c.B) + " " + pt(c.C) + " " + pt(c.D)
			case paths.Arc:
				text += fmt.Sprintf(" A %s %.6g %.6g %s", pt(c.Centre), c.Radius(), tidy(c.Sweep*180/math.Pi), pt(c.To))
			}
		}
		list = append(list, text)
	}
	return strings.Join(list, " | ")
}

// tidy rounds away what floating point leaves, so that zero prints as 0.
func tidy(v float64) float64 {
	if math.Abs(v) < 1e-9 {
		return 0
	}
	return v
}

// codes returns the codes of the notes in order, without the note about the
// size.
func codes(d paths.Design) string {
	var list []string
	for _, n := range d.Notes {
		if n.Code != "size-from-file" {
			list = append(list, n.Code)
		}
	}
	return strings.Join(list, " ")
}

// The geometry of each entity, worked by hand from the rules of the published
// DXF reference; the bulges from chord c and bulge b: radius c(1+b²)/4|b|, the
// centre c(1-b²)/4b to the left of the chord's middle.
func TestEntities(t *testing.T) {
	for _, tt := range []struct{ name, entities, want string }{
		{"line", "0 LINE 8 Ink 10 1 20 2 11 3 21 4.5", "1,2 3,4.5"},
		{"line in space, from above", "0 LINE 10 1 20 2 30 9 11 3 21 4 31 -9", "1,2 3,4"},
		{"point", "0 POINT 10 3 20 4", "3,4 3,4"},
		{"circle", "0 CIRCLE 10 5 20 5 40 2", "7,5 A 5,5 2 360 7,5"},
		{"arc", "0 ARC 10 0 20 0 40 2 50 0 51 90", "2,0 A 0,0 2 90 0,2"},
		{"arc over the zero", "0 ARC 10 0 20 0 40 2 50 270 51 90", "0,-2 A 0,0 2 180 0,2"},
		{"arc with angles below zero", "0 ARC 10 0 20 0 40 2 50 -90 51 0", "0,-2 A 0,0 2 90 2,0"},
		{"arc of a full turn", "0 ARC 10 0 20 0 40 2 50 90 51 90", "0,2 A 0,0 2 360 0,2"},
		{"bulge 1/2: 3-4-5", "0 LWPOLYLINE 90 2 70 0 10 0 20 0 42 0.5 10 4 20 0", "0,0 A 2,1.5 2.5 106.26 4,0"},
		{"bulge -1/2", "0 LWPOLYLINE 90 2 70 0 10 0 20 0 42 -0.5 10 4 20 0", "0,0 A 2,-1.5 2.5 -106.26 4,0"},
		{"bulge 1: half a circle", "0 LWPOLYLINE 90 2 70 0 10 0 20 0 42 1 10 4 20 0", "0,0 A 2,0 2 180 4,0"},
		{"bulge 2: more than half", "0 LWPOLYLINE 90 2 70 0 10 0 20 0 42 2 10 4 20 0", "0,0 A 2,-1.5 2.5 253.74 4,0"},
		{"the bulge closes", "0 LWPOLYLINE 90 2 70 1 10 0 20 0 42 1 10 4 20 0 42 1", "0,0 A 2,0 2 180 4,0 A 2,0 2 180 0,0"},
		{"closed", "0 LWPOLYLINE 90 3 70 1 10 0 20 0 10 4 20 0 10 4 20 3", "0,0 4,0 4,3 0,0"},
		{"widths are left aside", "0 LWPOLYLINE 90 2 43 3 10 0 20 0 40 1 41 2 10 4 20 0", "0,0 4,0"},
		{"repeated points", "0 LWPOLYLINE 90 3 10 0 20 0 10 0 20 0 10 4 20 0", "0,0 4,0"},
		{"old polyline", "0 POLYLINE 66 1 70 1 0 VERTEX 10 0 20 0 42 1 0 VERTEX 10 4 20 0 0 SEQEND", "0,0 A 2,0 2 180 4,0 0,0"},
		{"polyline in space", "0 POLYLINE 66 1 70 9 0 VERTEX 10 0 20 0 30 5 70 32 0 VERTEX 10 4 20 0 42 1 70 32 0 VERTEX 10 4 20 3 0 SEQEND", "0,0 4,0 4,3 0,0"},
		{"control frame left out", "0 POLYLINE 66 1 70 4 0 VERTEX 10 9 20 9 70 16 0 VERTEX 10 0 20 0 70 8 0 VERTEX 10 4 20 0 70 8 0 SEQEND", "0,0 4,0"},
		{"two polylines", "0 POLYLINE 66 1 0 VERTEX 10 0 20 0 0 VERTEX 10 1 20 0 0 SEQEND 0 POLYLINE 66 1 0 VERTEX 10 0 20 5 0 VERTEX 10 1 20 5 0 SEQEND", "0,0 1,0 | 0,5 1,5"},
		{"round ellipse", "0 ELLIPSE 10 5 20 5 11 2 21 0 40 1 41 0 42 6.283185307", "7,5 A 5,5 2 360 7,5"},
		{"part of a round ellipse", "0 ELLIPSE 10 0 20 0 11 0 21 2 40 1 41 0 42 1.5707963267948966", "0,2 A 0,0 2 90 -2,0"},
		{"ellipse from below", "0 ELLIPSE 10 0 20 0 11 0 21 2 40 1 41 0 42 1.5707963267948966 210 0 220 0 230 -1", "0,2 A 0,0 2 -90 2,0"},
		{"straight spline", "0 SPLINE 70 8 71 1 40 0 40 0 40 1 40 2 40 2 10 0 20 0 10 4 20 0 10 4 20 3", "0,0 4,0 4,3"},
		{"spline of degree three", "0 SPLINE 70 8 71 3 40 0 40 0 40 0 40 0 40 1 40 1 40 1 40 1 10 0 20 0 10 1 20 2 10 3 20 2 10 4 20 0", "0,0 C 1,2 3,2 4,0"},
		{"spline of degree two", "0 SPLINE 70 8 71 2 40 0 40 0 40 0 40 1 40 1 40 1 10 0 20 0 10 3 20 3 10 6 20 0", "0,0 C 2,2 4,2 6,0"},
		{"torn spline", "0 SPLINE 71 1 40 0 40 0 40 1 40 1 40 2 40 2 10 0 20 0 10 1 20 0 10 5 20 5 10 6 20 5", "0,0 1,0 | 5,5 6,5"},
		{"spline through two points", "0 SPLINE 71 3 74 2 11 0 21 0 11 4 21 0", "0,0 4,0"},
		{"mirrored plane", "0 ARC 10 -5 20 0 40 2 50 0 51 90 210 0 220 0 230 -1", "3,0 A 5,0 2 -90 5,2"},
		{"mirrored polyline with elevation", "0 LWPOLYLINE 90 2 38 7 10 0 20 0 42 0.5 10 4 20 0 210 0 220 0 230 -1", "0,0 A -2,1.5 2.5 -106.26 -4,0"},
		{"on edge", "0 LWPOLYLINE 90 2 38 7 10 1 20 0 10 4 20 9 210 1 220 0 230 0", "7,1 7,4"},
		{"another entity's groups within", "0 LINE 10 0 20 0 11 1 21 0 101 Embedded_Object 10 9 20 9", "0,0 1,0"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got := shown(read(t, inModel(tt.entities))); got != tt.want {
				t.Errorf("read as %s, want %s", got, tt.want)
			}
		})
	}
}

func TestInserts(t *testing.T) {
	const block = "0 BLOCK 2 B 70 0 10 1 20 1 0 LINE 8 0 10 1 20 1 11 3 21 1 0 ENDBLK "
	const arc = "0 BLOCK 2 A 0 ARC 10 0 20 0 40 2 50 0 51 90 0 ENDBLK "
	for _, tt := range []struct{ name, blocks, entities, want string }{
		{"place and base point", block, "0 INSERT 2 B 10 5 20 5", "5,5 7,5"},
		{"names in any case", block, "0 INSERT 2 b 10 5 20 5", "5,5 7,5"},
		{"scale and turn", block, "0 INSERT 2 B 10 5 20 5 41 2 42 2 50 90", "5,5 5,9"},
		{"mirrored", arc, "0 INSERT 2 A 41 -1", "-2,0 A 0,0 2 -90 0,2"},
		{"array, not scaled, turned", block, "0 INSERT 2 B 10 0 20 0 41 2 42 2 50 90 70 2 71 2 44 10 45 5", "0,0 0,4 | 0,10 0,14 | -5,0 -5,4 | -5,10 -5,14"},
		{"nested", block + "0 BLOCK 2 C 10 0 20 0 0 INSERT 2 B 10 1 20 0 0 ENDBLK", "0 INSERT 2 C 10 0 20 10 50 90", "0,11 0,13"},
		{"a block that comes later", "0 BLOCK 2 C 0 INSERT 2 B 0 ENDBLK " + block, "0 INSERT 2 C", "0,0 2,0"},
		{"mirrored plane", block, "0 INSERT 2 B 10 5 20 5 210 0 220 0 230 -1", "-5,5 -7,5"},
		{"height of a tilted copy", "0 BLOCK 2 T 0 LINE 10 0 20 0 30 0 11 0 21 0 31 4 0 ENDBLK", "0 INSERT 2 T 210 1 220 0 230 0", "0,0 4,0"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got := shown(read(t, withBlocks(tt.blocks, tt.entities))); got != tt.want {
				t.Errorf("read as %s, want %s", got, tt.want)
			}
		})
	}
}

// What is not drawn has a note; each case also holds something that is drawn.
func TestNotes(t *testing.T) {
	const ink = "0 LINE 8 Ink 10 0 20 0 11 1 21 0 "
	for _, tt := range []struct{ name, blocks, entities, codes, message string }{
		{"nothing", "", "", "", ""},
		{"off", "", "0 LINE 8 off 11 9 0 CIRCLE 8 Off 40 1", "hidden", `2 of the drawing's entities are not drawn: the layer "Off" is switched off.`},
		{"frozen", "", "0 LINE 8 Cold 11 9", "hidden", `1 of the drawing's entities is not drawn: the layer "Cold" is frozen.`},
		{"not plotted", "", "0 LINE 8 Unplotted 11 9", "hidden", `1 of the drawing's entities is not drawn: the layer "Unplotted" is not for plotting.`},
		{"invisible", "", "0 LINE 60 1 11 9", "hidden", "1 LINE is marked as invisible and not drawn."},
		{"paper", "", "0 LINE 67 1 11 9", "paper-space", "1 of the drawing's entities is on a sheet of paper, not in the model, and not drawn."},
		{"text", "", "0 TEXT 1 Skerry 0 MTEXT 1 a 0 TEXT 1 b", "text-not-drawn text-not-drawn", "2 TEXT are not drawn; turn the text into lines in the drawing program."},
		{"hatch", "", "0 HATCH 10 0 20 0", "fill-not-drawn", "1 HATCH is not drawn: a pen fills no areas. Outlines that are drawn by themselves are there."},
		{"mesh", "", "0 POLYLINE 70 16 0 VERTEX 10 3 0 VERTEX 10 4 0 SEQEND", "solid-not-drawn", "1 POLYLINE is not drawn: it is a mesh in space."},
		{"unknown", "", "0 CONE 10 3", "entity-not-drawn", "1 CONE is not drawn: this kind of entity is not read."},
		{"no radius", "", "0 CIRCLE 10 3 40 0 0 LINE 10 5 11 5 0 LWPOLYLINE 10 5 20 5", "no-extent no-extent no-extent", "1 CIRCLE is without any extent and not drawn."},
		{"dotted", "", "0 LINE 8 Dotted 11 9 0 LINE 6 DASHED 11 9 0 LINE 8 Dotted 6 CONTINUOUS 11 9", "dashes-drawn-whole", "2 LINE are of a broken line type and drawn whole."},
		{"no number", "", "0 LINE 10 x 11 9", "entity-damaged", "1 LINE is damaged, with a value that is no number, and not drawn."},
		{"NaN", "", "0 CIRCLE 10 nan 40 1 0 CIRCLE 10 1e999 40 1", "entity-damaged", "2 CIRCLE are damaged, with a value that is no number, and not drawn."},
		{"far off", "", "0 CIRCLE 10 1e12 40 1", "out-of-range", "1 CIRCLE is farther off than 1000 km and not drawn."},
		{"too few knots", "", "0 SPLINE 71 3 40 0 40 1 10 0 10 1 10 2 10 3", "entity-damaged", "1 SPLINE is damaged, with a value that is no number, and not drawn."},
		{"weight of nothing", "", "0 SPLINE 71 1 40 0 40 0 40 1 40 1 41 1 41 0 10 0 10 1", "entity-damaged", "1 SPLINE is damaged, with a value that is no number, and not drawn."},
		{"no block", "", "0 INSERT 2 gull 0 INSERT 2 gull 0 INSERT 2 tern", "block-missing block-missing", `2 INSERT are not drawn: the file holds no block "gull".`},
		{"block elsewhere", "0 BLOCK 2 X 70 4 0 ENDBLK", "0 INSERT 2 X", "block-missing", `1 INSERT is not drawn: the block "X" stands in another file.`},
		{"block in itself", "0 BLOCK 2 X 0 INSERT 2 Y 0 ENDBLK 0 BLOCK 2 Y 0 INSERT 2 X 0 ENDBLK", "0 INSERT 2 X", "block-in-itself", `1 INSERT is not drawn: the block "X" holds itself.`},
		{"text in a block, copied", "0 BLOCK 2 X 0 TEXT 1 a 0 ENDBLK", "0 INSERT 2 X 70 3", "text-not-drawn", "1 TEXT is not drawn; turn the text into lines in the drawing program."},
		{"frozen insert", "0 BLOCK 2 X 0 LINE 8 Ink 11 5 0 ENDBLK", "0 INSERT 8 Cold 2 X", "hidden", `1 of the drawing's entities is not drawn: the layer "Cold" is frozen.`},
		{"layer 0 in an insert switched off", "0 BLOCK 2 X 0 LINE 8 0 11 5 0 ENDBLK", "0 INSERT 8 Off 2 X", "hidden", `1 of the drawing's entities is not drawn: the layer "Off" is switched off.`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			d := read(t, withBlocks(tt.blocks, ink+tt.entities))
			if got := codes(d); got != tt.codes {
				t.Errorf("notes %q, want %q", got, tt.codes)
			}
			if tt.message != "" && !slices.ContainsFunc(d.Notes, func(n paths.Note) bool { return n.Message == tt.message }) {
				t.Errorf("notes %v, want %q", d.Notes, tt.message)
			}
		})
	}
}

// Layers come from the file, and for what a block has on layer 0 from its
// insert; where all is on one, the colours are the layers.
func TestLayers(t *testing.T) {
	const blocks = "0 BLOCK 2 B 0 LINE 8 0 62 0 11 5 0 LINE 8 Ink 11 6 0 ENDBLK"
	for _, tt := range []struct{ name, entities, want string }{
		{"by layer", "0 LINE 8 Ink 11 1 0 LINE 8 Sea 11 1 0 LINE 8 ink 62 9 11 2", "Ink:red,colour 9 Sea:black or white"},
		{"by colour", "0 LINE 8 Ink 11 1 0 LINE 8 Ink 62 5 11 1 0 LINE 8 Ink 420 16711935 11 1", "red:red blue:blue #ff00ff:#ff00ff"},
		{"one layer and colour", "0 LINE 8 Ink 11 1 0 LINE 8 Ink 62 1 11 1", "Ink:red,red"},
		{"from the insert", "0 INSERT 8 Sea 62 3 2 B", "Sea:green Ink:red"},
		{"an insert that is off shows its other layers", "0 INSERT 8 Off 2 B", "Ink:red"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var list []string
			for _, l := range read(t, withBlocks(blocks, tt.entities)).Layers {
				var colours []string
				for _, s := range l.Strokes {
					colours = append(colours, s.Colour)
				}
				list = append(list, l.Name+":"+strings.Join(colours, ","))
			}
			if got := strings.Join(list, " "); got != tt.want {
				t.Errorf("layers %s, want %s", got, tt.want)
			}
		})
	}
}
