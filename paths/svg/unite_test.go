package svg

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"weftplot/paths"
)

func united(t *testing.T, body string, skip ...string) paths.Design {
	t.Helper()
	d, err := Read("test.svg", []byte(inPage(body)), Options{Unite: true, Skip: skip})
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range d.Strokes() {
		if err := s.Validate(); err != nil {
			t.Fatal(err)
		}
	}
	return d
}

// What is drawn of filled shapes that lie over one another; the lengths are
// those of elementary geometry.
func TestUnite(t *testing.T) {
	for _, tt := range []struct {
		name, body string
		strokes    int
		length     float64
	}{
		{"squares of one colour", `<rect width="10" height="10"/><rect x="5" y="5" width="10" height="10"/>`, 1, 60},
		{"colours written in two ways", `<rect width="10" height="10" fill="red"/><rect x="5" y="5" width="10" height="10" fill="#F00"/>`, 1, 60},
		{"squares of two colours", `<rect width="10" height="10"/><rect x="5" y="5" width="10" height="10" fill="red"/>`, 2, 70},
		{"a pupil in an eye", `<circle cx="50" cy="50" r="30"/><circle cx="50" cy="50" r="20" fill="white"/><circle cx="50" cy="50" r="10"/>`, 3, 120 * math.Pi},
		{"under a shape seen through", `<rect width="10" height="10"/><rect x="5" y="5" width="10" height="10" fill="red" fill-opacity=".5"/>`, 2, 80},
		{"under a group seen through", `<rect width="10" height="10"/><g opacity=".5"><rect x="5" y="5" width="10" height="10" fill="red"/></g>`, 2, 80},
		{"under a colour seen through", `<rect width="10" height="10"/><rect x="5" y="5" width="10" height="10" fill="#f008"/>`, 2, 80},
		{"under the fill of a stroked shape", `<rect width="10" height="10"/><rect x="5" y="5" width="10" height="10" fill="white" stroke="red"/>`, 2, 70},
		{"a stroke stays whole", `<rect width="10" height="10" fill="white" stroke="red"/><rect x="5" y="5" width="10" height="10"/>`, 2, 80},
		{"even-odd", `<path fill-rule="evenodd" d="M0 0h30v30h-30zM10 10h10v10h-10z"/>`, 2, 160},
		{"nonzero", `<path d="M0 0h30v30h-30zM10 10h10v10h-10z"/>`, 1, 120},
		{"side by side", `<rect width="10" height="10"/><rect x="10" width="10" height="10"/>`, 1, 60},
		{"clipped", `<clipPath id="c"><rect width="10" height="20"/></clipPath><rect width="20" height="20" fill="red"/><rect clip-path="url(#c)" y="5" width="20" height="10"/>`, 2, 80 + 30},
		{"other layers apart", `<g id="a"><rect width="10" height="10"/></g><g id="b"><rect x="5" y="5" width="10" height="10"/></g>`, 2, 60},
		{"a copied shape", `<rect id="r" width="10" height="10"/><use href="#r" x="5" y="5"/>`, 1, 60},
	} {
		t.Run(tt.name, func(t *testing.T) {
			d := united(t, tt.body)
			if l := paths.LengthOf(d.Strokes()); len(d.Strokes()) != tt.strokes || math.Abs(l-tt.length) > 1e-3 {
				t.Errorf("%d strokes, %.4f mm; want %d, %.4f mm: %s", len(d.Strokes()), l, tt.strokes, tt.length, shown(d))
			}
			if !strings.Contains(codes(d), "fills-united") {
				t.Errorf("notes %s, want fills-united", codes(d))
			}
		})
	}
}

func TestUniteKeepsCircles(t *testing.T) {
	d := united(t, `<circle cx="40" cy="50" r="20"/><circle cx="60" cy="50" r="20"/><circle cx="10" cy="10" r="5"/>`)
	for _, s := range d.Strokes() {
		for _, c := range s {
			if a, ok := c.(paths.Arc); !ok || math.Abs(a.Radius()-20) > 1e-9 && math.Abs(a.Radius()-5) > 1e-9 {
				t.Errorf("a circle became %T %v", c, c)
			}
		}
	}
	if got := len(d.Strokes()); got != 2 || len(d.Strokes()[0])+len(d.Strokes()[1]) != 3 {
		t.Errorf("%d strokes: %s, want two arcs and a circle", got, shown(d))
	}
}

// A layer that is left out hides nothing.
func TestUniteSkips(t *testing.T) {
	body := `<g id="a"><rect width="10" height="10"/></g><g id="b"><rect x="-5" y="-5" width="50" height="50"/></g>`
	if d := united(t, body); len(d.Layers) != 1 || d.Layers[0].Name != "b" || !strings.Contains(d.Notes[0].Message+d.Notes[1].Message, "1 of them lies wholly") {
		t.Errorf("layers %+v, notes %+v", d.Layers, d.Notes)
	}
	if d := united(t, body, "b"); len(d.Layers) != 2 || d.Layers[0].Name != "a" {
		t.Errorf("without b: layers %+v", d.Layers)
	}
}

func TestUniteGivesUpInWords(t *testing.T) {
	var b strings.Builder
	for k := range 700 {
		fmt.Fprintf(&b, `<path d="M0 %g`, float64(k)/100)
		for i := range 60 {
			if i%2 == 0 {
				b.WriteString("L100 90")
			} else {
				b.WriteString("L1 3")
			}
		}
		b.WriteString(`z"/>`)
	}
	d := united(t, b.String())
	if !strings.Contains(codes(d), "fills-not-united") {
		t.Errorf("notes %s, want fills-not-united", codes(d))
	}
}

// Uniting tells how far it is, in rising numbers, and takes most of what is told.
func TestUniteTellsProgress(t *testing.T) {
	var b strings.Builder
	for i := range 400 {
		fmt.Fprintf(&b, `<circle cx="%d" cy="%d" r="7"/>`, 10+i*37%80, 10+i*53%80)
	}
	var told []int
	_, err := Read("test.svg", []byte(inPage(b.String())), Options{Unite: true, Progress: func(done, total int) {
		if total != readingParts || len(told) > 0 && done <= told[len(told)-1] {
			t.Errorf("told %d of %d after %v", done, total, told)
		}
		told = append(told, done)
	}})
	if err != nil {
		t.Fatal(err)
	}
	late := 0
	for _, done := range told {
		if float64(done) > (1-uniting)*readingParts {
			late++
		}
	}
	if last := told[len(told)-1]; last != readingParts || late < 100 {
		t.Errorf("told %d times while uniting and %d at last, want 100 times or more and %d", late, last, readingParts)
	}
}
