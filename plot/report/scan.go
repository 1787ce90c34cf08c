package report

import (
	"cmp"
	"fmt"
	"image"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/label"
	"weftplot/paths/scan"
	"weftplot/paths/scan/linework"
	"weftplot/paths/scan/raster"
	"weftplot/paths/scan/tint"
	"weftplot/plot/figures"
	"weftplot/plot/proof"
)

// ScanReport is what "scan" says of a picture and of the lines found in it.
// Lengths are mm.
type ScanReport struct {
	Version   int          `json:"version"`        // of this form, 1
	Image     string       `json:"image"`          // its name
	Format    string       `json:"format"`         // of the picture
	Pixels    [2]int       `json:"pixels"`         // as stored
	Page      int          `json:"page"`           // of the file, counted from 1
	Pages     int          `json:"pages"`          // that the file has
	SizeFrom  string       `json:"size_from"`      // in words: what says how large it is
	PixelMM   float64      `json:"pixel_mm"`       // of the page that was traced
	PageMM    [2]float64   `json:"page_mm"`        // width and height
	Sheet     *SheetReport `json:"sheet"`          // null for a scan
	DrawingMM [2]float64   `json:"drawing_mm"`     // width and height of what was found
	Strokes   int          `json:"strokes"`        // found
	LengthMM  float64      `json:"length_mm"`      // of all strokes
	Nodes     int          `json:"nodes"`          // lines, arcs and cubics
	LineMM    float64      `json:"line_mm"`        // measured width of the drawn lines
	TurnedDeg float64      `json:"turned_deg"`     // to lie square, counter-clockwise
	Gaps      int          `json:"gaps_bridged"`   // each drawn as a line
	Spurs     int          `json:"spurs_removed"`  // short side branches
	Specks    int          `json:"specks_removed"` // small spots
	Blobs     int          `json:"blobs_outlined"` // wide places, drawn as outlines
	Layers    []ScanLayer  `json:"layers"`         // of the design, the longest first
	Doubtful  []ScanPlace  `json:"doubtful"`       // places to look at, those about the most ink first
	Notes     []string     `json:"notes"`          // of the picture as a whole
	Files     []string     `json:"files"`          // that were written
	Bounds    *[4]float64  `json:"bounds_mm"`      // x0, y0, x1, y1; null when nothing was found
}

// ScanLayer is a layer of the design: that of an ink, where inks were told apart.
type ScanLayer struct {
	Name     string  `json:"name"`
	Strokes  int     `json:"strokes"`
	LengthMM float64 `json:"length_mm"` // of its strokes
}

// SheetReport is the sheet of paper found in a photo.
type SheetReport struct {
	Size      [2]float64    `json:"size_mm"`    // width and height
	CornersPx [4][2]float64 `json:"corners_px"` // from the upper left, y down, clockwise
	ByHand    bool          `json:"by_hand"`    // the corners were given
	DPI       float64       `json:"dpi"`        // pixels an inch of the flattened sheet
	BowMM     float64       `json:"bow_mm"`     // how far its edges bend
}

// ScanPlace is a place to be looked at.
type ScanPlace struct {
	Message string     `json:"message"`   // what to look at
	AtMM    [2]float64 `json:"at_mm"`     // x, y on the page
	Length  float64    `json:"length_mm"` // of ink that it is about
}

// SummarizeScan says what was found in a picture that is called name.
func SummarizeScan(name string, p raster.Page, src raster.Source, t scan.Tracing, opt Options) ScanReport {
	b := paths.BoundsOf(t.Strokes)
	r := ScanReport{
		Version: 1, Image: name, Format: src.Format, Pixels: [2]int{src.W, src.H}, Page: src.Page, Pages: src.Pages, SizeFrom: src.SizeFrom,
		PixelMM: figures.Round(p.MM), PageMM: [2]float64{figures.Round(float64(p.W) * p.MM), figures.Round(float64(p.H) * p.MM)},
		DrawingMM: [2]float64{figures.Round(b.Width()), figures.Round(b.Height())}, Bounds: figures.Bounds(b),
		Strokes: len(t.Strokes), LengthMM: figures.Round(paths.LengthOf(t.Strokes)),
		LineMM: figures.Round(t.LineMM), TurnedDeg: figures.Round(t.TurnedDeg),
		Layers: layersOf(t), Doubtful: []ScanPlace{}, Notes: []string{}, Files: []string{},
	}
	for _, n := range append(slices.Clone(src.Notes), t.Notes()...) {
		r.Notes = append(r.Notes, fault.Rename(n, opt.Names))
	}
	// The longest doubts first: a person looks at the first few.
	t.Finds = slices.Clone(t.Finds)
	slices.SortStableFunc(t.Finds, func(a, b scan.Find) int { return cmp.Compare(b.LengthMM, a.LengthMM) })
	for _, s := range t.Strokes {
		r.Nodes += len(s)
	}
	for _, f := range t.Finds {
		switch f.Kind {
		case scan.GapBridged:
			r.Gaps++
		case scan.SpurRemoved:
			r.Spurs++
		case scan.SpeckRemoved:
			r.Specks++
		case scan.BlobOutlined:
			r.Blobs++
		case scan.Doubtful:
			r.Doubtful = append(r.Doubtful, ScanPlace{f.Message, [2]float64{figures.Round(f.At.X), figures.Round(f.At.Y)}, figures.Round(f.LengthMM)})
		}
	}
	if s := src.Sheet; s != nil {
		r.Sheet = &SheetReport{Size: [2]float64{s.Sheet.W, s.Sheet.H}, ByHand: s.ByHand, DPI: figures.Round(s.DPI), BowMM: figures.Round(s.BowMM)}
		for i, c := range s.Corners {
			r.Sheet.CornersPx[i] = [2]float64{figures.Round(c.X), figures.Round(c.Y)}
		}
	}
	return r
}

