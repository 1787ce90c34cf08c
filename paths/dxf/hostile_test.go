package dxf

import (
	"flag"
	"fmt"
	"slices"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/bounded/boundedtest"
)

var thorough = flag.Bool("thorough", false, "try hostile files, too, that meet a limit as another file does, or none as it does")

// sisters meet the same limit as another hostile file does, or none, as it does.
var sisters = []string{"two million old vertices", "a million entities", "a million empty blocks"}

// hostile are files that ask for too much, or hold nothing, with how the
// reading must end: the beginning of the fault, or "" when it must succeed.
func hostile() []struct{ name, file, fault string } {
	const line = "0\nLINE\n8\n0\n10\n0\n20\n0\n11\n1\n21\n0\n"
	head, foot := pairs("0 SECTION 2 HEADER 9 $INSUNITS 70 4 0 ENDSEC 0 SECTION 2 ENTITIES"), pairs("0 ENDSEC 0 EOF")
	blocks := func(body string) string {
		return pairs("0 SECTION 2 HEADER 9 $INSUNITS 70 4 0 ENDSEC 0 SECTION 2 BLOCKS") + body + pairs("0 ENDSEC 0 SECTION 2 ENTITIES")
	}
	tower, empty := towers(line)
	var deep strings.Builder
	for i := range 50_000 {
		deep.WriteString(pairs(fmt.Sprintf("0 BLOCK 2 D%d 0 INSERT 2 D%d 0 ENDBLK", i, i+1)))
	}
	var heavy strings.Builder
	heavy.WriteString("0\nSPLINE\n71\n25\n")
	for i := range 30_000 {
		fmt.Fprintf(&heavy, "40\n%d\n10\n%d\n20\n%d\n41\n%d\n", i, i%97, i%89, 1+i%3)
	}
	for i := range 26 {
		fmt.Fprintf(&heavy, "40\n%d\n", 30_000+i)
	}
	return []struct{ name, file, fault string }{
		{"empty", "", "t.dxf: the file is empty"},
		{"blank", " \n\r\n", "t.dxf: the file is empty"},
		{"words", "Dear Morag,\nthe wool has come.\n", "t.dxf: it is not DXF"},
		{"SVG", "<svg/>", "t.dxf: it is not DXF"},
		{"bytes", "\x89PNG\r\n\x1a\n\x00\x00", "t.dxf: it is not DXF"},
		{"binary form", binarySign + "\r\n\x1a\x00\x00\x00SECTION", "t.dxf: it is the binary form of DXF"},
		{"two bytes a letter", "\xff\xfe0\x00\n\x00", "t.dxf: it is text of two bytes a letter"},
		{"nothing in it", head + foot, "t.dxf: it holds no line work"},
		{"only text", head + pairs("0 TEXT 1 Skerry") + foot, "t.dxf: it holds no line work"},
		{"cut short", (head + line + foot)[:100], "t.dxf, line"},
		{"cut after a pair", head + line, "t.dxf, line 26: the file is cut short"},
		{"cut within a pair", head + line + "10\n", "t.dxf, line 27: the file is cut short"},
		{"askew", head + line + "0\n" + line + foot, "t.dxf, line 29: a group code was expected, and here stands \"LINE\""},
		{"no end of a section", head + line + pairs("0 EOF"), ""},
		{"no number", head + line + pairs("0 CIRCLE 10 NaN 40 1 0 CIRCLE 10 Inf 40 1 0 CIRCLE 10 1e999 40 1 0 CIRCLE 10 0x1p9 40 0x1") + foot, ""},
		{"huge numbers", head + line + pairs("0 CIRCLE 10 1e300 40 1e300 0 LINE 11 1e308 21 -1e308 0 LWPOLYLINE 10 0 20 0 42 1e300 10 5 20 5 0 ELLIPSE 10 0 20 0 11 1e300 21 1e300 40 1e300 0 SPLINE 71 3 11 1e300 21 0 11 0 21 1e300 11 0 21 0") + foot, ""},
		{"tiny numbers", head + line + pairs("0 CIRCLE 10 0 40 1e-300 0 ELLIPSE 11 1e-300 40 1e-300 0 LWPOLYLINE 10 0 20 0 42 1e-300 10 5 20 5 0 SPLINE 71 3 11 1e-300 21 0 11 0 21 1e-300 11 0 21 0") + foot, ""},
		{"insert bomb", blocks(tower) + pairs("0 INSERT 2 B9") + foot, "t.dxf, line 61, INSERT: inserts make more than 100000 copies"},
		{"insert bomb of nothing", blocks(empty) + pairs("0 INSERT 2 B9") + foot, "t.dxf, line"},
		{"array without end", blocks(pairs("0 BLOCK 2 B0")+line+pairs("0 ENDBLK")) + pairs("0 INSERT 2 B0 70 32767 71 32767 44 1 45 1") + foot, "t.dxf, line 39, INSERT: inserts make more than 100000 copies"},
		{"array beyond counting", blocks(pairs("0 BLOCK 2 B0 0 ENDBLK")) + line + pairs("0 INSERT 2 B0 70 1e18 71 -5") + foot, ""},
		{"a block of twenty thousand, often", blocks(pairs("0 BLOCK 2 B0")+strings.Repeat(line, 20_000)+pairs("0 ENDBLK")) + pairs("0 INSERT 2 B0 70 1000") + foot, "t.dxf, line"},
		{"blocks 50,000 deep", blocks(deep.String()) + pairs("0 INSERT 2 D0") + foot, "t.dxf, line"},
		{"a block in itself", blocks(pairs("0 BLOCK 2 B0 0 INSERT 2 B0 70 999 71 999 0 ENDBLK")) + line + pairs("0 INSERT 2 B0") + foot, ""},
		{"scales beyond numbers", blocks(pairs("0 BLOCK 2 B0")+line+pairs("0 ENDBLK 0 BLOCK 2 B1 0 INSERT 2 B0 41 1e200 42 1e200 0 ENDBLK")) + line + pairs("0 INSERT 2 B1 41 1e200 42 1e200 50 1e17 0 INSERT 2 B0 41 0 42 0") + foot, ""},
		{"a million entities", head + strings.Repeat(pairs("0 POINT"), 1_000_000) + foot, "t.dxf, line"},
		{"four million half vertices", head + pairs("0 LWPOLYLINE") + strings.Repeat("10\n1\n", 4_100_000) + foot, "t.dxf, line 15, LWPOLYLINE: one entity has more than 4000000 groups"},
		{"two million vertices", head + pairs("0 LWPOLYLINE") + strings.Repeat("10\n1\n20\n2\n", 1_900_000) + foot, "t.dxf, line 15, LWPOLYLINE: the drawing has more than 1000000 pieces"},
		{"two million old vertices", head + pairs("0 POLYLINE") + strings.Repeat("0\nVERTEX\n10\n1\n", 2_000_000) + foot, "t.dxf, line 4000017, VERTEX: the drawing has more than 1000000 pieces"},
		{"longer than is read", head + strings.Repeat(" ", 33<<20), "t.dxf: the file is longer than 33554432 bytes"},
		{"one long line", head + "8\n" + strings.Repeat("x", 20<<20) + "\n" + line + foot, ""},
		{"a million empty blocks", blocks(strings.Repeat(pairs("0 BLOCK 2 B 0 ENDBLK"), 1_000_000)) + line + foot, ""},
		{"a million layers off", head[:0] + pairs("0 SECTION 2 HEADER 9 $INSUNITS 70 4 0 ENDSEC 0 SECTION 2 TABLES") + manyLayers(200_000) + pairs("0 ENDSEC 0 SECTION 2 ENTITIES") + line + onLayers(200_000) + foot, ""},
		{"a layer for each line", head + onLayers(5000) + foot, "t.dxf, line 4015, POINT: the drawing has more than 1000 layers"},
		{"splines of high degree", head + heavy.String() + foot, "t.dxf, line 15, SPLINE: the splines are too many and of too high a degree"},
		{"spline of degree a million", head + line + pairs("0 SPLINE 71 1000000 40 0 40 1 10 0 10 1") + foot, ""},
		{"weights far apart", head + pairs("0 SPLINE 71 2 40 0 40 0 40 0 40 1 40 1 40 1 41 1e-9 41 1e9 41 1e-9 10 0 20 0 10 3 20 3 10 6 20 0") + foot, ""},
	}
}

