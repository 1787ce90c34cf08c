package raster_test

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"

	"weftplot/paths/scan/raster"
)

func ExampleDecode() {
	// A line on white, 200 x 100 pixels.
	img := image.NewGray(image.Rect(0, 0, 200, 100))
	for i := range img.Pix {
		img.Pix[i] = 255
	}
	for x := 20; x < 180; x++ {
		img.SetGray(x, 50, color.Gray{Y: 30})
	}
	var file bytes.Buffer
	if err := png.Encode(&file, img); err != nil {
		fmt.Println(err)
		return
	}
	_, _, err := raster.Decode("wake.png", file.Bytes(), raster.Options{})
	fmt.Println(err)
	page, src, err := raster.Decode("wake.png", file.Bytes(), raster.Options{DPI: [2]float64{200, 200}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s: %d x %d pixels of %.3f mm; the size is from %s\n", src.Format, page.W, page.H, page.MM, src.SizeFrom)
	// Output:
	// wake.png: the file does not say how large the drawing is
	// PNG: 200 x 100 pixels of 0.127 mm; the size is from 200 pixels an inch, as asked
}
