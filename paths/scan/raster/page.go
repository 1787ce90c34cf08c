package raster

// Page is the picture of a drawing on paper: upright, seen square on, in square
// pixels of grey.
type Page struct {
	W, H  int     // pixels across and down
	Light []uint8 // W*H, rows from the top; 0 black, 255 white
	MM    float64 // mm a pixel
}
