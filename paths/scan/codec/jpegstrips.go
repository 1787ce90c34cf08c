package codec

import (
	"bytes"
	"errors"
	"image"
	"image/draw"
	"image/jpeg"
)

// JPEGPieces are a TIFF picture whose strips or tiles are JPEG data (TIFF
// Technical Note 2, 1995).
type JPEGPieces struct {
	W, H     int      // of the picture, pixels
	PW, PH   int      // of a piece; the last ones may be larger than what is left
	Tables   []byte   // tables that the pieces share, as a JPEG file without a picture; may be empty
	Pieces   [][]byte // from the top left, row by row
	Coloured bool     // the samples are red, green and blue as they are
	Inverted bool     // white is 0
}

// Decode puts the pieces together.
func (j JPEGPieces) Decode() (image.Image, error) {
	across := (j.W + j.PW - 1) / j.PW
	grey := image.NewGray(image.Rect(0, 0, j.W, j.H))
	var out draw.Image = grey
	for i, data := range j.Pieces {
		whole := j.file(data)
		conf, err := jpeg.DecodeConfig(bytes.NewReader(whole))
		if err != nil {
			return nil, err
		}
		if conf.Width > j.PW || conf.Height > j.PH+16 {
			return nil, errors.New("a piece is larger than it should be")
		}
		img, err := jpeg.Decode(bytes.NewReader(whole))
		if err != nil {
			return nil, err
		}
		if _, ok := img.(*image.Gray); !ok && i == 0 {
			out = image.NewNRGBA(grey.Rect)
		}
		at := image.Pt(i%across*j.PW, i/across*j.PH)
		draw.Draw(out, img.Bounds().Add(at), img, image.Point{}, draw.Src)
	}
	if j.Inverted && out == draw.Image(grey) {
		for i, v := range grey.Pix {
			grey.Pix[i] = 255 - v
		}
	}
	return out, nil
}

// file makes a JPEG file of a piece: the shared tables come before its own, and
// where its samples are red, green and blue a marker says so.
func (j JPEGPieces) file(data []byte) []byte {
	start, end := []byte{0xff, 0xd8}, []byte{0xff, 0xd9}
	out := bytes.Clone(start)
	if j.Coloured {
		out = append(out, "\xff\xee\x00\x0eAdobe\x00\x64\x00\x00\x00\x00\x00"...) // its transform is none
	}
	out = append(out, bytes.TrimSuffix(bytes.TrimPrefix(j.Tables, start), end)...)
	return append(out, bytes.TrimPrefix(data, start)...)
}