// towers are blocks of ten inserts of the block before, ten high: one on a line, one
// on nothing.
func towers(line string) (tower, empty string) {
	tower = pairs("0 BLOCK 2 B0") + line + pairs("0 ENDBLK")
	empty = pairs("0 BLOCK 2 B0 0 ENDBLK")
	for i := 1; i < 10; i++ {
		level := pairs(fmt.Sprintf("0 BLOCK 2 B%d", i)) + strings.Repeat(pairs(fmt.Sprintf("0 INSERT 2 B%d", i-1)), 10) + pairs("0 ENDBLK")
		tower += level
		empty += level
	}
	return tower, empty
}

func manyLayers(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "0\nLAYER\n2\nL%d\n62\n-1\n", i)
	}
	return b.String()
}

func onLayers(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "0\nPOINT\n8\nL%d\n", i)
	}
	return b.String()
}

// Each is read soon and within bounded memory, or refused with an error in
// words.
func TestHostileFiles(t *testing.T) {
	for _, tt := range hostile() {
		t.Run(tt.name, func(t *testing.T) {
			if !*thorough && slices.Contains(sisters, tt.name) {
				t.Skip("-thorough tries it")
			}
			var d paths.Design
			var err error
			boundedtest.Memory(t, func() {
				d, err = Read("t.dxf", []byte(tt.file), Options{})
			})
			switch {
			case tt.fault == "" && err != nil:
				t.Errorf("fault %q, want none", err)
			case tt.fault != "" && err == nil:
				t.Errorf("read as %.200s, want the fault %q", shown(d), tt.fault)
			case err != nil:
				if f := boundedtest.Fault(t, err); !strings.HasPrefix(f.Error(), tt.fault) || f.Do == "" {
					t.Errorf("fault %q (do: %q), want %q", f, f.Do, tt.fault)
				}
			default:
				checkDesign(t, d)
			}
		})
	}
}
