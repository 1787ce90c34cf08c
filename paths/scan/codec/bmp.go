package codec

import (
	"bytes"
	"encoding/binary"
	"image"
	"io"

	"golang.org/x/image/bmp"
)

func isBMP(data []byte) bool {
	return bytes.HasPrefix(data, []byte("BM")) && len(data) >= 18 && data[15] == 0 && data[16] == 0 && data[17] == 0
}

// openBMP opens a BMP. Its rows are not packed, so that its size can be held
// against that of the file; the resolution is two numbers of pixels a metre at
// byte 38 (the form BITMAPINFOHEADER; from memory).
func openBMP(data []byte, page int) (*Picture, error) {
	conf, err := bmp.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return nil, err
	}
	if page != 1 {
		return nil, ErrNoPage
	}
	p := &Picture{W: conf.Width, H: conf.Height, PerPixel: 4, Pages: 1}
	bits := int64(binary.LittleEndian.Uint16(data[28:]))
	if bits <= 8 {
		p.PerPixel = 1
	}
	row := (int64(p.W)*bits + 31) / 32 * 4
	if from := int64(binary.LittleEndian.Uint32(data[10:])); from+row*int64(p.H) > int64(len(data)) {
		return nil, io.ErrUnexpectedEOF
	}
	for i := range p.PerInch {
		p.PerInch[i] = float64(binary.LittleEndian.Uint32(data[38+4*i:])) * 0.0254
	}
	p.Decode = func() (image.Image, error) { return bmp.Decode(bytes.NewReader(data)) }
	return p, nil
}
