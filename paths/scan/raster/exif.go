package raster

import (
	"bytes"
	"encoding/binary"
	"slices"

	"weftplot/paths"
	"weftplot/paths/fault"
)

// Tags of a TIFF directory (TIFF revision 6.0, 1992, part 1, section 8).
const (
	tagWidth        = 256
	tagLength       = 257
	tagCompression  = 259
	tagOffsets      = 273
	tagOrientation  = 274
	tagRowsPerStrip = 278
	tagByteCounts   = 279
	tagXResolution  = 282
	tagYResolution  = 283
	tagUnit         = 296
	tagTileWidth    = 322
	tagTileLength   = 323
)

// Tags that cameras write and scanners do not, and the one of the directory that holds
// them (CIPA DC-008, 4.6.3 and 4.6.5; the numbers are from memory).
const (
	tagExif         = 34665
	tagExposureTime = 33434
	tagFNumber      = 33437
	tagFocalLength  = 37386
)

// Types of a field, and their sizes in bytes (the same, section 2).
const (
	typeShort    = 3
	typeLong     = 4
	typeRational = 5
)

var typeSize = []int{0, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8}

// directory is the first directory of a TIFF file, or of the EXIF part of a
// picture, which has the same form.
type directory struct {
	data   []byte
	order  binary.ByteOrder
	fields map[int]field
}

// field is an entry: the type of its value, how many there are, and where they
// begin.
type field struct{ kind, count, at int }

// readDirectory reads the first directory, as far as it is sound. It reads no
// more than 65,535 entries and copies no values.
func readDirectory(data []byte) (d directory, ok bool) {
	if d.order = orderOf(data); d.order == nil || len(data) < 8 {
		return d, false
	}
	return directoryAt(data, int(d.order.Uint32(data[4:])), d.order)
}

// directoryAt reads the directory at a place of a file.
func directoryAt(data []byte, at int, order binary.ByteOrder) (d directory, ok bool) {
	d.data, d.order = data, order
	if at < 8 || at > len(data)-2 {
		return d, false
	}
	d.fields = map[int]field{}
	n := int(d.order.Uint16(data[at:]))
	at += 2
	for range n {
		if at > len(data)-12 {
			return d, true
		}
		e := data[at : at+12]
		tag, f := int(d.order.Uint16(e)), field{int(d.order.Uint16(e[2:])), int(d.order.Uint32(e[4:])), at + 8}
		at += 12
		if f.kind < 1 || f.kind >= len(typeSize) || f.count > len(data) {
			continue
		}
		if size := typeSize[f.kind] * f.count; size > 4 {
			f.at = int(d.order.Uint32(e[8:]))
			if f.at > len(data)-size {
				continue
			}
		}
		if _, dup := d.fields[tag]; !dup {
			d.fields[tag] = f
		}
	}
	return d, true
}

// orderOf is the order of bytes that a TIFF file begins with, nil where it is none.
func orderOf(data []byte) binary.ByteOrder {
	switch {
	case bytes.HasPrefix(data, []byte("II*\x00")):
		return binary.LittleEndian
	case bytes.HasPrefix(data, []byte("MM\x00*")):
		return binary.BigEndian
	}
	return nil
}

// number returns value i of a field of whole numbers.
func (d directory) number(tag, i int) (int, bool) {
	f, ok := d.fields[tag]
	if !ok || i >= f.count {
		return 0, false
	}
	switch f.kind {
	case typeShort:
		return int(d.order.Uint16(d.data[f.at+2*i:])), true
	case typeLong:
		return int(d.order.Uint32(d.data[f.at+4*i:])), true
	}
	return 0, false
}

// rational returns the first value of a field of fractions, 0 when there is
// none.
func (d directory) rational(tag int) float64 {
	f, ok := d.fields[tag]
	if !ok || f.kind != typeRational || f.count < 1 {
		return 0
	}
	den := d.order.Uint32(d.data[f.at+4:])
	if den == 0 {
		return 0
	}
	return float64(d.order.Uint32(d.data[f.at:])) / float64(den)
}

