package raster

// Page is a drawing on paper as light: upright, seen square on, square pixels.
type Page struct {
	W, H  int     // pixels across and down
	Light []uint8 // W*H, rows from the top; 0 black, 255 white
	MM    float64 // mm a pixel
}
