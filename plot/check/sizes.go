package check

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
	"weftplot/paths/weave/snap"
	"weftplot/plot"
	"weftplot/plot/figures"
	"weftplot/plot/report"
)

// SizeProposal is a finished size near the one asked at which what repeats in a design,
// stripes and motifs and the spaces between them, comes out in whole rows of itself, and
// slanting lines that are meant to go through holes do.
// It was tried: the counts are those that come out.
type SizeProposal struct {
	Setting    string      `json:"setting"`     // width or height
	SizeMM     float64     `json:"size_mm"`     // its value
	FinishedMM [2]float64  `json:"finished_mm"` // width and height
	Message    string      `json:"message"`     // a sentence without a full stop
	Counts     []SizeCount `json:"counts"`      // what repeats, in rows
	Diagonals  int         `json:"diagonals"`   // slanting lines that go from hole to hole
	// MaxMovedChannels is how far a line moves at most to be equal to the others.
	MaxMovedChannels float64 `json:"max_moved_channels"`
	// Forced are the places that are equal only because lines moved far, or not even so,
	// and the slanting lines that miss the holes.
	Forced int `json:"forced"`
}

// SizeCount is how often spacings of so many rows repeat.
type SizeCount struct {
	Axis   string `json:"axis"` // "across" or "along"
	Rows   int    `json:"rows"`
	Places int    `json:"places"`
}

const (
	// nearSize is how far, as a part of it, a size may be from the one asked.
	nearSize = 0.2
	// mostProposed sizes are proposed, and mostTried are tried for it.
	mostProposed, mostTried = 3, 6
	// nearlyOne is how far apart, as a part of them, sizes are at least.
	nearlyOne = 0.015
	// mostTriedStrokes and mostTriedCurves are how much all that is tried may have. One
	// size is tried all the same, of what has no more than mostCurvesTried.
	mostTriedStrokes, mostTriedCurves, mostCurvesTried = 3000, 20_000, 40_000
	// mostRhythms are looked at, those with most places first.
	mostRhythms = 40
	// byItself is how many channels a line moves at most for its equals, at a size at
	// which they are whole of themselves.
	byItself = 0.75
)

// proposeSizes returns sizes near that of a job at which what repeats is whole. There
// are none where all is whole already. Its error is that of ctx.
func proposeSizes(ctx context.Context, j plot.Job, opt report.Options) ([]SizeProposal, error) {
	now := forced(j.Moves)
	if now == 0 || areWhole(j.Moves) {
		return nil, nil
	}
	rs := slices.Clone(j.Moves.Rhythms)
	for _, k := range j.Moves.Slants {
		rs = append(rs, snap.Rhythm{Size: k.Size, Places: k.Places})
	}
	slices.SortStableFunc(rs, func(a, b snap.Rhythm) int { return cmp.Compare(b.Places, a.Places) })
	rs = rs[:min(len(rs), mostRhythms)]
	var out []SizeProposal
	setting, base := report.SizeFor(j, 1)
	try := factors(rs, base)
	try = try[:min(len(try), sizesToTry(j.Artwork))]
	for _, f := range try {
		p, ok, err := tried(ctx, j, setting, f)
		if err != nil {
			return nil, err
		}
		if ok && p.Forced < now {
			p.Message = fault.Rename(p.Message, opt.Names)
			out = append(out, p)
		}
	}
	slices.SortStableFunc(out, func(a, b SizeProposal) int { return cmp.Compare(a.Forced, b.Forced) })
	out = apartEnough(out)
	slices.SortFunc(out, func(a, b SizeProposal) int { return cmp.Compare(a.SizeMM, b.SizeMM) })
	return out, nil
}

// sizesToTry returns how many sizes may be tried of what is drawn: a size takes as long
// as putting all of it on the weave does.
func sizesToTry(strokes []plot.Stroke) int {
	curves := 0
	for _, s := range strokes {
		curves += len(s.Stroke)
	}
	if curves > mostCurvesTried {
		return 0
	}
	return max(1, min(mostTriedStrokes/max(1, len(strokes)), mostTriedCurves/max(1, curves)))
}

