package loads

import (
	"cmp"
	"errors"
	"slices"
)

// Size is a size in whole channels.
type Size struct{ Across, Along int }

// Piece is what one copy takes of the cloth, the cloth round it included. The zero size
// says that the copy may not stand so; one of the two must be given.
type Piece struct{ Upright, Turned Size }

// Place is where a piece lies.
type Place struct {
	// Across and Along are its lower left corner, in channels from the lower left corner
	// of the cloth.
	Across, Along int
	Turned        bool // it stands turned by a quarter
	Row           int  // from 0, the lowest
}

// Layout is pieces laid in rows.
type Layout struct {
	Places []Place // one for each piece
	// Length is how much of the cloth is taken, in channels along.
	Length int
	// Exact reports that no layout in rows takes less.
	Exact bool
}

// ErrTooWide is the error for a piece that is wider than the cloth.
var ErrTooWide = errors.New("a piece is wider than the cloth")

// exactWork bounds the search for the least cloth, in looks at a row. Layouts that would
// take more are made by rule.
const exactWork = 4_000_000

// Lay lays pieces on cloth of a width in channels so that they take the least length, by
// the rule of scissors: straight cuts from one selvedge to the other part the cloth into
// rows, and straight cuts across a row part it into pieces. A piece that is lower than
// its row has the more cloth round it. This is packing in two guillotine stages, with
// the heights of rows free.
//
// The least is found by going through the numbers of pieces of each kind that are still
// to be laid, which for pieces of one kind is quick for any number. Where there are too
// many kinds, rows are filled one after the other with the highest piece that fits, for
// several rules of how pieces stand (first fit by falling height; Coffman, Garey, Johnson
// and Tarjan, SIAM Journal on Computing 9, 1980), and the best is taken.
//
// The error is [ErrTooWide].
func Lay(pieces []Piece, width int) (Layout, error) {
	t := newTask(pieces, width)
	for _, k := range t.kinds {
		if !t.fits(k.Upright) && !t.fits(k.Turned) {
			return Layout{}, ErrTooWide
		}
	}
	rows, exact := t.least()
	if !exact {
		rows = t.byRule()
	}
	l := t.place(rows, pieces)
	l.Exact = exact
	return l, nil
}

// Most returns how many of the pieces, from the first on, fit cloth of a width and a
// length in channels.
func Most(pieces []Piece, width, length int) int {
	lo, hi := 0, len(pieces) // lo do
	for lo < hi {
		mid := (lo + hi + 1) / 2
		if l, err := Lay(pieces[:mid], width); err == nil && l.Length <= length {
			lo = mid
		} else {
			hi = mid - 1
		}
	}
	return lo
}

// A task is pieces sorted into kinds, and the cloth they are to lie on.
type task struct {
	width  int
	kinds  []Piece // by falling height
	counts []int   // how many of each
	// heights are those that a row may have: those of the kinds, rising.
	heights []int
}

// A row has so many pieces of each kind, and a height that all of them keep to.
type row struct {
	counts []int
	height int
}

func newTask(pieces []Piece, width int) *task {
	t := &task{width: width}
	count := map[Piece]int{}
	for _, p := range pieces {
		if count[p] == 0 {
			t.kinds = append(t.kinds, p)
		}
		count[p]++
	}
	low := func(p Piece) int {
		if p.Upright == (Size{}) || p.Turned != (Size{}) && p.Turned.Along < p.Upright.Along {
			return p.Turned.Along
		}
		return p.Upright.Along
	}
	slices.SortStableFunc(t.kinds, func(a, b Piece) int { return cmp.Compare(low(b), low(a)) })
	for _, k := range t.kinds {
		t.counts = append(t.counts, count[k])
		for _, s := range []Size{k.Upright, k.Turned} {
			if t.fits(s) {
				t.heights = append(t.heights, s.Along)
			}
		}
	}
	slices.Sort(t.heights)
	t.heights = slices.Compact(t.heights)
	return t
}

// fits reports whether a piece can stand in a row of the cloth.
func (t *task) fits(s Size) bool { return s != (Size{}) && s.Across <= t.width }

// across returns the least width at which a kind stands in a row of a height, and
// whether it stands turned; 0 where it cannot.
func (t *task) across(k Piece, height int) (width int, turned bool) {
	if s := k.Upright; t.fits(s) && s.Along <= height {
		width = s.Across
	}
	if s := k.Turned; t.fits(s) && s.Along <= height && (width == 0 || s.Across < width) {
		return s.Across, true
	}
	return width, false
}

// place lays the rows on the cloth, from the lowest up, and gives the pieces of each kind
// their places in their order. Rows of one height lie together, the highest first.
func (t *task) place(rows []row, pieces []Piece) Layout {
	slices.SortStableFunc(rows, func(a, b row) int { return cmp.Compare(b.height, a.height) })
	places := make([][]Place, len(t.kinds))
	l := Layout{Places: make([]Place, len(pieces))}
	for n, r := range rows {
		across := 0
		for k, count := range r.counts {
			w, turned := t.across(t.kinds[k], r.height)
			for range count {
				places[k] = append(places[k], Place{Across: across, Along: l.Length, Turned: turned, Row: n})
				across += w
			}
		}
		l.Length += r.height
	}
	for i, p := range pieces {
		k := slices.Index(t.kinds, p)
		l.Places[i], places[k] = places[k][0], places[k][1:]
	}
	return l
}

// byRule fills rows one after the other, for several rules of how pieces stand, and
// returns the rows of the best.
func (t *task) byRule() []row {
	var best []row
	least := -1
	for _, lowest := range []bool{true, false} {
		for _, most := range t.heights {
			rows, length, ok := t.fill(most, lowest)
			if ok && (least < 0 || length < least) {
				best, least = rows, length
			}
		}
	}
	return best
}

// fill fills rows no higher than most. Each begins with the first kind that is left,
// standing as low as it can, or as narrow as most allows, and is filled with what still
// fits, kind after kind. It returns false where a kind cannot stand so low.
func (t *task) fill(most int, lowest bool) (rows []row, length int, ok bool) {
	left := slices.Clone(t.counts)
	for first := range t.kinds {
		for left[first] > 0 {
			h := t.stand(t.kinds[first], most, lowest)
			if h == 0 {
				return nil, 0, false
			}
			r := row{counts: make([]int, len(left)), height: h}
			room := t.width
			for k := first; k < len(left); k++ {
				if w, _ := t.across(t.kinds[k], h); w > 0 {
					r.counts[k] = min(left[k], room/w)
					left[k] -= r.counts[k]
					room -= r.counts[k] * w
				}
			}
			rows = append(rows, r)
			length += h
		}
	}
	return rows, length, true
}

// stand returns the height of the row that a piece begins; 0 where it cannot stand in one
// of at most so many channels.
func (t *task) stand(p Piece, most int, lowest bool) int {
	h := 0
	for _, s := range []Size{p.Upright, p.Turned} {
		if !t.fits(s) || s.Along > most {
			continue
		}
		if h == 0 || (s.Along < h) == lowest {
			h = s.Along
		}
	}
	return h
}
