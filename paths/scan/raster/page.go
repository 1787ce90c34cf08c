// Package raster reads pictures of drawings.
package raster

// Page is a drawing on paper as light: upright, seen square on, square pixels.
type Page struct {
	W, H  int
	Light []uint8 // W*H, rows from the top; 0 black, 255 white
	MM    float64 // mm a pixel
}
