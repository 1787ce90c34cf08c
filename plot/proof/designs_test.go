package proof

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/join"
	"weftplot/paths/order"
	"weftplot/paths/svg"
)

// designScene reads a design, mirrors it and shows it as a pen would draw it.
func designScene(t *testing.T, file string) Scene {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	d, err := svg.Read(file, data, svg.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if !d.HasSize || len(d.Notes) > 0 {
		t.Errorf("%s: has a size: %v; notes: %v", file, d.HasSize, d.Notes)
	}
	b := d.Bounds()
	rug := rect(0, 0, b.Width()+20, b.Height()+20)
	d = d.Transform(paths.Translate(pt(10, 10).Sub(b.Min)).Then(paths.MirrorX(rug.Centre().X)))
	layerAt := map[paths.Point]string{}
	groups := [][]paths.Stroke{{Outline(rug)}}
	var lines []paths.Stroke
	for _, l := range d.Layers {
		for _, s := range l.Strokes {
			lines = append(lines, s.Stroke)
			layerAt[s.Stroke.Start()] = l.Name
		}
	}
	joined, _, _ := join.Strokes(lines, join.Options{})
	groups = append(groups, joined)
	home := rug.Min.Sub(pt(150, 150))
	best, err := order.Order(groups, order.Options{Home: home, Park: home, Effort: order.Quick})
	if err != nil {
		t.Fatal(err)
	}
	s := Scene{
		Title:    strings.TrimSuffix(filepath.Base(file), ".svg"),
		Side:     "the back of the rug, as the pen draws it: mirrored",
		Captions: []string{"finished size " + paths.Length(rug.Width()).Both() + " x " + paths.Length(rug.Height()).Both()},
		Rug:      Outline(rug), Backing: Outline(rug.Grow(101.6)),
		Weave: grid(rug, rug.Min, 25.4/12, 25.4/13),
	}
	for i, p := range best.Placed {
		k := Ink{Stroke: p.Stroke, Colour: "#1a1a1a", Width: 0.8, Layer: layerAt[p.Stroke.Start()], Pen: "fine-marker"}
		if i == 0 {
			k.Layer, k.Pen, k.Colour = "border", "soft-pencil", "#56616b"
		}
		s.Ink = append(s.Ink, k)
	}
	s.Travel = travels(home, s.Ink)
	start, end := s.Ink[0].Stroke.Start(), s.Ink[len(s.Ink)-1].Stroke.End()
	s.Start, s.End = &start, &end
	return s
}

// TestDesigns lays out our own designs and checks their text.
func TestDesigns(t *testing.T) {
	files, err := filepath.Glob("../../testdata/designs/*.svg")
	if err != nil || len(files) == 0 {
		t.Fatalf("no designs: %v", err)
	}
	for _, f := range append(files, "../../cmd/weftplot/demo/lighthouse-mat.svg") {
		if strings.HasPrefix(filepath.Base(f), "feature-") {
			continue
		}
		t.Run(filepath.Base(f), func(t *testing.T) {
			s := designScene(t, f)
			checkText(t, s)
			if *pictures != "" {
				writePictures(t, s.Title, s)
			}
		})
	}
}
