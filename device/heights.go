package device

import (
	"math"
	"regexp"
	"sort"
	"strconv"

	"weftplot/plot/program"
)

// heights tells where Z stands after each line of a G-code program that moves
// it, in its own units; there are none where the pen is not moved by Z alone.
type heights []height

type height struct {
	end int // offset of the text after the line
	z   float64
}

// heightsOf finds the heights in the text of a program. Where a move over the
// cloth also moves Z, or anything else moves the pen, there are none to rely on.
func heightsOf(job Job) heights {
	var out heights
	moves := map[int]bool{} // by line, whether a block there is one over the cloth
	for _, b := range job.Program.Blocks {
		moves[b.Line] = moves[b.Line] || b.Curve != nil
	}
	for _, p := range cutLines(job.Text) {
		z, said := zWord(job.Text[p.start:p.end])
		if !said {
			continue
		}
		if moves[p.line] {
			return nil
		}
		out = append(out, height{p.end, z})
	}
	from := 0
	for _, b := range job.Program.Blocks {
		if k := b.Kind; k == program.PenUp || k == program.PenDown {
			if h, ok := out.at(b.End); !ok || h.end <= from {
				return nil
			}
		}
		from = max(from, b.End)
	}
	return out
}

// at returns where Z stands once all before offset is done, and false if that is
// not known.
func (h heights) at(offset int) (height, bool) {
	i := sort.Search(len(h), func(i int) bool { return h[i].end > offset })
	if i == 0 {
		return height{}, false
	}
	return h[i-1], true
}

// offHeight is how far Z may be reported from where it was sent, mm.
const offHeight = 0.1

func (h height) is(z float64) bool { return math.Abs(h.z-z) <= offHeight }

var (
	commentText = regexp.MustCompile(`\([^)\n]*\)|;[^\n]*`)
	zWords      = regexp.MustCompile(`[Zz][ \t]*([-+]?[0-9.]+)`)
)

// zWord returns the last Z word in lines of G-code.
func zWord(text []byte) (float64, bool) {
	all := zWords.FindAllSubmatch(commentText.ReplaceAll(text, nil), -1)
	if len(all) == 0 {
		return 0, false
	}
	z, err := strconv.ParseFloat(string(all[len(all)-1][1]), 64)
	return z, err == nil
}
