package paper

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"math"
	"testing"

	"weftplot/paths"
)

// contents returns the streams of a PDF that are compressed by zlib (RFC 1950), put out.
func contents(t *testing.T, pdf []byte) (out [][]byte) {
	t.Helper()
	for {
		_, after, found := bytes.Cut(pdf, []byte("/FlateDecode"))
		if !found {
			return out
		}
		_, after, _ = bytes.Cut(after, []byte("stream\n"))
		r, err := zlib.NewReader(bytes.NewReader(after))
		if err != nil {
			t.Fatal(err)
		}
		data, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		out, pdf = append(out, data), after
	}
}

// A large drawing is handed over in parts; the page says the same as if it were handed
// over at once.
func TestDrawingHandedOverInParts(t *testing.T) {
	var strokes []paths.Stroke
	for _, k := range strokesOn(3000, 200, 250).Ink {
		strokes = append(strokes, k.Stroke)
	}
	d := NewDoc("parts")
	d.Page(215.9, 279.4)
	d.Draw(Pen{Width: 0.3}, paths.Identity(), strokes...)
	pdf, err := d.Bytes()
	if err != nil {
		t.Fatal(err)
	}
	var whole bytes.Buffer
	appendStrokes(&whole, Pen{Width: 0.3}, paths.Identity(), strokes, func() {})
	if page := contents(t, pdf)[0]; !bytes.Contains(page, whole.Bytes()) {
		t.Errorf("the page of %d bytes does not hold the drawing of %d bytes", len(page), whole.Len())
	}
}

// Chords lie as near to a circle on the page as the pen says: their ends on it, to the
// rounding, and their middles, which are farthest off (the sagitta), within the tolerance.
func TestChordsOfAPen(t *testing.T) {
	const rounding = 0.0025 // mm: half a hundredth of a unit of PDF, in both directions
	for _, within := range []float64{0.005, 0.02, 0.1} {
		for _, radius := range []float64{0.5, 3, 40} {
			m := paths.Scale(0.15, 0.15).Then(paths.Translate(pt(100, 100)))
			var b bytes.Buffer
			appendStrokes(&b, Pen{Width: 0.3, Chords: within}, m, []paths.Stroke{{paths.Circle(pt(10, 20), radius)}}, func() {})
			var ends []paths.Point
			for line := range bytes.Lines(b.Bytes()) {
				var x, y float64
				var op string
				if n, _ := fmt.Sscan(string(line), &x, &y, &op); n == 3 && (op == "m" || op == "l") {
					ends = append(ends, pt(x, y).Mul(1/(100*PerMM)))
				} else if bytes.HasSuffix(line, []byte("c\n")) {
					t.Fatalf("a curve: %s", line)
				}
			}
			if len(ends) < 4 || ends[0] != ends[len(ends)-1] {
				t.Fatalf("%d ends, from %v", len(ends), ends[0])
			}
			centre, r := m.Apply(pt(10, 20)), 0.15*radius
			for i, q := range ends[1:] {
				if off := math.Abs(q.Dist(centre) - r); off > rounding {
					t.Errorf("within %v, radius %v: an end is %v mm off the circle", within, radius, off)
				}
				if off := r - q.Add(ends[i]).Mul(0.5).Dist(centre); off > within+rounding {
					t.Errorf("within %v, radius %v: a chord is %v mm off the circle", within, radius, off)
				}
			}
		}
	}
}
