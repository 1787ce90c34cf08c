package inspect

import (
	"math"
	"slices"

	"weftplot/paths"
)

// Kind is what was found.
type Kind int

const (
	// Double is where a line is drawn over another, or over itself.
	Double Kind = iota
	// Gap is an end that nearly meets a line and does not.
	Gap
	// Speck is a shape that is smaller than a row of loops both ways.
	Speck
	// Close is where lines run so close that no row of loops fits between them.
	Close
)

// Found is one place that was found. Lengths are mm.
type Found struct {
	Kind Kind
	// At is the middle of it.
	At paths.Point
	// Length is how long a double or close part is, how wide a gap is, and the
	// greater extent of a speck.
	Length float64
	// Apart is the least distance of lines that run close, and of doubles.
	Apart float64
	// Stroke is the number of the stroke it was found on, Other that of the stroke
	// it lies beside or faces; -1 for none. Of several that it runs close to, it is that
	// which comes nearest, and of those as near the first.
	Stroke, Other int
}

// Options say what to look for. Lengths are mm. The zero value looks for doubles
// and gaps only, as no room for loops suits every cloth and yarn.
type Options struct {
	// Across and Along are the room that a row of loops takes; 0 leaves out what is
	// measured by it, specks and close lines.
	Across, Along float64
	// Meet is the distance within which an end meets a line; 0 means 0.05.
	Meet float64
	// Gap is the widest gap that counts as nearly closed; 0 means 0.5, a pen's
	// width (common practice).
	Gap float64
	// Double is how far apart lines may lie and still be one line drawn twice; 0
	// means 0.1.
	Double float64
}

// withDefaults returns the options with what is not said filled in.
func (o Options) withDefaults() Options {
	for _, d := range []struct {
		value *float64
		or    float64
	}{{&o.Meet, 0.05}, {&o.Gap, 0.5}, {&o.Double, 0.1}} {
		if *d.value == 0 {
			*d.value = d.or
		}
	}
	return o
}

// Result is all that was found, in the order of the kinds and within a kind in
// the order of the strokes.
type Result struct {
	Found []Found
	// Whole is false when so much lies in one place that more may be doubled or close
	// than is told. What is told is so all the same.
	Whole bool
}

// Inspect looks at strokes whose ends have been joined where they meet: a stroke
// that goes on as another is taken for two lines. The strokes are not changed.
//
// A double is reported from a length of one millimetre, lines that run close from
// the length that a row is wide. Lines that meet or cross are close where they do,
// so nothing is reported nearer to such a place than four times that. The same
// holds for two parts of one stroke that are no farther apart along it, and for
// what is close within a speck.
func Inspect(strokes []paths.Stroke, opt Options) Result {
	return newDrawing(strokes, opt.withDefaults()).inspect(strokes)
}

func (f *drawing) inspect(strokes []paths.Stroke) Result {
	sp := f.findSpecks(strokes)
	specks, whole := sp.found()
	small := map[int]bool{}
	for _, s := range specks {
		small[s.Stroke] = true
	}
	p := f.newPairing(func(stroke int32) bool { return small[sp.sets.Find(int(stroke))] })
	whole = p.all() && whole
	gaps, allGaps := f.gaps()
	return Result{Found: slices.Concat(p.doubles(), gaps, specks, p.close()), Whole: whole && allGaps}
}

// limit is how close lines may run that lie at a right angle to the unit vector
// n: the room of a row of loops.
func (o Options) limit(n paths.Point) float64 {
	return math.Hypot(n.X*o.Across, n.Y*o.Along)
}

// reach is the greatest distance that is looked at.
func (o Options) reach() float64 {
	return max(o.Across, o.Along, o.Gap, o.Double)
}