// apartEnough keeps the best of sizes that are nearly one, and no more than are proposed.
func apartEnough(list []SizeProposal) []SizeProposal {
	var out []SizeProposal
	for _, p := range list {
		near := func(q SizeProposal) bool { return math.Abs(q.SizeMM/p.SizeMM-1) < nearlyOne }
		if len(out) < mostProposed && !slices.ContainsFunc(out, near) {
			out = append(out, p)
		}
	}
	return out
}

// forced counts the places that repeat and are whole only because lines were moved far
// for it, or not even so, and the slanting lines that miss the holes.
func forced(moves snap.Result) int {
	n := moves.MissHoles
	for _, r := range moves.Rhythms {
		if r.Lost > 0 || r.Moved > byItself {
			n += r.Places
		}
	}
	return n
}

// areWhole reports whether all that repeats is whole at the size asked, and every slanting
// line that is meant to goes through holes: no other size helps then.
func areWhole(moves snap.Result) bool {
	return moves.MissHoles == 0 && !slices.ContainsFunc(moves.Rhythms, func(r snap.Rhythm) bool { return r.Lost > 0 || !report.IsWhole(r) })
}

// wholeAt returns how many places are whole of themselves when all is larger by a
// factor: so near to a count that all of them together are no channel off.
func wholeAt(rs []snap.Rhythm, f float64) int {
	n := 0
	for _, r := range rs {
		q := math.Round(f * r.Size)
		if q >= 1 && float64(r.Places)*math.Abs(f*r.Size-q) <= 1 {
			n += r.Places
		}
	}
	return n
}

// factors returns by how much larger a rug of a size in mm may be so that most is whole,
// the best ones first and of those the nearest.
func factors(rs []snap.Rhythm, base float64) []float64 {
	type candidate struct {
		f     float64
		whole int
	}
	var list []candidate
	seen := map[float64]bool{}
	for _, r := range rs {
		for q := math.Max(1, math.Ceil(r.Size*(1-nearSize))); q <= r.Size*(1+nearSize); q++ {
			f := roundSize(rs, bestFor(rs, q/r.Size), base)
			if !seen[f] && math.Abs(f-1) <= nearSize {
				seen[f] = true
				list = append(list, candidate{f, wholeAt(rs, f)})
			}
		}
	}
	slices.SortStableFunc(list, func(a, b candidate) int {
		return cmp.Or(cmp.Compare(b.whole, a.whole), cmp.Compare(math.Abs(a.f-1), math.Abs(b.f-1)), cmp.Compare(a.f, b.f))
	})
	var out []float64
	for _, c := range list[:min(len(list), mostTried)] {
		out = append(out, c.f)
	}
	return out
}

// bestFor returns the factor near f at which the sum of squares of what is off is least,
// over the rhythms that are about whole at f.
func bestFor(rs []snap.Rhythm, f float64) float64 {
	var num, den float64
	for _, r := range rs {
		q := math.Round(f * r.Size)
		if math.Abs(f*r.Size-q) > 0.25 {
			continue
		}
		w := float64(r.Places)
		num, den = num+w*q*r.Size, den+w*r.Size*r.Size
	}
	if den == 0 {
		return f
	}
	return num / den
}

// roundSize returns the factor near f at which the size is a round number of inches, as
// far as that costs nothing.
func roundSize(rs []snap.Rhythm, f, base float64) float64 {
	whole := wholeAt(rs, f)
	for _, step := range []float64{1, 0.5, 0.25, 0.125, 0.05} {
		step *= paths.MMPerInch
		round := math.Round(f*base/step) * step / base
		if round > 0 && wholeAt(rs, round) >= whole {
			return round
		}
	}
	return f
}

