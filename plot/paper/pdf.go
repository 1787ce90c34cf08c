package paper

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"

	"weftplot/paths"
)

// PerMM is a mm in units of PDF, which are 1/72 in (ISO 32000-1, 8.3.2.3).
const PerMM = 72 / 25.4

// A Doc is a PDF file that is written page by page. Places are in mm from a page's
// lower left corner, y up. It is the only use of the PDF library here.
//
// The library is told what makes its bytes the same each time: fixed dates and
// sorted tables.
type Doc struct {
	pdf *fpdf.Fpdf
	h   float64 // of the page, in units of PDF
	buf bytes.Buffer
	// Drawn, unless nil, is called after each stroke that is drawn.
	Drawn func()
}

// NewDoc begins a document.
func NewDoc(title string) *Doc {
	d := &Doc{pdf: fpdf.NewCustom(&fpdf.InitType{UnitStr: "pt", Size: fpdf.SizeType{Wd: 612, Ht: 792}})}
	d.pdf.SetCatalogSort(true)
	epoch := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	d.pdf.SetCreationDate(epoch)
	d.pdf.SetModificationDate(epoch)
	d.pdf.SetTitle(title, true)
	d.pdf.SetMargins(0, 0, 0)
	d.pdf.SetAutoPageBreak(false, 0)
	d.pdf.AddUTF8FontFromBytes("go", "", goregular.TTF)
	d.pdf.AddUTF8FontFromBytes("go", "B", gobold.TTF)
	return d
}

// Page begins a page of w by h mm.
func (d *Doc) Page(w, h float64) {
	d.flush()
	d.h = h * PerMM
	d.pdf.AddPageFormat("P", fpdf.SizeType{Wd: w * PerMM, Ht: d.h})
}

// flush hands over what was drawn since the last text.
func (d *Doc) flush() {
	if d.buf.Len() > 0 {
		d.pdf.RawWriteBuf(&d.buf) // with a line feed
	}
}

// Align says which end of a text its place is.
type Align int

// The ends of a text.
const (
	Left Align = iota
	Centre
	Right
)

// Font is how a text is set.
type Font struct {
	Size  float64 // in units of PDF
	Bold  bool
	Grey  float64 // 0 is black
	Align Align
}

// Width returns the length of a text in mm.
func (d *Doc) Width(text string, f Font) float64 {
	d.set(f)
	return d.pdf.GetStringWidth(text) / PerMM
}

func (d *Doc) set(f Font) {
	style := ""
	if f.Bold {
		style = "B"
	}
	d.pdf.SetFont("go", style, f.Size)
}

// Text writes one line of text at a place of its baseline.
func (d *Doc) Text(at paths.Point, text string, f Font) {
	d.flush()
	d.set(f)
	g := int(math.Round(f.Grey * 255))
	d.pdf.SetTextColor(g, g, g)
	x := at.X * PerMM
	switch f.Align {
	case Centre:
		x -= d.pdf.GetStringWidth(text) / 2
	case Right:
		x -= d.pdf.GetStringWidth(text)
	}
	d.pdf.Text(x, d.h-at.Y*PerMM, text)
}

// Pen is how lines are drawn.
type Pen struct {
	Width float64 // in mm
	Grey  float64 // 0 is black
	Dash  float64 // length of dashes and gaps in mm, 0 for none
	Flat  bool    // the ends of a line are cut off where it ends
	// Chords draws curves as chords that are within so many mm of them on the page; 0
	// keeps them curves.
	Chords float64
}

// Draw draws strokes that are given in another frame, which m maps to the page.
func (d *Doc) Draw(p Pen, m paths.Affine, strokes ...paths.Stroke) {
	if len(strokes) > 0 {
		appendStrokes(&d.buf, p, m, strokes, d.handOver)
	}
}

// handOver hands over whole lines of what was drawn so far, where there is much of it.
func (d *Doc) handOver() {
	d.drawn()
	const much = 1 << 16
	if n := d.buf.Len(); n > much {
		d.buf.Truncate(n - 1) // its line feed, which flush adds
		d.flush()
	}
}

// drawn tells of a stroke.
func (d *Doc) drawn() {
	if d.Drawn != nil {
		d.Drawn()
	}
}

