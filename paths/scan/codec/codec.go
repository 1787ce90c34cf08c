// Package codec reads pictures from formats that the standard library does not,
// or of which it tells too little: GIF, BMP and WebP, one small file each, and
// JPEG data within TIFF.
//
// It reads no pixel before the caller has seen the size that the file states, and
// refuses files that hold too few bytes for it.
package codec

import (
	"errors"
	"image"
)

// Picture is a picture in a file before its pixels are read.
type Picture struct {
	Format   string
	W, H     int     // pixels
	PerPixel float64 // bytes that reading takes for a pixel
	// PerInch are the pixels an inch across and down, zero where the file does not
	// say.
	PerInch [2]float64
	Exif    []byte // as in a TIFF file; nil where there is none
	// Pages is how many pictures the file holds.
	Pages int
	// Decode reads the pixels.
	Decode func() (image.Image, error)
}

// Errors of files that are sound and hold no drawing that can be read.
var (
	ErrMoving = errors.New("it is a moving picture")
	ErrNoPage = errors.New("there is no such page")
)

// formats in the order in which they are tried.
var formats = []struct {
	name string
	is   func([]byte) bool
	open func([]byte, int) (*Picture, error)
}{{"GIF", isGIF, openGIF}, {"BMP", isBMP, openBMP}, {"WebP", isWebP, openWebP}}

// Is reports whether data begin as a GIF, a BMP or a WebP.
func Is(data []byte) bool {
	for _, f := range formats {
		if f.is(data) {
			return true
		}
	}
	return false
}

// Open reads what data say of their picture number page, counted from 1. It
// returns nil where the format is none of GIF, BMP and WebP. The error may wrap
// io.ErrUnexpectedEOF where the file is cut off, ErrMoving and ErrNoPage; the
// picture then has its format only.
func Open(data []byte, page int) (*Picture, error) {
	for _, f := range formats {
		if f.is(data) {
			p, err := f.open(data, page)
			if err != nil {
				p = &Picture{}
			}
			p.Format = f.name
			return p, err
		}
	}
	return nil, nil
}