// tried lays a job out at a size larger by a factor, puts it on the weave, and says what
// came of what repeats; ok is false where nothing repeats there.
func tried(ctx context.Context, j plot.Job, setting string, f float64) (p SizeProposal, ok bool, err error) {
	s := j.Settings
	_, size := report.SizeFor(j, f)
	size = math.Round(size/paths.MMPerInch*1000) / 1000 * paths.MMPerInch
	s.Width, s.Height = paths.Length(size), 0
	if setting == "height" {
		s.Width, s.Height = 0, paths.Length(size)
	}
	laid, err := plot.Lay(j.Inputs, s)
	if err != nil {
		return p, false, nil // such a size is not proposed
	}
	snapped, err := plot.Snap(ctx, laid, plot.Options{})
	if err != nil {
		return p, false, ctx.Err()
	}
	rs := snapped.Moves.Rhythms
	if len(rs)+len(snapped.Moves.Slants) == 0 || warnsMore(snapped.Moves, j.Moves) {
		return p, false, nil
	}
	p = SizeProposal{
		Setting: setting, SizeMM: figures.Round(size), FinishedMM: [2]float64{figures.Round(snapped.Rug.Width()), figures.Round(snapped.Rug.Height())},
		Counts: countsOf(rs), Diagonals: len(snapped.Moves.Diagonals), Forced: forced(snapped.Moves),
	}
	all := p.Diagonals + snapped.Moves.MissHoles
	for _, r := range rs {
		all += r.Places
		p.MaxMovedChannels = figures.Round(max(p.MaxMovedChannels, r.Moved))
	}
	p.Message = fmt.Sprintf("[%s] %s, a rug of %s: %s", setting, sizeText(size), figures.InchesAndCM(p.FinishedMM[0], p.FinishedMM[1]), countWords(p.Counts, p.Diagonals))
	if p.Forced > 0 {
		p.Message += fmt.Sprintf("; of all %d, %d are not so of themselves", all, p.Forced)
	}
	return p, true, nil
}

// warnsMore reports whether there is something about lines and channels at one size that
// there is not, or less often, at another.
func warnsMore(now, before snap.Result) bool {
	count := map[string]int{}
	for _, w := range before.Warnings {
		count[w.Code]++
	}
	for _, w := range now.Warnings {
		if count[w.Code]--; count[w.Code] < 0 {
			return true
		}
	}
	return false
}

// sizeText writes a length that may be given again, to the thousandth of an inch.
func sizeText(mm float64) string {
	return strconv.FormatFloat(math.Round(mm/paths.MMPerInch*1000)/1000, 'f', -1, 64) + "in"
}

// countsOf adds up the places of each axis by their rows.
func countsOf(rs []snap.Rhythm) []SizeCount {
	type key struct {
		axis weave.Axis
		rows int
	}
	places := map[key]int{}
	for _, r := range rs {
		places[key{r.Axis, r.Count}] += r.Places
	}
	keys := slices.SortedFunc(maps.Keys(places), func(a, b key) int {
		return cmp.Or(cmp.Compare(a.axis, b.axis), cmp.Compare(places[b], places[a]), cmp.Compare(a.rows, b.rows))
	})
	var out []SizeCount
	for _, k := range keys {
		out = append(out, SizeCount{k.axis.String(), k.rows, places[k]})
	}
	return out
}

// countWords says what repeats: "30 spacings across the rug are 3 rows each", and how many
// slanting lines go from hole to hole.
func countWords(counts []SizeCount, diagonals int) string {
	const most = 2
	var words []string
	for i, c := range counts {
		if i == most {
			words = append(words, fmt.Sprintf("and %d more sizes that repeat are whole too", len(counts)-most))
			break
		}
		direction := figures.Way(weave.Across)
		if c.Axis == weave.Along.String() {
			direction = figures.Way(weave.Along)
		}
		words = append(words, fmt.Sprintf("%d spacings %s are %s each", c.Places, direction, figures.Count(c.Rows, "row")))
	}
	switch diagonals {
	case 0:
	case 1:
		words = append(words, "a slanting line goes from hole to hole")
	default:
		words = append(words, fmt.Sprintf("%d slanting lines go from hole to hole", diagonals))
	}
	return strings.Join(words, ", ")
}
