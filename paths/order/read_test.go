package order

import (
	"bufio"
	"encoding/xml"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"weftplot/paths"
)

// readSVG reads the straight-line elements of a file in testdata. Which way y
// points does not matter to lengths.
func readSVG(t testing.TB, name string) []paths.Stroke {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name))
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

// readTSP reads the cities of a TSPLIB file in testdata.
func readTSP(t testing.TB, name string) []paths.Point {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name))
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

// dots returns the cities as dots, all but the first, which is home, seen from
// there.
func dots(cities []paths.Point) []paths.Stroke {
	out := make([]paths.Stroke, 0, len(cities))
	for _, c := range cities[1:] {
		out = append(out, paths.Polyline(c.Sub(cities[0])))
	}
	return out
}
