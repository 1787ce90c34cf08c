package dxf

import (
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/paths/bounded"
	"weftplot/paths/cores"
	"weftplot/paths/fault"
)

// Options supply what a file does not say, and bound what reading it may cost.
// The zero value works.
type Options struct {
	// Unit is the length of the drawing's unit in mm; 0 takes the unit that the
	// file states.
	Unit float64
	// Proportions accepts a file that states no unit: one unit is then taken as
	// one millimetre, and the design has no size. Without it such a file is a
	// fault.
	Proportions bool
	// Words keeps text as the words of the design. Without it text is not drawn,
	// and is noted.
	Words bool
	// MaxBytes bounds the file; 0 means 32 MiB.
	MaxBytes int
	// MaxEntities bounds the entities of the file, and again those visited with
	// every copy counted; 0 means 500,000.
	MaxEntities int
	// MaxCurves bounds the pieces of line work, in the file and again with every
	// copy counted; 0 means 1,000,000.
	MaxCurves int
	// MaxInserts bounds the copies of blocks in all; 0 means 100,000.
	MaxInserts int
	// MaxDepth bounds how deep blocks nest; 0 means 50.
	MaxDepth int
	// Tolerance is the greatest distance in mm between a spline and the cubics
	// that approximate it; 0 means 0.001. For a small spline it is never more
	// than a millionth of its size.
	Tolerance float64
	// Progress, unless nil, is told now and then how much of the reading is done, and at
	// the end that all is.
	Progress func(done, total int)
}

func (o Options) withDefaults() Options {
	bounded.Default(&o.MaxBytes, 32<<20)
	bounded.Default(&o.MaxEntities, 500_000)
	bounded.Default(&o.MaxCurves, 1_000_000)
	bounded.Default(&o.MaxInserts, 100_000)
	bounded.Default(&o.MaxDepth, 50)
	bounded.Default(&o.Tolerance, 0.001)
	return o
}

// Read returns the line work of a DXF file as a design in mm, y up, at the
// coordinates that the file has.
//
// The design has no page. HasSize is true when the unit is known, from the file
// or from the options; a unit that the file states is noted, as many files state
// a wrong one.
//
// The error is a [*fault.Error] that names the file, and the line and entity
// where there is one. A file that holds nothing to draw is a fault too; the
// design returned with it has no layers, but its notes say what was seen.
func Read(name string, data []byte, opt Options) (paths.Design, error) {
	r := &reader{name: name, opt: opt.withDefaults(), names: map[string]string{}, layers: map[string]*layer{}, blocks: map[string]*block{}}
	if len(data) > r.opt.MaxBytes {
		return paths.Design{}, bounded.TooLong(name, r.opt.MaxBytes)
	}
	data, bad := plainText(name, data)
	if bad != nil {
		return paths.Design{}, bad
	}
	r.meter = cores.NewMeter(readingParts, opt.Progress)
	r.curvesRead = r.opt.MaxCurves
	if r.parse(data); r.stop != nil {
		return paths.Design{}, r.stop
	}
	r.meter.To(parsed)
	unit, known, bad := r.unit()
	if bad != nil {
		return paths.Design{}, bad
	}
	if r.walk(unit); r.stop != nil {
		return paths.Design{}, r.stop
	}
	r.meter.To(1)
	layers := r.sorted()
	if r.stop != nil {
		return paths.Design{}, r.stop
	}
	d := paths.Design{Name: name, Page: paths.EmptyRect(), HasSize: known, Layers: layers, Words: r.words()}
	r.noteSize(d, unit)
	d.Notes = r.notes.all()
	if d.IsEmpty() {
		return d, r.nothing()
	}
	return d, nil
}

// reader is one reading of one file.
type reader struct {
	name   string
	opt    Options
	meter  *cores.Meter
	head   header
	names  map[string]string // every name of the file once
	layers map[string]*layer // by folded name
	blocks map[string]*block // by folded name
	model  []entity
	notes  notebook
	drawn  []inked
	kept   []inkedWords

	entities, curvesRead      int // entities read so far, and curves that may still be read
	visits, inserts, splining int // used so far of what the options allow
	left                      int // curves that may still be drawn
	open                      map[*block]bool
	here                      space // the map to page millimetres of the entity being drawn

	// stop is the fault that ends the reading.
	stop *fault.Error
}

// halt ends the reading with a fault for a bound that is exceeded.
func (r *reader) halt(line int, kind, format string, args ...any) {
	if r.stop == nil {
		r.stop = bounded.TooMuch(r.where(line, kind), format, args...)
	}
}

func (r *reader) where(line int, kind string) string {
	return fmt.Sprintf("%s, line %d, %s", r.name, line, kind)
}

// unit returns the length of a drawing unit in mm, and whether it is known.
func (r *reader) unit() (mm float64, known bool, bad *fault.Error) {
	switch u, ok := units[r.head.units]; {
	case r.opt.Unit > 0 && !math.IsInf(r.opt.Unit, 1):
		return r.opt.Unit, true, nil
	case ok:
		return u.mm, true, nil
	case r.opt.Proportions:
		return 1, false, nil
	}
	do := "say in what it is drawn: [units] mm, cm, m, in or ft; or how large the rug is to be: [width] 24in"
	switch r.head.measurement {
	case "0":
		do += "; the file says only that it is drawn in inches and feet"
	case "1":
		do += "; the file says only that it is metric"
	}
	return 0, false, fault.Bad(r.name, do, "the file does not say in what unit it is drawn")
}

// units are the values of $INSUNITS that a rug may be drawn in.
var units = map[string]struct {
	mm   float64
	name string
}{
	"1": {25.4, "inches"}, "2": {304.8, "feet"}, "4": {1, "millimetres"}, "5": {10, "centimetres"},
	"6": {1000, "metres"}, "8": {25.4e-6, "millionths of an inch"}, "9": {0.0254, "thousandths of an inch"},
	"10": {914.4, "yards"}, "13": {0.001, "thousandths of a millimetre"}, "14": {100, "decimetres"},
}

// noteSize says in what unit the file was read, where the file alone said so.
func (r *reader) noteSize(d paths.Design, unit float64) {
	u, ok := units[r.head.units]
	if !ok || r.opt.Unit > 0 || len(d.Layers) == 0 {
		return
	}
	b := d.Bounds()
	r.notes.add("size", paths.Note{Code: "size-from-file", Line: r.head.unitsLine, Element: "$INSUNITS"}, func(int) string {
		return fmt.Sprintf("The file says that it is drawn in %s, so it measures %.4g x %.4g mm. If that is wrong, say in what it is drawn with [units].", u.name, b.Width(), b.Height())
	})
}

// nothing returns the fault of a file without line work.
func (r *reader) nothing() *fault.Error {
	return bounded.Nothing(r.name, "open it in a drawing program and look for lines in its model", r.notes.all())
}
