package language

import (
	"math"
	"regexp"
	"sort"
	"strconv"

	"weftplot/plot/program"
)

// Heights tell where Z stands after each line of a G-code program that moves it,
// in order, in the program's own units. There are none where the pen is not
// moved by Z alone: where a move over the cloth also moves Z, or something else
// lifts the pen.
type Heights []Height

// Height is where Z stands after a line.
type Height struct {
	End int // byte offset of the text after the line
	Z   float64
}

// heightsOf finds the heights in the text of p.
func heightsOf(p program.Program, text []byte) Heights {
	var out Heights
	moves := map[int]bool{} // by line, whether a block there is one over the cloth
	for _, b := range p.Blocks {
		moves[b.Line] = moves[b.Line] || b.Curve != nil
	}
	for _, c := range (gcodeLanguage{}).Chunks(text) {
		z, said := LastZ(text[c.Start:c.End])
		if !said {
			continue
		}
		if moves[c.Line] {
			return nil
		}
		out = append(out, Height{c.End, z})
	}
	from := 0
	for _, b := range p.Blocks {
		if k := b.Kind; k == program.PenUp || k == program.PenDown {
			if h, ok := out.At(b.End); !ok || h.End <= from {
				return nil
			}
		}
		if b.Kind != program.Remark { // which does nothing, and may share the line
			from = max(from, b.End)
		}
	}
	return out
}

// At returns where Z stands once all before a byte offset is done, and false if
// that is not known. The cost is logarithmic.
func (h Heights) At(offset int) (Height, bool) {
	i := sort.Search(len(h), func(i int) bool { return h[i].End > offset })
	if i == 0 {
		return Height{}, false
	}
	return h[i-1], true
}

// offHeight is how far Z may be reported from where it was sent.
const offHeight = 0.1

// Is reports whether z, as a machine reports it, is this height: within 0.1.
func (h Height) Is(z float64) bool { return math.Abs(h.Z-z) <= offHeight }

var (
	commentText = regexp.MustCompile(`\([^)\n]*\)|;[^\n]*`)
	zWords      = regexp.MustCompile(`[Zz][ \t]*([-+]?[0-9.]+)`)
)

// LastZ returns the value of the last Z word in lines of G-code, and false if
// there is none.
func LastZ(lines []byte) (float64, bool) {
	all := zWords.FindAllSubmatch(commentText.ReplaceAll(lines, nil), -1)
	if len(all) == 0 {
		return 0, false
	}
	z, err := strconv.ParseFloat(string(all[len(all)-1][1]), 64)
	return z, err == nil
}
