package pdf

import "image/color"

// components counts the components of a colour space of light or of the four
// printing inks, 0 for any other (8.6).
func (f *File) components(v any) int {
	switch s := f.get(v).(type) {
	case name:
		switch s {
		case "DeviceGray", "G", "CalGray":
			return 1
		case "DeviceRGB", "RGB", "CalRGB":
			return 3
		case "DeviceCMYK", "CMYK":
			return 4
		}
	case array:
		if len(s) < 2 {
			if len(s) == 1 {
				if n, ok := f.get(s[0]).(name); ok {
					return f.components(n)
				}
			}
			return 0
		}
		switch f.get(s[0]) {
		case name("CalGray"):
			return 1
		case name("CalRGB"):
			return 3
		case name("ICCBased"):
			n, _ := f.number(f.dict(s[1])["N"])
			if n == 1 || n == 3 || n == 4 {
				return int(n)
			}
		}
	}
	return 0
}

// space is the colour space of a picture.
func (p Picture) space() any {
	v := p.file.get(p.stream.dict["ColorSpace"])
	if n, ok := v.(name); ok {
		return p.file.named(p.res, "ColorSpace", n)
	}
	return v
}

func (p Picture) spaceList() array { a, _ := p.space().(array); return a }

// separate reports whether the one component is a share of ink.
func (p Picture) separate() bool {
	a := p.spaceList()
	return len(a) > 0 && p.file.get(a[0]) == name("Separation")
}

func (p Picture) indexed() bool {
	a := p.spaceList()
	if len(a) != 4 {
		return false
	}
	kind := p.file.get(a[0])
	return kind == name("Indexed") || kind == name("I")
}

// colours counts the samples of a pixel, 0 where that is not known.
func (p Picture) colours() int {
	if p.mask || p.indexed() || p.separate() {
		return 1
	}
	return p.file.components(p.space())
}

// decode returns the range of each component (8.9.5.2): from 0 to 1 where the
// picture does not say.
func (p Picture) decode(n int) []float64 {
	if d := p.file.numbers(p.stream.dict["Decode"], 2*n); d != nil {
		return d
	}
	out := make([]float64, 2*n)
	for i := range n {
		out[2*i+1] = 1
	}
	return out
}

// palette is the table of an indexed space (8.6.6.3).
type palette []color.NRGBA

func (t palette) at(i int) color.NRGBA { return t[min(i, len(t)-1)] }

// palette returns the table of the picture, nil where it has none.
func (p Picture) palette() palette {
	if !p.indexed() {
		return nil
	}
	a := p.spaceList()
	n := p.file.components(a[1])
	var data []byte
	switch t := p.file.get(a[3]).(type) {
	case text:
		data = []byte(t)
	case *stream:
		data, _ = p.file.unpack(t)
	}
	if n == 0 || len(data) < n {
		return palette{{255, 255, 255, 255}}
	}
	var out palette
	value := make([]float64, n)
	plain := Picture{file: p.file, stream: &stream{dict: dict{}}}
	for i := 0; i+n <= len(data) && len(out) < 256; i += n {
		for c := range value {
			value[c] = float64(data[i+c]) / 255
		}
		out = append(out, plain.colour(value))
	}
	return out
}