// tags returns what the directory says of the picture as a whole.
func (d directory) tags() (t tags) {
	t.orientation, _ = d.number(tagOrientation, 0)
	unit, given := d.number(tagUnit, 0)
	if !given {
		unit = 2 // inches, by the standard
	}
	t.setDensity(d.rational(tagXResolution), d.rational(tagYResolution), unit,
		map[int]float64{2: 1, 3: paths.MMPerInch / 10})
	return t
}

// exifTags reads the EXIF part of a picture.
func exifTags(data []byte) (tags, bool) {
	d, ok := readDirectory(data)
	if !ok {
		return tags{}, false
	}
	t := d.tags()
	if at, is := d.number(tagExif, 0); is {
		if more, ok := directoryAt(data, at, d.order); ok {
			t.camera = more.has(tagExposureTime) || more.has(tagFNumber) || more.has(tagFocalLength)
		}
	}
	return t, true
}

func (d directory) has(tag int) bool {
	_, ok := d.fields[tag]
	return ok
}

// Bounds on what a file can make the decoder of TIFF use: bytes for one piece
// of a picture, and entries for a list of pieces.
const (
	maxPiece   = maxDecoded
	maxEntries = 1 << 20
)

// tiffTags reads the tags of a TIFF file and refuses one whose pieces could
// make its decoder use more memory than the picture can need. A file may say
// that a strip has more rows than the picture; the data returned then has the
// true number.
func tiffTags(name string, data []byte) ([]byte, tags, error) {
	d, ok := readDirectory(data)
	if !ok {
		return data, tags{}, fault.Bad(name, "scan or save the picture again", "the TIFF file has no directory: it is cut off or damaged")
	}
	tooLarge := func() error {
		return fault.Bad(name, "save the picture as PNG", "the TIFF file is packed in pieces too large to be read")
	}
	for _, f := range d.fields {
		if f.count > maxEntries && f.at+typeSize[f.kind]*f.count <= len(data) && f.kind <= typeLong {
			return data, tags{}, tooLarge()
		}
	}
	w, _ := d.number(tagWidth, 0)
	h, _ := d.number(tagLength, 0)
	rows, strips := d.number(tagRowsPerStrip, 0)
	if strips && rows > h && h > 0 {
		data = d.withNumber(tagRowsPerStrip, h)
		rows = h
	}
	if !strips {
		rows = h
	}
	if tw, tiled := d.number(tagTileWidth, 0); tiled && tw > 0 {
		w = tw
		rows, _ = d.number(tagTileLength, 0)
	}
	if d.hasHugePieces(w, rows) {
		return data, tags{}, tooLarge()
	}
	return data, d.tags(), nil
}

// hasHugePieces reports whether a packed piece of w x rows pixels could use
// more memory than the picture can need.
func (d directory) hasHugePieces(w, rows int) bool {
	packing, _ := d.number(tagCompression, 0)
	const lzw, deflate, oldDeflate, packBits = 5, 8, 32946, 32773
	switch packing {
	case lzw, deflate, oldDeflate:
		return float64(w)*float64(rows)*8 > maxPiece
	case packBits: // which unpacks a byte to at most 64
		for i := range d.fields[tagByteCounts].count {
			if n, _ := d.number(tagByteCounts, i); n > maxPiece/64 {
				return true
			}
		}
	}
	return false
}

// withNumber returns the data with the one value of a field changed.
func (d directory) withNumber(tag, v int) []byte {
	out := slices.Clone(d.data)
	switch f := d.fields[tag]; f.kind {
	case typeShort:
		d.order.PutUint16(out[f.at:], uint16(v))
	case typeLong:
		d.order.PutUint32(out[f.at:], uint32(v))
	}
	return out
}
