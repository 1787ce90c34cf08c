package pdf

import (
	"bytes"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"io"

	"golang.org/x/image/ccitt"

	"weftplot/paths"
)

// Picture is a picture on a page. Its pixels are read by Decode.
type Picture struct {
	W, H int // pixels
	// Place is the map from the unit square to mm on the page: the picture's lower
	// left corner lies at (0,0) of the square, its upper right at (1,1) (8.9.5).
	Place paths.Affine
	// PerPixel is how many bytes reading takes for a pixel.
	PerPixel float64

	file   *File
	stream *stream
	res    dict
	bits   int
	mask   bool // it is a stencil, of one bit: what is painted is black
}

func (f *File) picture(s *stream, res dict, place paths.Affine) Picture {
	p := Picture{Place: place, file: f, stream: s, res: res, bits: 8}
	w, _ := f.number(s.dict["Width"])
	h, _ := f.number(s.dict["Height"])
	if w >= 1 && h >= 1 && w <= 1e6 && h <= 1e6 {
		p.W, p.H = int(w), int(h)
	}
	if b, ok := f.number(s.dict["BitsPerComponent"]); ok {
		p.bits = int(b)
	}
	p.mask, _ = f.get(s.dict["ImageMask"]).(bool)
	if p.mask {
		p.bits = 1
	}
	p.PerPixel = p.perPixel()
	return p
}

// perPixel is how many bytes reading takes for a pixel: of the samples and of the
// picture made of them. A JPEG that comes in several passes takes its coefficients
// too, four bytes each.
func (p Picture) perPixel() float64 {
	n := max(1, p.colours())
	filters, _ := p.file.filters(p.stream.dict)
	if last := len(filters) - 1; last >= 0 && (filters[last] == "DCTDecode" || filters[last] == "DCT") {
		const passes = "\xff\xc2" // does not occur within the data of a single pass (ITU-T T.81, B.1.1.5)
		each := 1.0
		if last > 0 || bytes.Contains(p.stream.raw, []byte(passes)) {
			each = 5
		}
		if n == 4 {
			return 4*each + 4
		}
		return 3 * each
	}
	made := 4.0
	if n == 1 && !p.indexed() {
		made = 1
	}
	return made + float64(n)*float64(p.bits)/8
}

// Errors of pictures that are packed in ways that are not read.
var (
	ErrJPX   = errors.New("the picture on the page is packed as JPEG 2000, which is not read")
	ErrJBIG2 = errors.New("the picture on the page is packed as JBIG2, which is not read")
)

// Decode reads the pixels. Where the picture has a soft mask, it lies over white.
func (p Picture) Decode() (image.Image, error) {
	need := p.rowBytes()*p.H + p.H // predictors take a byte a row
	data, packed, parms, err := p.file.filtered(p.stream, need+64)
	if err != nil && len(data) == 0 && !errors.Is(err, errTooMuch) {
		return nil, err
	}
	var img image.Image
	switch packed {
	case "JPXDecode":
		return nil, ErrJPX
	case "JBIG2Decode":
		return nil, ErrJBIG2
	case "DCTDecode", "DCT":
		img, err = p.photo(data)
	case "CCITTFaxDecode", "CCF":
		img, err = p.fax(data, parms)
	default:
		if len(data) < p.rowBytes()*p.H {
			return nil, io.ErrUnexpectedEOF
		}
		img, err = p.samples(data)
	}
	if err != nil {
		return nil, err
	}
	return p.overWhite(img), nil
}

// photo decodes a JPEG, whose own size is checked first.
func (p Picture) photo(data []byte) (image.Image, error) {
	conf, err := jpeg.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return nil, err
	}
	if conf.Width != p.W || conf.Height != p.H {
		return nil, errors.New("its picture says two sizes")
	}
	img, err := jpeg.Decode(bytes.NewReader(data))
	switch m := img.(type) {
	case *image.CMYK:
		// The decoder takes shares of ink as stored the other way round; in a PDF the
		// page says whether they are.
		if d := p.decode(4); d[0] < d[1] {
			invert(m.Pix)
		}
	case *image.Gray:
		if d := p.decode(1); d[0] > d[1] {
			invert(m.Pix)
		}
	}
	return img, err
}

func invert(pix []uint8) {
	for i := range pix {
		pix[i] = 255 - pix[i]
	}
}

