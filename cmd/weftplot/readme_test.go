package main

import (
	"bytes"
	"context"
	"flag"
	"image"
	"image/png"
	"os"
	"testing"

	"weftplot/cmd/weftplot/terminal"
	"weftplot/plot/proof"
	"weftplot/plot/report"
)

var update = flag.Bool("update", false, "rewrite the README's picture")

const readmePicture = "../../testdata/lighthouse-mat.png"

// The README's picture is the demo's proof as this tree makes it.
func TestReadmePicture(t *testing.T) {
	made, err := makeJob(context.Background(), func(string, int) ([]byte, error) { return demoDesign, nil }, demoSettings(), &terminal.Progress{})
	if err != nil {
		t.Fatal(err)
	}
	got, err := proof.PNG(report.DrawnScene(made.job, made.report), 900)
	if err != nil {
		t.Fatal(err)
	}
	if *update {
		if err := os.WriteFile(readmePicture, got, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(readmePicture)
	if err != nil {
		t.Fatal(err)
	}
	if d := difference(t, got, want); d > 2 { // an order that differs moves arrowheads
		t.Errorf("the picture differs by %.2f of 255 a pixel; look at it and rewrite it with -update", d)
	}
}

// difference returns the mean difference of two pictures' values, of 255.
func difference(t *testing.T, a, b []byte) float64 {
	var img [2]image.Image
	for i, data := range [][]byte{a, b} {
		var err error
		if img[i], err = png.Decode(bytes.NewReader(data)); err != nil {
			t.Fatal(err)
		}
	}
	r := img[0].Bounds()
	if r != img[1].Bounds() {
		t.Fatalf("the pictures are %v and %v", r, img[1].Bounds())
	}
	var sum float64
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			r0, g0, b0, _ := img[0].At(x, y).RGBA()
			r1, g1, b1, _ := img[1].At(x, y).RGBA()
			for _, v := range [][2]uint32{{r0, r1}, {g0, g1}, {b0, b1}} {
				d := float64(v[0]) - float64(v[1])
				sum += max(d, -d) / 257
			}
		}
	}
	return sum / float64(3*r.Dx()*r.Dy())
}
