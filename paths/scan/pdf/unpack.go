package pdf

import (
	"bytes"
	"compress/zlib"
	"encoding/ascii85"
	"encoding/hex"
	"errors"
	"io"

	"golang.org/x/image/tiff/lzw"
)

// errTooMuch is of streams that unpack to more than is read.
var errTooMuch = errors.New("it unpacks to more than is read")

// unpack undoes all filters of a stream that is no picture, within what is left
// of the file's bound. Of damaged data it returns what came before the damage,
// with the error. A stream is unpacked once.
func (f *File) unpack(s *stream) ([]byte, error) {
	if out, ok := f.unpacked[s]; ok {
		return out, nil
	}
	out, last, _, err := f.filtered(s, f.left)
	if last != "" {
		return nil, errors.New("it is packed as a picture")
	}
	if err == nil {
		f.left -= len(out)
		f.unpacked[s] = out
	}
	return out, err
}

// filtered undoes the filters of a stream up to one that packs pictures, which
// it returns by name with its parameters.
func (f *File) filtered(s *stream, most int) (out []byte, picture name, parms dict, err error) {
	filters, all := f.filters(s.dict)
	out = s.raw
	for i, filter := range filters {
		switch filter {
		case "DCTDecode", "DCT", "CCITTFaxDecode", "CCF", "JPXDecode", "JBIG2Decode":
			return out, filter, all[i], err
		}
		if out, err = undo(filter, out, f.predictorOf(all[i]), most); err != nil && len(out) == 0 {
			return nil, "", nil, err
		}
		if len(out) > most {
			return out[:most], "", nil, errTooMuch
		}
	}
	return out, "", nil, err
}

// filters lists the filters of a stream and their parameters, eight at most.
func (f *File) filters(d dict) (filters []name, parms []dict) {
	first := func(keys ...name) any {
		for _, k := range keys {
			if v := f.get(d[k]); v != nil {
				return v
			}
		}
		return nil
	}
	filter, parm := first("Filter", "F"), first("DecodeParms", "DP")
	if n, ok := filter.(name); ok {
		return []name{n}, []dict{f.dict(parm)}
	}
	list, _ := filter.(array)
	of, _ := parm.(array)
	for i, v := range list[:min(len(list), 8)] {
		n, _ := f.get(v).(name)
		filters = append(filters, n)
		parms = append(parms, nil)
		if i < len(of) {
			parms[i] = f.dict(of[i])
		}
	}
	return filters, parms
}

// undo undoes one filter (7.4), and reads at most one byte more than most.
func undo(filter name, in []byte, p predictor, most int) ([]byte, error) {
	var r io.Reader
	switch filter {
	case "FlateDecode", "Fl":
		z, err := zlib.NewReader(bytes.NewReader(in))
		if err != nil {
			return nil, err
		}
		r = z
	case "LZWDecode", "LZW":
		if p.late {
			return nil, errors.New("LZW without early change is not read")
		}
		r = lzw.NewReader(bytes.NewReader(in), lzw.MSB, 8)
	case "ASCII85Decode", "A85":
		if i := bytes.IndexByte(in, '~'); i >= 0 {
			in = in[:i]
		}
		return limited(ascii85.NewDecoder(bytes.NewReader(bytes.TrimPrefix(bytes.TrimSpace(in), []byte("<~")))), most)
	case "ASCIIHexDecode", "AHx":
		l := &lexer{data: append([]byte{'<'}, in...)}
		return []byte(l.hex()), nil
	case "RunLengthDecode", "RL":
		return unrun(in, most), nil
	case "Crypt":
		return in, nil
	default:
		return nil, errors.New("the filter " + hex.EncodeToString([]byte(filter)[:min(len(filter), 8)]) + " is not known")
	}
	out, err := limited(r, most)
	return p.undo(out), err
}

func limited(r io.Reader, most int) ([]byte, error) {
	var b bytes.Buffer
	_, err := io.Copy(&b, io.LimitReader(r, int64(most)+1))
	return b.Bytes(), err
}

// unrun undoes run-length packing (7.4.5).
func unrun(in []byte, most int) []byte {
	var out []byte
	for i := 0; i < len(in) && in[i] != 128 && len(out) <= most; {
		n := int(in[i])
		i++
		if n < 128 {
			end := min(len(in), i+n+1)
			out = append(out, in[i:end]...)
			i = end
		} else if i < len(in) {
			out = append(out, bytes.Repeat(in[i:i+1], 257-n)...)
			i++
		}
	}
	return out
}

// predictor undoes differences between neighbouring samples (7.4.4.4).
type predictor struct {
	kind, colours, bits, columns int
	late                         bool // LZW codes grow one later than usual
}

func (f *File) predictorOf(d dict) predictor {
	p := predictor{1, 1, 8, 1, false}
	for k, into := range map[name]*int{"Predictor": &p.kind, "Colors": &p.colours, "BitsPerComponent": &p.bits, "Columns": &p.columns} {
		if v, ok := f.number(d[k]); ok && v >= 1 && v <= 1e6 {
			*into = int(v)
		}
	}
	if v, ok := f.number(d["EarlyChange"]); ok {
		p.late = v == 0
	}
	return p
}

func (p predictor) undo(in []byte) []byte {
	pixel := max(1, p.colours*p.bits/8)
	row := (p.colours*p.bits*p.columns + 7) / 8
	switch {
	case p.kind < 2 || p.colours > 32 || p.bits > 16:
		return in
	case p.kind == 2:
		if p.bits == 8 {
			for from := 0; from+row <= len(in); from += row {
				for i := from + pixel; i < from+row; i++ {
					in[i] += in[i-pixel]
				}
			}
		}
		return in
	}
	var out []byte
	above := make([]byte, row)
	for len(in) > 1 {
		line := make([]byte, row)
		n := copy(line, in[1:])
		unfilter(in[0], line, above, pixel)
		out = append(out, line[:n]...)
		in = in[1+n:]
		above = line
	}
	return out
}

// unfilter undoes a filter of PNG on one row (PNG, third edition, 9.2).
func unfilter(kind byte, line, above []byte, pixel int) {
	for i := range line {
		var left, corner byte
		if i >= pixel {
			left, corner = line[i-pixel], above[i-pixel]
		}
		switch kind {
		case 1:
			line[i] += left
		case 2:
			line[i] += above[i]
		case 3:
			line[i] += byte((int(left) + int(above[i])) / 2)
		case 4:
			line[i] += paeth(int(left), int(above[i]), int(corner))
		}
	}
}

// paeth chooses the neighbour nearest to their plane (the same, 9.4).
func paeth(a, b, c int) byte {
	p := a + b - c
	da, db, dc := max(p-a, a-p), max(p-b, b-p), max(p-c, c-p)
	if da <= db && da <= dc {
		return byte(a)
	}
	if db <= dc {
		return byte(b)
	}
	return byte(c)
}
