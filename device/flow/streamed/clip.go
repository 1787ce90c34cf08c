package streamed

import (
	"math"
	"sort"
	"time"

	"weftplot/device/flow"
	"weftplot/paths"
	"weftplot/plot/language"
	"weftplot/plot/program"
)

// clip is a window about what is drawn from one chunk on, put into the stream
// before it. Outside its window a plotter counts on with the pen up (HP 7470A
// Interfacing and Programming Manual, page 2-9, from memory), so that a garbled
// number inks no farther than to its edge.
type clip struct {
	at   int // offset of the text before which it is put
	area paths.Rect
}

const (
	// clipMargin is how far a window reaches beyond what is drawn in it, mm: more
	// than a pen is wide, so that none of its line is cut off at the edge.
	clipMargin = 3
	// clipNarrow is how narrow a window about lines that hang together stays, and
	// how small one about several strokes, mm: nothing in it is farther from them.
	clipNarrow = 14
	// clipShare is what part of the time that the line has to spare windows may
	// take.
	clipShare = 0.6
	// clipBytes is what a window and the questions for it take.
	clipBytes = 40
)

// clips plans the windows of a job, for a line that takes so long for a byte. A
// window goes with the chunks: it takes in the next as long as it stays narrow. A
// line that is too slow for it gets fewer, wider ones, which hold until the line
// has caught up.
func clips(job flow.Job, chunks []language.Chunk, secondsAt func(offset int) float64, perByte time.Duration) []clip {
	var out []clip
	travelled := false
	began, bytes := 0.0, 0
	inked := inkOf(job.Program.Blocks)
	for _, c := range chunks {
		area, travels := inked(c.End)
		bytes += c.End - c.Start
		travelled = travelled || travels
		if area.IsEmpty() {
			continue
		}
		if n := len(out); n > 0 {
			spare := (secondsAt(c.Start)-began)*clipShare - float64(bytes)*perByte.Seconds()
			all := out[n-1].area.Union(area)
			if all == out[n-1].area || narrow(all, travelled, spare < clipBytes*perByte.Seconds()) {
				out[n-1].area = all
				continue
			}
		}
		out = append(out, clip{at: c.Start, area: area})
		travelled, began, bytes = false, secondsAt(c.Start), clipBytes
	}
	return out
}

// narrow reports whether a window is narrow enough: about lines that hang
// together, or with a travel among them. On a slow line it may be wider.
func narrow(r paths.Rect, travelled, slow bool) bool {
	least, most := math.Min(r.Width(), r.Height()), math.Max(r.Width(), r.Height())
	return most <= clipNarrow || !travelled && least <= clipNarrow || slow && least <= 4*clipNarrow
}

// inkOf returns a function that tells what is drawn, and whether the pen travels,
// in the blocks that end no later than an offset and after the offset of the call
// before.
func inkOf(blocks []program.Block) func(end int) (area paths.Rect, travels bool) {
	i, at := 0, paths.Point{}
	return func(end int) (area paths.Rect, travels bool) {
		area = paths.EmptyRect()
		for ; i < len(blocks) && blocks[i].End <= end; i++ {
			switch b := blocks[i]; b.Kind {
			case program.Draw:
				area = area.Union(b.Curve.Bounds())
				at = b.Curve.End()
			case program.PenDown:
				area = area.Union(paths.Rect{Min: at, Max: at})
			case program.Travel:
				travels, at = true, b.Curve.End()
			}
		}
		return area, travels
	}
}

// clipUnits returns a window in whole plotter units, inside what the plotter said
// that it reaches, and false if that leaves no room about what is drawn.
func (s *stream) clipUnits(area paths.Rect) (paths.Rect, bool) {
	units := s.job.Machine.Units()
	inner := paths.RectOf(units.Apply(area.Min), units.Apply(area.Max))
	grown := paths.RectOf(
		units.Apply(area.Min.Sub(paths.Point{X: clipMargin, Y: clipMargin})),
		units.Apply(area.Max.Add(paths.Point{X: clipMargin, Y: clipMargin})))
	whole := s.places.whole
	r := paths.Rect{
		Min: paths.Point{X: math.Max(math.Floor(grown.Min.X), whole.Min.X), Y: math.Max(math.Floor(grown.Min.Y), whole.Min.Y)},
		Max: paths.Point{X: math.Min(math.Ceil(grown.Max.X), whole.Max.X), Y: math.Min(math.Ceil(grown.Max.Y), whole.Max.Y)},
	}
	const slack = 1
	return r, r.Min.X <= inner.Min.X+slack && r.Min.Y <= inner.Min.Y+slack && r.Max.X >= inner.Max.X-slack && r.Max.Y >= inner.Max.Y-slack
}

// nextClip returns the first window that does not begin before an offset.
func (s *stream) nextClip(start int) int {
	return sort.Search(len(s.clips), func(i int) bool { return s.clips[i].at >= start })
}

// clipAt reports whether a window is put into the stream at an offset.
func (s *stream) clipAt(start int) bool {
	i := s.nextClip(start)
	return s.places.windows && i < len(s.clips) && s.clips[i].at == start
}

// putClip puts the window into the stream that begins at an offset of the text,
// and asks for it: one that was garbled might hide what is drawn.
func (s *stream) putClip(start int) error {
	p := &s.places
	if !p.windows || !p.answered {
		return nil
	}
	if !s.clipAt(start) {
		return nil
	}
	i := s.nextClip(start)
	r, fits := s.clipUnits(s.clips[i].area)
	text := language.Window(r)
	if !fits { // it reaches less far than its profile says
		r, text = p.whole, language.WholeWindow
	}
	if err := s.put([]byte(text)); err != nil {
		return err
	}
	p.clipped = fits
	return s.askCheck(&check{window: r, isClip: true, end: start, needed: true})
}

// unclip gives the pen all that it reaches again.
func (s *stream) unclip() error {
	if !s.places.clipped {
		return nil
	}
	s.places.clipped = false
	return s.put([]byte(language.WholeWindow))
}
