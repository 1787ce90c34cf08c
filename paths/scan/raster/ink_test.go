package raster

import (
	"image"
	"image/color"
	"testing"

	"weftplot/paths"
)

// TestInks draws a bar of each ink, as its light on white paper of a warm tone, and
// picks them one by one, by name and by pointing, in an upright and in a turned picture.
func TestInks(t *testing.T) {
	bars := []struct {
		name string
		c    color.RGBA
	}{
		{"dark", color.RGBA{40, 38, 36, 255}}, {"pencil", color.RGBA{140, 138, 132, 255}},
		{"red", color.RGBA{205, 50, 45, 255}}, {"blue", color.RGBA{50, 75, 170, 255}}, {"green", color.RGBA{40, 140, 70, 255}},
	}
	img := image.NewRGBA(image.Rect(0, 0, 20*len(bars), 40))
	for y := range 40 {
		for x := range 20 * len(bars) {
			img.SetRGBA(x, y, color.RGBA{250, 247, 236, 255})
			if x%20 >= 8 && x%20 < 12 && y >= 5 && y < 35 {
				img.SetRGBA(x, y, bars[x/20].c)
			}
		}
	}
	grey := map[string]bool{"dark": true, "pencil": true}
	for i, b := range bars {
		named, err := InkNamed(b.name)
		if err != nil {
			t.Fatal(err)
		}
		for how, k := range map[string]Ink{"named": named, "pointed at": InkAt(paths.Point{X: float64(20*i + 10), Y: 20})} {
			g, err := k.only(img, 1)
			if err != nil {
				t.Errorf("%s %s: %v", b.name, how, err)
				continue
			}
			for j, o := range bars {
				dark := g.pix[20*g.w+20*j+10] < 200
				if want := i == j || grey[b.name] && grey[o.name]; dark != want {
					t.Errorf("%s %s: the bar of %s has light %d", b.name, how, o.name, g.pix[20*g.w+20*j+10])
				}
			}
		}
	}
	// In a picture turned half round, the place is that of the upright one.
	g, err := InkAt(paths.Point{X: float64(img.Rect.Dx() - 1 - 50), Y: 20}).only(img, 3)
	if err != nil || g.pix[20*g.w+50] > 200 || g.pix[20*g.w+10] < 200 {
		t.Errorf("pointed at in a turned picture: %v", err)
	}
	if _, err := InkAt(paths.Point{X: 1, Y: 1}).only(img, 1); err == nil {
		t.Error("bare paper is an ink")
	}
	if _, err := InkNamed("teal"); err == nil {
		t.Error("teal is an ink")
	}
}