// layersOf lists the inks of a tracing, or its one layer.
func layersOf(t scan.Tracing) []ScanLayer {
	out := []ScanLayer{}
	if t.Inks == nil {
		if len(t.Strokes) > 0 {
			out = append(out, ScanLayer{linework.Layer, len(t.Strokes), figures.Round(paths.LengthOf(t.Strokes))})
		}
		return out
	}
	of := map[string][]paths.Stroke{}
	for i, s := range t.Strokes {
		of[t.Inks[i]] = append(of[t.Inks[i]], s)
	}
	for name, strokes := range of {
		out = append(out, ScanLayer{name, len(strokes), figures.Round(paths.LengthOf(strokes))})
	}
	slices.SortFunc(out, func(a, b ScanLayer) int {
		return cmp.Or(cmp.Compare(b.LengthMM, a.LengthMM), cmp.Compare(a.Name, b.Name))
	})
	return out
}

// Signs of the finds on a scan's proof, in the order of the legend.
var scanSigns = []struct {
	kind  scan.FindKind
	label string
	sign  proof.Sign
}{
	{scan.Doubtful, "doubtful", proof.Ring},
	{scan.GapBridged, "gap bridged", proof.Diamond},
	{scan.SpurRemoved, "spur removed", proof.Triangle},
	{scan.BlobOutlined, "wide place drawn by its outline", proof.Square},
	{scan.SpeckRemoved, "speck removed", proof.Cross},
}

// ScanScene shows the lines found over the picture they were found in, with what
// was bridged, removed and doubted. What was turned to lie square is shown as it
// lies in the picture.
func ScanScene(r ScanReport, p raster.Page, t scan.Tracing) proof.Scene {
	t = asItLies(p, t)
	s := proof.Scene{
		Title: label.Clean(r.Image, label.Picture), Side: "the drawing as it lies on the paper, with the lines found in it",
		Captions: []string{
			fmt.Sprintf("drawing %s x %s", paths.Length(r.DrawingMM[0]).Both(), paths.Length(r.DrawingMM[1]).Both()),
			fmt.Sprintf("%d strokes, %.2f m, drawn %.2f mm wide", r.Strokes, r.LengthMM/1000, r.LineMM),
			"size from " + r.SizeFrom,
		},
		NoDirection: true,
		Picture:     paled(p),
	}
	if r.TurnedDeg != 0 {
		s.Captions = append(s.Captions, "the design is turned "+Turned(r.TurnedDeg)+" to lie square")
	}
	ends := proof.Places{Label: "open end", Sign: proof.Spot}
	for i, k := range t.Strokes {
		found := proof.Ink{Stroke: k, Colour: "#d55e00", Width: 0, Pen: "line found"}
		if t.Inks != nil {
			found.Colour, found.Pen = tint.Colour(t.Inks[i]), "line found in "+t.Inks[i]
		}
		s.Ink = append(s.Ink, found)
		if !k.IsClosed() {
			ends.At = append(ends.At, k.Start(), k.End())
		}
	}
	for _, k := range scanSigns {
		places := proof.Places{Label: k.label, Sign: k.sign}
		for _, f := range t.Finds {
			if f.Kind != k.kind {
				continue
			}
			places.At = append(places.At, f.At)
			if len(f.Stroke) > 0 {
				places.Strokes = append(places.Strokes, f.Stroke)
			}
			if k.kind == scan.Doubtful {
				s.Notes = append(s.Notes, proof.Note{At: &f.At, Label: f.Message})
			}
		}
		if len(places.At) > 0 {
			s.Places = append(s.Places, places)
		}
	}
	if len(ends.At) > 0 {
		s.Places = append(s.Places, ends)
	}
	for _, n := range r.Notes {
		s.Notes = append(s.Notes, proof.Note{Label: n})
	}
	return s
}

// Turned says a turn in degrees, counter-clockwise where positive, in words.
func Turned(deg float64) string {
	way := "counter-clockwise"
	if deg < 0 {
		way = "clockwise"
	}
	return fmt.Sprintf("%.2f degrees %s", math.Abs(deg), way)
}

// asItLies returns a tracing turned back about the middle of its page.
func asItLies(p raster.Page, t scan.Tracing) scan.Tracing {
	if t.TurnedDeg == 0 {
		return t
	}
	mid := paths.Point{X: float64(p.W) * p.MM / 2, Y: float64(p.H) * p.MM / 2}
	m := paths.Translate(mid.Mul(-1)).Then(paths.Rotate(-t.TurnedDeg * math.Pi / 180)).Then(paths.Translate(mid))
	return t.Transform(m)
}

// mostShown is the greatest width and height in pixels of a picture under a proof:
// enough to see a pencil line.
const mostShown = 2000

// paled returns a page as a picture to draw on: reduced to [mostShown], and paler, so
// that lines stand out on it.
func paled(p raster.Page) *proof.Picture {
	k := max(1, (max(p.W, p.H)+mostShown-1)/mostShown)
	w, h := (p.W+k-1)/k, (p.H+k-1)/k
	img := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			sum, n := 0, 0
			for j := y * k; j < min(p.H, (y+1)*k); j++ {
				for i := x * k; i < min(p.W, (x+1)*k); i++ {
					sum += int(p.Light[j*p.W+i])
					n++
				}
			}
			img.Pix[y*img.Stride+x] = uint8(255 - (255-sum/n)*7/10)
		}
	}
	high := float64(p.H) * p.MM
	return &proof.Picture{Image: img, Box: paths.Rect{
		Min: paths.Point{Y: high - float64(h*k)*p.MM},
		Max: paths.Point{X: float64(w*k) * p.MM, Y: high},
	}}
}
