package skeleton

import (
	"runtime"
	"sync"
)

// Plane is a picture of one byte a pixel, rows from the top.
type Plane struct {
	W, H   int     // in pixels
	Pixels []uint8 // W*H: grey from 0, black, to 255; or the classes of a mask
}

// NewPlane returns a picture of zeros.
func NewPlane(w, h int) Plane { return Plane{w, h, make([]uint8, w*h)} }

// bandRows is how many rows are worked on at a time. It does not depend on the
// machine, so neither does any result.
const bandRows = 64

// Bands calls f for bands of rows that make up 0 to h, on all processors. The
// bands must not depend on each other.
func Bands(h int, f func(y0, y1 int)) {
	var next int
	var lock sync.Mutex
	take := func() (int, bool) {
		lock.Lock()
		defer lock.Unlock()
		y := next
		next += bandRows
		return y, y < h
	}
	var all sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), (h+bandRows-1)/bandRows) {
		all.Go(func() {
			for y, ok := take(); ok; y, ok = take() {
				f(y, min(h, y+bandRows))
			}
		})
	}
	all.Wait()
}

// Halved returns the picture at half the size, each pixel the mean of four. An
// odd last row or column is left out.
func (p Plane) Halved() Plane {
	out := NewPlane(p.W/2, p.H/2)
	Bands(out.H, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			a, b := p.Pixels[2*y*p.W:], p.Pixels[(2*y+1)*p.W:]
			for x := range out.W {
				out.Pixels[y*out.W+x] = uint8((int(a[2*x]) + int(a[2*x+1]) + int(b[2*x]) + int(b[2*x+1]) + 2) / 4)
			}
		}
	})
	return out
}
