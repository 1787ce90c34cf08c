package letters

import (
	"flag"
	"math"
	"os"
	"path/filepath"
	"testing"

	"weftplot/paths"
	"weftplot/paths/svg"
)

var specimenDir = flag.String("specimen", "", "a folder to write a specimen sheet of each alphabet to")

// TestSpecimen makes the sheets: every alphabet is shown at every height of them.
func TestSpecimen(t *testing.T) {
	for _, a := range alphabets() {
		d, err := Specimen(a, monks, 0.8)
		if err != nil {
			t.Fatal(err)
		}
		if len(d.Layers) != len(SpecimenHeights) {
			t.Errorf("%s is shown at %d heights", a.Name(), len(d.Layers))
		}
		for i, l := range d.Layers[1:] {
			if above := d.Layers[i]; bottom(above.Strokes) <= top(l.Strokes) {
				t.Errorf("%s: %q runs into %q", a.Name(), above.Name, l.Name)
			}
		}
		if *specimenDir != "" {
			if err := os.WriteFile(filepath.Join(*specimenDir, a.Name()+".svg"), svg.Write(d), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// TestDesignReadsBack: a design written as SVG and read again lies in the same
// channels.
func TestDesignReadsBack(t *testing.T) {
	text := setOf(t, "Harbour\nMill, 1924", Options{Height: 11})
	d, err := svg.Read("word.svg", svg.Write(text.Design("word", monks, 0.8)), svg.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(d.Notes) != 0 || !d.HasSize {
		t.Errorf("read back with notes %v, with a size: %v", d.Notes, d.HasSize)
	}
	read := 0
	for _, s := range d.Strokes() {
		for _, c := range s {
			l, ok := c.(paths.Line)
			if !ok {
				continue
			}
			p, q := monks.PlaceOf(l.A), monks.PlaceOf(l.B)
			const near = 1e-3 // channels; a file has mm to a ten-thousandth
			for _, v := range [][2]float64{{p.Across, q.Across}, {p.Along, q.Along}} {
				if math.Abs(v[0]-v[1]) > near {
					continue
				}
				read++
				if math.Abs(v[0]-math.Round(v[0])) > near {
					t.Errorf("a straight is read back at channel %g", v[0])
				}
			}
		}
	}
	if read != len(text.Straights) {
		t.Errorf("%d straights lie in channels when read back, %d were written", read, len(text.Straights))
	}
}

func bottom(strokes []paths.DesignStroke) float64 { return boundsOf(strokes).Min.Y }
func top(strokes []paths.DesignStroke) float64    { return boundsOf(strokes).Max.Y }

func boundsOf(strokes []paths.DesignStroke) paths.Rect {
	r := paths.EmptyRect()
	for _, s := range strokes {
		r = r.Union(s.Bounds())
	}
	return r
}
