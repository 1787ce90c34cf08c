// Package ordertest has the drawings that orders are judged by: published instances,
// sets of our own with the least travel known, and strokes of every kind.
package ordertest

import (
	"bufio"
	"embed"
	"encoding/xml"
	"fmt"
	"io"
	"path"
	"strconv"
	"strings"
	"testing"

	"weftplot/paths"
)

//go:embed testdata
var testdata embed.FS

// ReadSVG reads the straight-line elements of a file in testdata. Which way y
// points does not matter to lengths.
func ReadSVG(t testing.TB, name string) []paths.Stroke {
	t.Helper()
	f, err := testdata.Open(path.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var out []paths.Stroke
	for d := xml.NewDecoder(f); ; {
		token, err := d.Token()
		if err == io.EOF {
			return out
		}
		if err != nil {
			t.Fatal(err)
		}
		e, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		for _, a := range e.Attr {
			if a.Name.Local == "d" || a.Name.Local == "points" {
				out = append(out, polyline(t, a.Value))
			}
		}
	}
}

// polyline reads "M x y L x y ... Z" or "x,y x,y ...".
func polyline(t testing.TB, text string) paths.Stroke {
	t.Helper()
	var nums []float64
	closed := false
	for _, w := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == ',' }) {
		if w == "Z" {
			closed = true
			continue
		}
		v, err := strconv.ParseFloat(strings.TrimLeft(w, "ML"), 64)
		if err != nil {
			t.Fatal(err)
		}
		nums = append(nums, v)
	}
	var pts []paths.Point
	for i := 0; i+1 < len(nums); i += 2 {
		pts = append(pts, pt(nums[i], nums[i+1]))
	}
	if closed {
		pts = append(pts, pts[0])
	}
	return paths.Polyline(pts...)
}

// ReadTSP reads the cities of a TSPLIB file in testdata.
func ReadTSP(t testing.TB, name string) []paths.Point {
	t.Helper()
	f, err := testdata.Open(path.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var out []paths.Point
	for s := bufio.NewScanner(f); s.Scan(); {
		var id int
		var p paths.Point
		if n, _ := fmt.Sscan(s.Text(), &id, &p.X, &p.Y); n == 3 {
			out = append(out, p)
		}
	}
	return out
}

// Dots returns the cities as dots, all but the first, which is home, seen from
// there.
func Dots(cities []paths.Point) []paths.Stroke {
	out := make([]paths.Stroke, 0, len(cities))
	for _, c := range cities[1:] {
		out = append(out, paths.Polyline(c.Sub(cities[0])))
	}
	return out
}
