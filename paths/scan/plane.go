package scan

import (
	"runtime"
	"sync"
)

// plane is a picture of one byte a pixel, rows from the top.
type plane struct {
	w, h int
	v    []uint8
}

func newPlane(w, h int) plane { return plane{w, h, make([]uint8, w*h)} }

// bandRows is how many rows are worked on at a time. It does not depend on the
// machine, so neither does any result.
const bandRows = 64

// bands calls f for bands of rows that make up 0 to h, on all processors. The
// bands must not depend on each other.
func bands(h int, f func(y0, y1 int)) {
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

// halved returns the picture at half the size, each pixel the mean of four. An
// odd last row or column is left out.
func (p plane) halved() plane {
	out := newPlane(p.w/2, p.h/2)
	bands(out.h, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			a, b := p.v[2*y*p.w:], p.v[(2*y+1)*p.w:]
			for x := range out.w {
				out.v[y*out.w+x] = uint8((int(a[2*x]) + int(a[2*x+1]) + int(b[2*x]) + int(b[2*x+1]) + 2) / 4)
			}
		}
	})
	return out
}
