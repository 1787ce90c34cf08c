package raster

import (
	"slices"

	"weftplot/paths/scan/codec"
)

// Tags and values of JPEG pieces (TIFF Technical Note 2, 1995).
const (
	tagPhotometric = 262
	tagTileOffsets = 324
	tagTileCounts  = 325
	tagJPEGTables  = 347
	jpegPacking    = 7
	whiteIsZero    = 0
	redGreenBlue   = 2
)

// maxTIFFPages bounds the walk from directory to directory.
const maxTIFFPages = 10_000

// tiffPages counts the pages of a TIFF file, and returns data whose first directory
// is that of one of them. A ring of directories ends where it closes.
func tiffPages(data []byte, page int) (int, []byte) {
	order := orderOf(data)
	if order == nil || len(data) < 8 {
		return 0, data
	}
	out := data
	seen := map[int]bool{}
	n := 0
	for at := int(order.Uint32(data[4:])); at >= 8 && at <= len(data)-2 && !seen[at] && n < maxTIFFPages; {
		seen[at] = true
		if n++; n == page && n > 1 {
			out = slices.Clone(data)
			order.PutUint32(out[4:], uint32(at))
		}
		if at += 2 + 12*int(order.Uint16(data[at:])); at > len(data)-4 {
			break
		}
		at = int(order.Uint32(data[at:]))
	}
	return n, out
}

// jpegPieces finds the pieces of a picture packed as JPEG.
func (d directory) jpegPieces() (j codec.JPEGPieces, ok bool) {
	j, ok = d.jpegShape()
	if !ok {
		return j, false
	}
	light, _ := d.number(tagPhotometric, 0)
	j.Coloured, j.Inverted = light == redGreenBlue, light == whiteIsZero
	const bytesAsTheyAre = 7 // the type UNDEFINED
	if f, has := d.fields[tagJPEGTables]; has && f.kind == bytesAsTheyAre && f.count > 4 && f.at+f.count <= len(d.data) {
		j.Tables = d.data[f.at : f.at+f.count]
	}
	offsets, counts := tagOffsets, tagByteCounts
	if _, tiled := d.number(tagTileWidth, 0); tiled {
		offsets, counts = tagTileOffsets, tagTileCounts
	}
	n := ((j.W + j.PW - 1) / j.PW) * ((j.H + j.PH - 1) / j.PH)
	if d.fields[offsets].count < n || d.fields[counts].count < n {
		return j, false
	}
	for i := range n {
		at, ok1 := d.number(offsets, i)
		size, ok2 := d.number(counts, i)
		if !ok1 || !ok2 || at < 0 || size < 4 || at > len(d.data)-size {
			return j, false
		}
		j.Pieces = append(j.Pieces, d.data[at:at+size])
	}
	return j, true
}

// jpegShape reads the sizes of the picture and of its pieces, and reports whether
// they can be: pieces not much larger than the picture.
func (d directory) jpegShape() (j codec.JPEGPieces, ok bool) {
	j.W, _ = d.number(tagWidth, 0)
	j.H, _ = d.number(tagLength, 0)
	j.PW, j.PH = j.W, j.H
	if rows, strips := d.number(tagRowsPerStrip, 0); strips {
		j.PH = min(rows, j.H)
	}
	if tw, tiled := d.number(tagTileWidth, 0); tiled {
		j.PW = tw
		j.PH, _ = d.number(tagTileLength, 0)
	}
	for _, v := range []int{j.W, j.H, j.PW, j.PH} {
		if v <= 0 || v > 1<<20 {
			return j, false
		}
	}
	return j, j.PW*j.PH <= 2*j.W*j.H+1<<20
}
