package svg

import (
	"weftplot/paths"
	"weftplot/paths/bounded"
	"weftplot/paths/cores"
	"weftplot/paths/fault"
	"weftplot/paths/outline"
	"weftplot/paths/svg/css"
	"weftplot/paths/svg/shape"
	"weftplot/paths/svg/source"
	"weftplot/paths/svg/text"
)

// Font is a font to draw text with; see [text.Font].
type Font = text.Font

// Options bound what reading a file may cost, and say how closely curves are
// kept and what is drawn. The zero value works.
type Options struct {
	// MaxBytes bounds the file, also after unpacking; 0 means 32 MiB. With its
	// entities expanded it may be twice as long.
	MaxBytes int
	// MaxDepth bounds how deep elements nest, copies by use included; 0 means 200.
	MaxDepth int
	// MaxElements bounds the elements of the file, and again those visited with
	// every copy counted; 0 means 500,000.
	MaxElements int
	// MaxUses bounds the copies that use elements make in all; 0 means 100,000.
	MaxUses int
	// MaxCurves bounds the pieces of line work, dashes included; 0 means 1,000,000.
	MaxCurves int
	// Tolerance is the greatest distance in mm on the page between an ellipse
	// and the cubics that approximate it; 0 means 0.001.
	Tolerance float64
	// Dashes draws dashed strokes as their dashes; otherwise they are drawn
	// whole, with a note.
	Dashes bool
	// Unite draws only those edges of filled shapes that are seen: two
	// overlapping shapes of one colour get one common outline, and edges under
	// a later shape are left out. Without it each shape has its whole outline.
	Unite bool
	// Fonts are used to draw text, as the outlines of its letters. Text without
	// a font is not drawn, and is noted, unless Words is set.
	Fonts []Font
	// Words keeps text without a font as the words of the design.
	Words bool
	// Skip names layers that will not be drawn; with Unite they hide nothing.
	Skip []string
	// Progress, unless nil, is told now and then how much of the reading is done, and at
	// the end that all is.
	Progress func(done, total int)
}

func (o Options) withDefaults() Options {
	bounded.Default(&o.MaxBytes, 32<<20)
	bounded.Default(&o.MaxDepth, 200)
	bounded.Default(&o.MaxElements, 500_000)
	bounded.Default(&o.MaxUses, 100_000)
	bounded.Default(&o.MaxCurves, 1_000_000)
	bounded.Default(&o.Tolerance, 0.001)
	return o
}

// Read returns the line work of an SVG file, plain or packed by gzip, as a
// design in mm, y up, the lower left corner of its page at the origin.
//
// HasSize is true when the root's width or height is an absolute length; a
// number without unit and one in px count 96 to the inch, by the standard, and
// are noted. Without a size one user unit is taken as one millimetre, and only
// the proportions of the design mean anything. A file with neither size nor
// viewBox has no page; its line work then has its own lower left corner at the
// origin.
//
// The error is a [*fault.Error] that names the file, and the line and element
// where there is one. A file that holds nothing to draw is a fault too; the
// design returned with it has no layers, but its notes say what was seen.
func Read(name string, data []byte, opt Options) (paths.Design, error) {
	r := &reader{name: name, opt: opt.withDefaults(), meter: cores.NewMeter(readingParts, opt.Progress), batchSize: batchSize}
	return r.read(data)
}

// read reads the file; see [Read].
func (r *reader) read(data []byte) (paths.Design, error) {
	content, bad := source.Decode(r.name, data, r.opt.MaxBytes)
	if bad != nil {
		return paths.Design{}, bad
	}
	if content, bad = source.ExpandEntities(r.name, content, 2*r.opt.MaxBytes); bad != nil {
		return paths.Design{}, bad
	}
	r.css = css.NewCascade(r)
	if r.fonts, bad = text.Load(r.opt.Fonts); bad != nil {
		return paths.Design{}, bad
	}
	if bad := r.parse(content); bad != nil {
		return paths.Design{}, bad
	}
	r.addSheets()
	if r.stop != nil {
		return paths.Design{}, r.stop
	}
	pg, bad := r.page()
	if bad != nil {
		return paths.Design{}, bad
	}
	r.walkRoot(pg)
	if r.stop != nil {
		return paths.Design{}, r.stop
	}
	if r.opt.Unite {
		r.unite()
	}
	d := r.place(pg)
	r.told(1, 1)
	if d.IsEmpty() {
		return d, r.nothing(d.Notes)
	}
	return d, nil
}

// readingParts is into how many parts reading is divided to tell how far it is; parsing
// takes about parsed of the time, drawing the elements the rest. Where fills are united,
// that takes about uniting of all.
const (
	readingParts = 1000
	parsed       = 0.6
	uniting      = 0.8
)

// told says how much of the reading is done: a share of parsing and drawing, and one of
// uniting.
func (r *reader) told(read, united float64) {
	if r.opt.Unite {
		read = (1-uniting)*read + uniting*united
	}
	r.meter.To(read)
}

// reader is one reading of one file.
type reader struct {
	name    string
	opt     Options
	root    *node
	byID    map[string]*node
	css     *css.Cascade
	notes   notebook
	clips   map[clipKey]builtClip // built so far
	masks   map[maskKey]builtClip // built so far
	veil    *veil                 // of the mask whose contents are being painted; nil for none
	open    map[*node]bool        // elements being drawn, to catch one that refers to itself
	pxSize  float64               // mm of a px on the page
	drawn   []inked
	kept    []kept
	fonts   text.Fonts
	pageBox paths.Rect // in page mm; empty when the file has no page
	paper   *paper
	covers  []cover // the filled areas, in order of painting
	windows map[*shape.Clip]*outline.Window
	regions map[*shape.Area]*outline.Region

	meter     *cores.Meter
	elements  int // of the file
	batchSize int // see [batchSize]
	sketches  int // shapes that were drawn ahead
	sketched  int // those of them that were taken

	visits, uses, bytes int // used so far of what the options allow
	left                int // pieces of line that may still be made
	clipWork            int // edges of clip paths examined
	fillWork            int // looks at curves to clip fills
	counted

	// stop is the fault that ends the reading.
	stop *fault.Error
}

// counted are kinds of shapes that are counted, with the first of each.
type counted struct {
	unpainted, outlined         int // without paint; filled and not stroked
	firstUnpainted, firstFilled *node
}

// inked is a stroke in page mm, y down, with what decides its layer.
type inked struct {
	paths.DesignStroke
	layer, group *node
}

// spend counts pieces of line made for n against the bound, and reports whether
// they were within it; if not, the reading ends.
func (r *reader) spend(n *node, pieces int) bool {
	if r.left -= pieces; r.left < 0 {
		r.halt(n, "the drawing has more than %d pieces of line, the most that are read", r.opt.MaxCurves)
	}
	return r.left >= 0
}

// halt ends the reading with a fault for a bound that n exceeds.
func (r *reader) halt(n *node, format string, args ...any) {
	if r.stop == nil {
		r.stop = bounded.TooMuch(r.where(n), format, args...)
	}
}

// nothing returns the fault of a file without line work.
func (r *reader) nothing(notes []paths.Note) *fault.Error {
	return bounded.Nothing(r.name, "open it in a drawing program and look for lines or filled shapes", notes, "size-in-pixels", "no-paint")
}
