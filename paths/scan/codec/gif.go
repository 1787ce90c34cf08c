package codec

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/gif"
	"io"
)

func isGIF(data []byte) bool { return bytes.HasPrefix(data, []byte("GIF8")) }

// packedMost is the most pixels that a byte of LZW data of GIF gives: a code of 12
// bits stands for at most 4,096 of them.
const packedMost = 2731

// openGIF opens one picture of a GIF (version 89a, 18 to 27). The decoder is given
// a file of that picture alone, whose screen is the picture.
func openGIF(data []byte, page int) (*Picture, error) {
	const header = 13
	if len(data) < header {
		return nil, io.ErrUnexpectedEOF
	}
	at := header + tableBytes(data[10])
	if at > len(data) {
		return nil, io.ErrUnexpectedEOF
	}
	p := &Picture{PerPixel: 1}
	var found, control []byte
	for at < len(data) && data[at] != ';' {
		from := at
		if at = gifBlock(data, at); at < 0 {
			break
		}
		switch block := data[from:at]; {
		case block[0] == '!' && block[1] == 0xf9:
			control = block
		case block[0] == ',':
			if p.Pages++; p.Pages == page {
				found = block
				p.W, p.H = int(binary.LittleEndian.Uint16(block[5:])), int(binary.LittleEndian.Uint16(block[7:]))
				p.Decode = decodeGIF(data[:header+tableBytes(data[10])], control, block)
			}
			control = nil
		}
	}
	switch {
	case found == nil && at < 0, p.Pages == 0:
		return nil, io.ErrUnexpectedEOF
	case found == nil:
		return nil, ErrNoPage
	case p.W*p.H > packedMost*len(found):
		return nil, io.ErrUnexpectedEOF
	}
	return p, nil
}

// decodeGIF decodes a picture by itself: its place on the screen is the corner.
func decodeGIF(head, control, block []byte) func() (image.Image, error) {
	return func() (image.Image, error) {
		one := bytes.Join([][]byte{head, control, block, {';'}}, nil)
		copy(one[6:10], block[5:9])
		clear(one[len(head)+len(control)+1:][:4])
		return gif.Decode(bytes.NewReader(one))
	}
}

// tableBytes is the size of a colour table, from the flags before it.
func tableBytes(flags byte) int {
	if flags&0x80 == 0 {
		return 0
	}
	return 3 << (flags&7 + 1)
}

// gifBlock returns where a block ends that begins at a place, -1 where the file
// ends first or holds none.
func gifBlock(data []byte, at int) int {
	switch {
	case data[at] == '!' && at+2 <= len(data):
		at += 2
	case data[at] == ',' && at+11 <= len(data):
		at += 10 + tableBytes(data[at+9]) + 1
	default:
		return -1
	}
	for at < len(data) {
		n := int(data[at])
		if at += 1 + n; n == 0 {
			return at
		}
	}
	return -1
}
