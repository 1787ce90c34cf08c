package codec

import (
	"bytes"
	"encoding/binary"
	"image"
	"io"

	"golang.org/x/image/webp"
)

func isWebP(data []byte) bool {
	return len(data) >= 12 && string(data[:4]) == "RIFF" && string(data[8:12]) == "WEBP"
}

// openWebP opens a WebP, and takes its EXIF part (RFC 9649, 2.3 to 2.7).
func openWebP(data []byte, page int) (*Picture, error) {
	p := &Picture{PerPixel: 4, Pages: 1}
	if page != 1 {
		return nil, ErrNoPage
	}
	if int64(binary.LittleEndian.Uint32(data[4:]))+8 > int64(len(data)) {
		return nil, io.ErrUnexpectedEOF
	}
	for at := 12; at+8 <= len(data); {
		n := int64(binary.LittleEndian.Uint32(data[at+4:]))
		if n > int64(len(data)-at-8) {
			break
		}
		body := data[at+8 : at+8+int(n)]
		switch string(data[at : at+4]) {
		case "ANIM", "ANMF":
			return nil, ErrMoving
		case "EXIF":
			p.Exif = bytes.TrimPrefix(body, []byte("Exif\x00\x00"))
		}
		at += 8 + int(n+n%2)
	}
	conf, err := webp.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return nil, err
	}
	p.W, p.H = conf.Width, conf.Height
	p.Decode = func() (image.Image, error) { return webp.Decode(bytes.NewReader(data)) }
	return p, nil
}