// fax decodes CCITT data (table 11).
func (p Picture) fax(data []byte, parms dict) (image.Image, error) {
	k, _ := p.file.number(parms["K"])
	if k > 0 {
		return nil, errors.New("its picture is packed as a fax of mixed kind, which is not read")
	}
	kind := ccitt.Group3
	if k < 0 {
		kind = ccitt.Group4
	}
	columns := 1728.0
	if c, ok := p.file.number(parms["Columns"]); ok {
		columns = c
	}
	if int(columns) != p.W {
		return nil, errors.New("its picture says two sizes")
	}
	black, _ := p.file.get(parms["BlackIs1"]).(bool)
	align, _ := p.file.get(parms["EncodedByteAlign"]).(bool)
	r := ccitt.NewReader(bytes.NewReader(data), ccitt.MSB, kind, p.W, p.H, &ccitt.Options{Invert: !black, Align: align})
	rows := make([]byte, p.rowBytes()*p.H)
	n, err := io.ReadFull(r, rows)
	if err != nil && n < len(rows)/2 {
		return nil, err
	}
	for i := n; i < len(rows) && !black; i++ {
		rows[i] = 0xff // what is missing is paper
	}
	return p.samples(rows)
}

func (p Picture) rowBytes() int { return (p.W*max(1, p.colours())*p.bits + 7) / 8 }

// samples makes a picture of unpacked samples: grey, or in colour.
func (p Picture) samples(data []byte) (image.Image, error) {
	n := p.colours()
	if n == 0 || n > 4 || !(p.bits == 1 || p.bits == 2 || p.bits == 4 || p.bits == 8 || p.bits == 16) {
		return nil, errors.New("the colours of its picture are not read")
	}
	table := p.palette()
	scale := p.decode(n)
	most := float64(uint(1)<<p.bits - 1)
	if n == 1 && table == nil {
		return p.greys(data, scale, most), nil
	}
	img := image.NewNRGBA(image.Rect(0, 0, p.W, p.H))
	value := make([]float64, n)
	for y := range p.H {
		row := data[y*p.rowBytes():]
		for x := range p.W {
			for c := range n {
				v := sample(row, x*n+c, p.bits)
				if table == nil {
					value[c] = scale[2*c] + (scale[2*c+1]-scale[2*c])*float64(v)/most
					continue
				}
				img.SetNRGBA(x, y, table.at(v))
			}
			if table == nil {
				img.SetNRGBA(x, y, p.colour(value))
			}
		}
	}
	return img, nil
}

// greys makes a picture of one component.
func (p Picture) greys(data []byte, scale []float64, most float64) *image.Gray {
	img := image.NewGray(image.Rect(0, 0, p.W, p.H))
	value := make([]float64, 1)
	for y := range p.H {
		row := data[y*p.rowBytes():]
		for x := range p.W {
			value[0] = scale[0] + (scale[1]-scale[0])*float64(sample(row, x, p.bits))/most
			img.Pix[y*img.Stride+x] = p.colour(value).R
		}
	}
	return img
}

func sample(row []byte, i, bits int) int {
	switch bits {
	case 8:
		return int(row[i])
	case 16:
		return int(row[2*i])<<8 | int(row[2*i+1])
	}
	at := i * bits
	return int(row[at/8]) >> (8 - bits - at%8) & (1<<bits - 1)
}

func (p Picture) colour(v []float64) color.NRGBA {
	level := func(x float64) uint8 { return uint8(min(255, max(0, 255*x+0.5))) }
	switch len(v) {
	case 1:
		if p.separate() {
			v[0] = 1 - v[0] // a share of ink
		}
		g := level(v[0])
		return color.NRGBA{g, g, g, 255}
	case 3:
		return color.NRGBA{level(v[0]), level(v[1]), level(v[2]), 255}
	case 4:
		k := 1 - v[3]
		return color.NRGBA{level((1 - v[0]) * k), level((1 - v[1]) * k), level((1 - v[2]) * k), 255}
	}
	return color.NRGBA{255, 255, 255, 255}
}

// overWhite lays a picture with a soft mask over white.
func (p Picture) overWhite(img image.Image) image.Image {
	s, ok := p.file.get(p.stream.dict["SMask"]).(*stream)
	if !ok {
		return img
	}
	m := p.file.picture(s, nil, p.Place)
	if m.W != p.W || m.H != p.H || m.stream.dict["SMask"] != nil {
		return img
	}
	mask, err := m.Decode()
	if err != nil || mask.Bounds() != img.Bounds() {
		return img
	}
	out := image.NewNRGBA(img.Bounds())
	for i := range p.W * p.H {
		x, y := i%p.W, i/p.W
		c := color.NRGBAModel.Convert(img.At(x, y)).(color.NRGBA)
		c.A = color.GrayModel.Convert(mask.At(x, y)).(color.Gray).Y
		out.SetNRGBA(x, y, c)
	}
	return out
}
