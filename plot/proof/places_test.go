package proof

import (
	"fmt"
	"image"
	"math"
	"strings"
	"testing"

	"weftplot/paths"
)

// scanScene is a picture of 60 x 40 mm, five pixels to the mm, of a ring and a
// bar, with the lines found in it a little short and places of every kind.
func scanScene() Scene {
	img := image.NewGray(image.Rect(0, 0, 300, 200))
	for i := range img.Pix {
		x, y := float64(i%300)/5+0.1, 40-float64(i/300)/5-0.1
		v := 30 - int(x/12)
		if d := math.Abs(math.Hypot(x-20, y-20) - 12); d < 0.6 || x > 40 && x < 55 && math.Abs(y-10) < 0.6 {
			v = 14
		}
		img.Pix[i] = uint8(v * 255 / (greys - 1)) // a grey that is stored exactly
	}
	bar, bit := paths.Polyline(pt(41, 10), pt(54, 10)), paths.Polyline(pt(50, 20), pt(55, 22))
	s := Scene{
		Title: "ring and bar", Side: "the drawing as it lies on the paper", NoDirection: true,
		Picture: &Picture{img, rect(0, 0, 60, 40)},
		Ink: []Ink{
			{Stroke: paths.Stroke{paths.Circle(pt(20, 20), 12)}, Colour: "#d55e00", Pen: "line found"},
			{Stroke: bar, Colour: "#d55e00", Pen: "line found"},
		},
	}
	for sign := Ring; sign <= Spot; sign++ {
		s.Places = append(s.Places, Places{
			Label: fmt.Sprint("kind ", int(sign)), Sign: sign,
			At: []paths.Point{pt(5+8*float64(sign), 36), pt(5+8*float64(sign), 4)}, Strokes: []paths.Stroke{bit}[:int(sign)%2],
		})
	}
	return s
}

// TestPictureLiesUnderTheLines looks at pixels of the proof: those of the picture
// are where its box says, and the lines on them.
func TestPictureLiesUnderTheLines(t *testing.T) {
	s := scanScene()
	ink, places := s.Ink, s.Places
	s.Ink, s.Places = nil, nil
	const width = 2000
	bare := pageOf(t, s, width)
	s.Ink, s.Places = ink, places
	inked := pageOf(t, s, width)
	for _, c := range []struct {
		name  string
		at    paths.Point
		grey  float64 // of the picture
		lined bool
	}{
		{"the ring at its right", pt(32, 20), 14. / 31, true},
		{"the ring at its top", pt(20, 32), 14. / 31, true},
		{"inside the ring", pt(20, 20), 29. / 31, false},
		{"the bar", pt(50, 10), 14. / 31, true},
		{"the end of the bar, past its line", pt(54.6, 10), 14. / 31, false},
		{"beside the bar", pt(50, 12), 26. / 31, false},
	} {
		r, g, b, _ := bare.at(c.at)
		if r != g || g != b || math.Abs(float64(r)/255-c.grey) > 0.02 {
			t.Errorf("%s: %d %d %d, want grey %.2f", c.name, r, g, b, c.grey)
		}
		r, _, b, _ = inked.at(c.at)
		if lined := r > b+60; lined != c.lined {
			t.Errorf("%s: %d red and %d blue, lined should be %v", c.name, r, b, c.lined)
		}
	}
	data, err := SVG(s)
	if err != nil {
		t.Fatal(err)
	}
	said := allText(textBoxes(t, parseXML(t, data)))
	for _, want := range []string{"line found", "kind 0: 2", "kind 5: 2"} {
		if !strings.Contains(said, want) {
			t.Errorf("the legend does not say %q", want)
		}
	}
}

// page is a proof in pixels, looked up by places of its scene.
type page struct {
	img    image.Image
	toPage paths.Affine
}

func pageOf(t *testing.T, s Scene, width int) page {
	t.Helper()
	data, err := PNG(s, width)
	if err != nil {
		t.Fatal(err)
	}
	pic, err := drawScene(s, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range pic.nodes {
		if g, ok := n.(*group); ok && g.id == "drawing" {
			k := float64(width) / pic.w
			return page{decode(t, data), g.at.Then(paths.Scale(k, k))}
		}
	}
	t.Fatal("the picture has no drawing")
	return page{}
}

func (p page) at(q paths.Point) (r, g, b, a int) {
	q = p.toPage.Apply(q)
	cr, cg, cb, ca := p.img.At(int(q.X), int(q.Y)).RGBA()
	return int(cr >> 8), int(cg >> 8), int(cb >> 8), int(ca >> 8)
}

func TestPictureWithoutPixelsIsRefused(t *testing.T) {
	for name, p := range map[string]*Picture{
		"no image": {nil, rect(0, 0, 1, 1)}, "no pixels": {image.NewGray(image.Rectangle{}), rect(0, 0, 1, 1)},
		"no box": {image.NewGray(image.Rect(0, 0, 2, 2)), paths.EmptyRect()},
		"far":    {image.NewGray(image.Rect(0, 0, 2, 2)), rect(0, 0, math.Inf(1), 1)},
	} {
		if _, err := SVG(Scene{Picture: p}); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}