// Fill fills a rectangle with a grey.
func (d *Doc) Fill(r paths.Rect, grey float64) {
	fmt.Fprintf(&d.buf, "q %.3f g %.3f %.3f %.3f %.3f re f Q\n", grey, r.Min.X*PerMM, r.Min.Y*PerMM, r.Width()*PerMM, r.Height()*PerMM)
}

// appendStrokes writes strokes as a path, in hundredths of a unit of PDF: 0.0018 mm
// off at most. It calls each after every stroke.
func appendStrokes(b *bytes.Buffer, p Pen, m paths.Affine, strokes []paths.Stroke, each func()) {
	const per = 100 * PerMM
	style := 1
	if p.Flat {
		style = 0
	}
	fmt.Fprintf(b, "q .01 0 0 .01 0 0 cm %.3f G %.0f w %d J %d j [", p.Grey, p.Width*per, style, style)
	if p.Dash > 0 {
		fmt.Fprintf(b, "%.0f", p.Dash*per)
	}
	b.WriteString("] 0 d\n")
	var num []byte
	put := func(pts ...paths.Point) {
		for _, q := range pts {
			q = m.Apply(q)
			num = strconv.AppendInt(num[:0], int64(math.Round(q.X*per)), 10)
			num = append(num, ' ')
			num = strconv.AppendInt(num, int64(math.Round(q.Y*per)), 10)
			num = append(num, ' ')
			b.Write(num)
		}
	}
	var curve func(c paths.Curve)
	curve = func(c paths.Curve) {
		switch c := c.(type) {
		case paths.Cubic:
			put(c.B, c.C, c.D)
			b.WriteString("c\n")
		case paths.Arc:
			for _, k := range c.Cubics() {
				curve(k)
			}
		default:
			put(c.End())
			b.WriteString("l\n")
		}
	}
	for _, s := range strokes {
		if len(s) == 0 {
			continue
		}
		put(s.Start())
		b.WriteString("m\n")
		if p.Chords > 0 {
			for _, q := range s.Flatten(p.Chords / m.MeanScale())[1:] {
				put(q)
				b.WriteString("l\n")
			}
		} else {
			for _, c := range s {
				curve(c)
			}
		}
		if s.IsClosed() {
			b.WriteString("h\n")
		}
		each()
	}
	b.WriteString("S Q\n")
}

// A Drawing is drawn once and placed on many pages.
type Drawing struct{ tpl fpdf.Template }

// NewDrawing makes a drawing of w by h mm. What is drawn beyond that is cut off.
func (d *Doc) NewDrawing(w, h float64, draw func(add func(Pen, paths.Affine, ...paths.Stroke))) Drawing {
	var b bytes.Buffer
	draw(func(p Pen, m paths.Affine, strokes ...paths.Stroke) {
		if len(strokes) > 0 {
			appendStrokes(&b, p, m, strokes, d.drawn)
		}
	})
	size := fpdf.SizeType{Wd: w * PerMM, Ht: h * PerMM}
	tpl := d.pdf.CreateTemplateCustom(fpdf.PointType{}, size, func(t *fpdf.Tpl) { t.RawWriteStr(b.String()) })
	return Drawing{named{tpl, tpl.ID()}}
}

// named is a template that knows its name: the library works it out from all of its
// bytes each time that it is asked.
type named struct {
	fpdf.Template
	id string
}

func (n named) ID() string { return n.id }

// Place puts the lower left corner of a drawing at a place of the page, and shows
// what of it lies within the window.
func (d *Doc) Place(k Drawing, at paths.Point, window paths.Rect) {
	fmt.Fprintf(&d.buf, "q %.4f %.4f %.4f %.4f re W n\n", window.Min.X*PerMM, window.Min.Y*PerMM, window.Width()*PerMM, window.Height()*PerMM)
	d.flush()
	_, size := k.tpl.Size()
	d.pdf.UseTemplateScaled(k.tpl, fpdf.PointType{X: at.X * PerMM, Y: d.h - at.Y*PerMM - size.Ht}, size)
	d.buf.WriteString("Q\n")
	d.flush()
}

// Bytes ends the document.
func (d *Doc) Bytes() ([]byte, error) {
	d.flush()
	var out bytes.Buffer
	if err := d.pdf.Output(&out); err != nil {
		return nil, fmt.Errorf("the PDF cannot be written: %w", err)
	}
	return out.Bytes(), nil
}
