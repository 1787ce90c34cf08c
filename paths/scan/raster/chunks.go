package raster

import (
	"encoding/binary"

	"weftplot/paths"
)

// pngTags reads the pHYs and eXIf chunks that come before the pixels (Portable
// Network Graphics, third edition, 5.3, 11.3.4.3 and 11.3.5.4).
func pngTags(data []byte) (t tags) {
	for at := 8; at+12 <= len(data); {
		n := int(binary.BigEndian.Uint32(data[at:]))
		kind := string(data[at+4 : at+8])
		if n < 0 || n > len(data)-at-12 || kind == "IDAT" || kind == "IEND" {
			return t
		}
		body := data[at+8 : at+8+n]
		switch kind {
		case "pHYs":
			if n == 9 {
				x, y := float64(binary.BigEndian.Uint32(body)), float64(binary.BigEndian.Uint32(body[4:]))
				t.setDensity(x, y, int(body[8]), map[int]float64{1: paths.MMPerInch / 1000})
			}
		case "eXIf":
			if e, ok := exifTags(body); ok {
				t.orientation, t.camera = e.orientation, e.camera
				t.fill(e)
			}
		}
		at += 12 + n
	}
	return t
}

// setDensity keeps two densities; perInch is the factor from each known unit to
// pixels an inch. With an unknown unit only their proportion is kept.
func (t *tags) setDensity(x, y float64, unit int, perInch map[int]float64) {
	if !(x > 0 && y > 0) {
		return
	}
	if k, ok := perInch[unit]; ok {
		t.perInch = [2]float64{x * k, y * k}
	}
	t.ratio = [2]float64{x, y}
}

// fill takes the resolution from e where t has no plausible one.
func (t *tags) fill(e tags) {
	if max(t.perInch[0], t.perInch[1]) < leastBelieved && e.perInch[0] > 0 && max(e.perInch[0], e.perInch[1]) > max(t.perInch[0], t.perInch[1]) {
		t.perInch, t.ratio = e.perInch, e.ratio
	}
}

// jpegTags walks the segments before the first scan: APP0 of JFIF (ITU-T T.871,
// 10.1), APP1 of EXIF (CIPA DC-008, 4.7.2), and the frame header (ITU-T T.81,
// B.2.2), which says how many bytes a decoded pixel takes: more when the
// picture comes in several passes, because every coefficient is then kept.
func jpegTags(data []byte) (t tags, perPixel float64) {
	const app0, app1, progressive = 0xe0, 0xe1, 0xc2
	var exif *tags
	for at := 2; ; {
		marker, body, next, ok := jpegSegment(data, at)
		if !ok {
			break
		}
		switch {
		case marker == app0:
			t.jfif(body)
		case marker == app1 && exif == nil:
			exif = exifSegment(body)
		case isFrame(marker):
			perPixel = frameBytes(body, marker == progressive)
		}
		at = next
	}
	if exif != nil {
		t.orientation, t.camera = exif.orientation, exif.camera
		t.fill(*exif)
	}
	return t, perPixel
}

// jpegSegment returns the next segment from at on: its marker, what it holds, and
// where the next begins. ok is false at the first scan, the end of the picture, or
// damage (ITU-T T.81, B.1.1).
func jpegSegment(data []byte, at int) (marker byte, body []byte, next int, ok bool) {
	const fill, temporary, restart0, startOfImage, endOfImage, startOfScan = 0xff, 0x01, 0xd0, 0xd8, 0xd9, 0xda
	for at+4 <= len(data) && data[at] == 0xff {
		marker = data[at+1]
		if marker == fill {
			at++
			continue
		}
		if marker == temporary || marker >= restart0 && marker <= startOfImage { // these have no body
			at += 2
			continue
		}
		n := int(binary.BigEndian.Uint16(data[at+2:]))
		if n < 2 || at+2+n > len(data) || marker == startOfScan || marker == endOfImage {
			return 0, nil, 0, false
		}
		return marker, data[at+4 : at+2+n], at + 2 + n, true
	}
	return 0, nil, 0, false
}

// isFrame reports whether a marker begins a frame header: SOF0 to SOF15, except
// DHT, JPG and DAC in the same range (ITU-T T.81, table B.1).
func isFrame(marker byte) bool {
	return marker >= 0xc0 && marker <= 0xcf && marker != 0xc4 && marker != 0xc8 && marker != 0xcc
}

// jfif reads the densities of an APP0 segment of JFIF.
func (t *tags) jfif(body []byte) {
	if len(body) >= 12 && string(body[:5]) == "JFIF\x00" {
		x, y := float64(binary.BigEndian.Uint16(body[8:])), float64(binary.BigEndian.Uint16(body[10:]))
		t.setDensity(x, y, int(body[7]), map[int]float64{1: 1, 2: paths.MMPerInch / 10})
	}
}

// exifSegment reads an APP1 segment, and returns nil when it holds no EXIF.
func exifSegment(body []byte) *tags {
	if len(body) > 6 && string(body[:6]) == "Exif\x00\x00" {
		if e, ok := exifTags(body[6:]); ok {
			return &e
		}
	}
	return nil
}

// frameBytes returns the bytes a decoded pixel takes, from a frame header.
func frameBytes(body []byte, passes bool) float64 {
	if len(body) < 6 {
		return 0
	}
	n := int(body[5])
	if n == 0 || n > 4 || len(body) < 6+3*n {
		return 0
	}
	var samples, widest float64
	for i := range n {
		s := body[7+3*i]
		area := float64(s>>4) * float64(s&15)
		samples += area
		widest = max(widest, area)
	}
	if widest == 0 {
		return 0
	}
	per := samples / widest
	if n == 1 {
		per = 1
	}
	if passes {
		const coefficient = 4 // bytes: int32
		per *= 1 + coefficient
	}
	if n == 4 {
		per += 4 // the four planes are put together in a second picture
	}
	return per
}
