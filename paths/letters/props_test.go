package letters

import (
	"flag"
	"fmt"
	"math"
	"slices"
	"testing"

	"golang.org/x/text/unicode/norm"

	"weftplot/paths"
	"weftplot/paths/weave"
)

// cloths are the counts that letters are drawn on in these tests, mm between
// channels: square, monk's cloth, and the most uneven that is likely.
var cloths = []weave.Grid{
	{Across: 25.4 / 12, Along: 25.4 / 12},
	{Across: 25.4 / 12, Along: 25.4 / 13},
	{Across: 25.4 / 13, Along: 25.4 / 10},
	{Across: 2, Along: 1.6},
}

// tallest is the greatest height at which every letter is tested.
const tallest = 40

// drawn returns all that an alphabet draws: each letter of its source, and each of
// Latin-1 and Latin Extended-A.
func drawn(a Alphabet) []spelling {
	var out []spelling
	seen := map[string]bool{}
	add := func(r rune) {
		list, ok := a.spell(string(r))
		if !ok {
			return
		}
		for _, s := range list {
			if key := fmt.Sprint(s); !seen[key] {
				seen[key] = true
				out = append(out, s)
			}
		}
	}
	for r := range a.drawings() {
		add(r)
	}
	for r := rune(0x21); r < 0x180; r++ {
		add(r)
	}
	for _, r := range "ȘșȚțẞ" {
		add(r)
	}
	out = slices.DeleteFunc(out, func(s spelling) bool { return isMark(s.base) })
	slices.SortFunc(out, func(p, q spelling) int {
		return slices.Compare(append([]rune{p.base}, p.marks...), append([]rune{q.base}, q.marks...))
	})
	return out
}

func (s spelling) String() string {
	return norm.NFC.String(string(append([]rune{s.base}, s.marks...)))
}

// TestEveryLetterAtEveryHeight draws letters from the least height of each alphabet
// to forty rows, and checks them against the promises in the package comment: with
// -thorough every letter at every height on every cloth, else those without marks, at
// heights up to 12 rows on monk's cloth, and a few heights and cloths beside.
func TestEveryLetterAtEveryHeight(t *testing.T) {
	for _, a := range alphabets() {
		all := drawn(a)
		t.Run(a.name, func(t *testing.T) {
			t.Parallel()
			for i, grid := range cloths {
				for h := a.least; h <= tallest; h++ {
					for _, s := range all {
						if !*thorough && !isSampled(s, a, h, i) {
							continue
						}
						c := scale{a.alphabet, h, grid}
						g, err := c.glyph(s)
						if err != nil {
							t.Fatal(err)
						}
						for _, fault := range faults(c, s, g) {
							t.Errorf("%q at %d rows on cloth %d: %s", s.String(), h, i, fault)
						}
					}
				}
			}
		})
	}
}

var thorough = flag.Bool("thorough", false, "draw every letter at every height on every cloth")

// isSampled reports whether a letter is drawn without -thorough: h rows high, on one
// of the cloths.
func isSampled(s spelling, a Alphabet, h, cloth int) bool {
	const monksCloth = 1
	switch {
	case len(s.marks) > 0:
		return cloth == monksCloth && (h == a.least || h == 12)
	case cloth == monksCloth:
		return h <= 12 || h%8 == 0
	}
	return h == a.least || h == 20
}

// faults returns what is wrong with a letter.
func faults(c scale, s spelling, g *glyph) []string {
	if len(g.strokes) == 0 {
		return []string{"nothing is drawn"}
	}
	var out []string
	for _, stroke := range g.strokes {
		if err := stroke.Validate(); err != nil {
			out = append(out, err.Error())
		}
		for _, curve := range stroke {
			if f := outOfChannel(c, curve); f != "" {
				out = append(out, f)
			}
		}
	}
	pieces := splitAtCrossings(g.strokes, 1e-6)
	out = append(out, endsOffHoles(pieces, c.grid)...)
	if n := leastTrails(pieces, c.grid); n != len(g.strokes) {
		out = append(out, fmt.Sprintf("%d strokes, where %d are enough", len(g.strokes), n))
	}
	if f := tooNear(pieces, c); f != "" {
		out = append(out, f)
	}
	if slices.Contains([]rune("AHIMOTUVWXYovwx"), s.base) && len(s.marks) == 0 && !g.exit {
		if f := lopsided(c, g); f != "" {
			out = append(out, f)
		}
	}
	return out
}

// TestMarksStandOverTheMiddle: a mark above that is its own mirror image has its axis
// in the channel of its letter's middle, or of an odd width half a channel beside it,
// unless the drawing says where it is to be.
func TestMarksStandOverTheMiddle(t *testing.T) {
	symmetric := []rune("\u0302\u0304\u0306\u0307\u0308\u030a\u030c")
	for _, a := range alphabets() {
		tried := 0
		for _, s := range drawn(a) {
			if len(s.marks) != 1 || !slices.Contains(symmetric, s.marks[0]) {
				continue
			}
			for i, h := range []int{a.least, 9, 12, 20} {
				c := scale{a.alphabet, h, cloths[i]}
				d, _ := c.at(s.base, h)
				if _, placed := d.keys["top"]; placed {
					continue
				}
				with, err := c.glyph(s)
				if err != nil {
					t.Fatal(err)
				}
				cols := columns{width: d.widthOf(h, c.grid)}
				foot := float64(c.top(mustBase(t, c, d, cols))) * c.grid.Along
				mark := paths.EmptyRect()
				for _, stroke := range with.strokes {
					if b := stroke.Bounds(); b.Min.Y > foot {
						mark = mark.Union(b)
					}
				}
				tried++
				odd := float64(cols.width&1) / 2 // no channel is in the middle of an odd width
				if off := mark.Centre().X/c.grid.Across - float64(cols.width)/2; math.Abs(off) > odd+1e-6 {
					t.Errorf("%s %q at %d rows: the mark is %g channels off the middle", a.name, s.String(), h, off)
				}
			}
		}
		if tried < 100 {
			t.Errorf("%s: only %d marks were tried", a.name, tried)
		}
	}
}

// mustBase draws a letter without marks.
func mustBase(t *testing.T, c scale, d drawing, cols columns) []paths.Stroke {
	t.Helper()
	strokes, err := c.base(d, cols, 0)
	if err != nil {
		t.Fatal(err)
	}
	return strokes
}

// TestSpacingIsEven holds any two letters against the rule of spacing: their white,
// measured here by points along the strokes, is the white between two stems to half a
// channel, unless they would then come nearer than is allowed.
func TestSpacingIsEven(t *testing.T) {
	const text = "AHILOTVWXYaeghlnorstuvy0147"
	for _, name := range []string{"plain", "counted"} {
		c := scale{alphabetOf(t, name).alphabet, 12, monks}
		rule := c.spacing()
		glyphs := map[rune]*glyph{}
		for _, r := range text {
			s, _ := c.spell(string(r))
			g, err := c.glyph(s[0])
			if err != nil {
				t.Fatal(err)
			}
			glyphs[r] = g
		}
		for _, ra := range text {
			for _, rb := range text {
				a, b := glyphs[ra], glyphs[rb]
				d := rule.between(a.profile, b.profile, 0)
				white, nearest := whiteBetween(a, b, float64(d), c, rule.depth)
				switch off := white - float64(rule.stems); {
				case nearest < float64(rule.least)-0.05: // profiles are of flattened curves
					t.Errorf("%s: %c and %c come within %.2f channels", name, ra, rb, nearest)
				case off < -0.6, off > 0.6 && nearest > float64(rule.least)+1:
					t.Errorf("%s: the white between %c and %c is %.2f channels, and that of stems %d", name, ra, rb, white, rule.stems)
				}
			}
		}
	}
}

// whiteBetween returns the mean white between two letters whose left edges are d
// channels apart, in channels over the quarter rows that both touch, and their least
// distance in rows at most one apart.
func whiteBetween(a, b *glyph, d float64, c scale, depth float64) (white, nearest float64) {
	edges := func(g *glyph, sign float64) (map[int]float64, float64) {
		out, most := map[int]float64{}, math.Inf(-1)
		for _, s := range g.strokes {
			for _, curve := range s {
				n := int(curve.Length()/c.grid.Along*80) + 1
				for k := range n + 1 {
					p := c.grid.PlaceOf(curve.At(float64(k) / float64(n)))
					band, x := int(math.Floor(p.Along*bands+1e-6)), sign*p.Across
					if was, ok := out[band]; !ok || x > was {
						out[band] = x
					}
					most = max(most, x)
				}
			}
		}
		return out, most
	}
	right, rightmost := edges(a, 1)
	left, leftmost := edges(b, -1)
	sum, n := 0., 0
	nearest = math.Inf(1)
	for k, x := range right {
		for near := k - bands; near <= k+bands; near++ {
			if y, ok := left[near]; ok {
				nearest = min(nearest, d-x-y)
			}
		}
		if y, ok := left[k]; ok {
			sum += d - rightmost - leftmost + min(depth, rightmost-x) + min(depth, leftmost-y)
			n++
		}
	}
	return sum / float64(n), nearest
}

// outOfChannel says what is wrong with a curve: an upright or level line must lie in
// a channel, a diagonal of counted must count holes, and a bowl must be an arc.
func outOfChannel(c scale, curve paths.Curve) string {
	l, ok := curve.(paths.Line)
	if !ok {
		if _, isArc := curve.(paths.Arc); !isArc || c.name == "counted" {
			return fmt.Sprintf("it has a %T", curve)
		}
		return ""
	}
	p, q := c.grid.PlaceOf(l.A), c.grid.PlaceOf(l.B)
	dx, dy := math.Abs(p.Across-q.Across), math.Abs(p.Along-q.Along)
	switch {
	case dx < 1e-9 && !isWhole(p.Across), dy < 1e-9 && !isWhole(p.Along):
		return fmt.Sprintf("the line from %.3f to %.3f is in no channel", p, q)
	case c.name == "counted" && dx > 1e-9 && dy > 1e-9 && math.Abs(dx-dy) > 1e-9 && math.Abs(2*dx-dy) > 1e-9:
		return fmt.Sprintf("the diagonal from %.3f to %.3f is not counted", p, q)
	case c.name == "counted" && (!isWhole(2*p.Across) || !isWhole(2*p.Along)):
		return fmt.Sprintf("the line from %.3f to %.3f passes no holes", p, q)
	}
	return ""
}

// endsOffHoles describes lines with a free end that is not in a hole.
func endsOffHoles(pieces []paths.Stroke, g weave.Grid) []string {
	ends := map[spot]int{}
	for _, p := range pieces {
		ends[spotOf(g.PlaceOf(p.Start()))]++
		ends[spotOf(g.PlaceOf(p.End()))]++
	}
	var out []string
	for _, p := range pieces {
		if _, ok := p[0].(paths.Line); !ok {
			continue
		}
		for _, end := range []paths.Point{p.Start(), p.End()} {
			at := g.PlaceOf(end)
			if ends[spotOf(at)] == 1 && (!isWhole(at.Across) || !isWhole(at.Along)) {
				out = append(out, fmt.Sprintf("a line ends at %.3f, which is no hole", at))
			}
		}
	}
	return out
}

func isWhole(v float64) bool { return math.Abs(v-math.Round(v)) < 1e-9 }

// spot is a point rounded to a ten-thousandth of a channel, so that ends that
// meet are equal.
type spot [2]int

func spotOf(p weave.Place) spot {
	return spot{int(math.Round(p.Across * 1e4)), int(math.Round(p.Along * 1e4))}
}

// leastTrails counts by brute force the fewest strokes that draw pieces, which meet
// at their ends only: half the odd nodes of each connected part, at least one
// (Euler 1736).
func leastTrails(pieces []paths.Stroke, g weave.Grid) int {
	degree, part := map[spot]int{}, map[spot]spot{}
	var root func(s spot) spot
	root = func(s spot) spot {
		if p, ok := part[s]; ok && p != s {
			return root(p)
		}
		return s
	}
	for _, p := range pieces {
		a, b := spotOf(g.PlaceOf(p.Start())), spotOf(g.PlaceOf(p.End()))
		degree[a]++
		degree[b]++
		part[root(a)] = root(b)
	}
	odd := map[spot]int{}
	for s, d := range degree {
		odd[root(s)] += d % 2
	}
	n := 0
	for _, k := range odd {
		n += max(1, k/2)
	}
	return n
}

// tooNear says where two strokes of a letter are less than a channel apart
// without joining there: where two points are less than a channel apart, but
// far apart along the strokes. The joint of a bowl and its stem is the longest:
// an arc of radius r is a channel off its tangent after the root of 2r
// channels.
func tooNear(pieces []paths.Stroke, c scale) string {
	w := webOf(pieces, c.grid)
	limit := 2*math.Sqrt(float64(c.height)) + 2
	for i, p := range w.at {
		var left []float64
		for _, j := range w.around(p) {
			d := math.Hypot(p.Across-w.at[j].Across, p.Along-w.at[j].Along)
			if j >= i-1 || d >= 1-1e-6 || w.next[i][0] == j {
				continue
			}
			if left == nil {
				left = w.within(i, limit)
			}
			if left[j] < 0 {
				return fmt.Sprintf("strokes are %.2f channels apart at %.2f and %.2f", d, p, w.at[j])
			}
		}
	}
	return ""
}

// web is a letter as points along its strokes, each with its neighbours.
type web struct {
	at    []weave.Place
	next  [][]int
	cells map[spot][]int
	left  []float64 // length still left of limit at each point
	queue []int
}

func webOf(pieces []paths.Stroke, g weave.Grid) *web {
	w := &web{cells: map[spot][]int{}}
	ends := map[spot]int{}
	add := func(p weave.Place) int {
		w.at = append(w.at, p)
		w.next = append(w.next, nil)
		i := len(w.at) - 1
		c := spot{int(math.Floor(p.Across)), int(math.Floor(p.Along))}
		w.cells[c] = append(w.cells[c], i)
		return i
	}
	end := func(p weave.Place) int {
		s := spotOf(p)
		if _, ok := ends[s]; !ok {
			ends[s] = add(p)
		}
		return ends[s]
	}
	for _, piece := range pieces {
		curve := piece[0]
		n := max(1, int(math.Ceil(2*curve.Length()/min(g.Across, g.Along))))
		last := end(g.PlaceOf(curve.Start()))
		for k := 1; k <= n; k++ {
			var i int
			if p := g.PlaceOf(curve.At(float64(k) / float64(n))); k == n {
				i = end(p)
			} else {
				i = add(p)
			}
			w.next[i], w.next[last] = append(w.next[i], last), append(w.next[last], i)
			last = i
		}
	}
	w.left = make([]float64, len(w.at))
	return w
}

// around returns the points in the cells around p.
func (w *web) around(p weave.Place) []int {
	var out []int
	for dx := -1; dx <= 1; dx++ {
		for dy := -1; dy <= 1; dy++ {
			out = append(out, w.cells[spot{int(math.Floor(p.Across)) + dx, int(math.Floor(p.Along)) + dy}]...)
		}
	}
	return out
}

// within marks the points no farther than limit along the strokes from point i.
func (w *web) within(i int, limit float64) []float64 {
	left := w.left
	for k := range left {
		left[k] = -1
	}
	left[i] = limit
	w.queue = append(w.queue[:0], i)
	for n := 0; n < len(w.queue); n++ {
		p := w.queue[n]
		for _, q := range w.next[p] {
			rest := left[p] - math.Hypot(w.at[p].Across-w.at[q].Across, w.at[p].Along-w.at[q].Along)
			if rest > left[q]+1e-9 {
				left[q] = rest
				w.queue = append(w.queue, q)
			}
		}
	}
	return left
}

// lopsided says where a letter with an axis is not its own mirror image: where
// a point has no counterpart.
func lopsided(c scale, g *glyph) string {
	mirror := paths.MirrorX(float64(g.width) * c.grid.Across / 2)
	for _, stroke := range g.strokes {
		for _, curve := range stroke {
			for k := range 9 {
				p := mirror.Apply(curve.At(float64(k) / 8))
				if !slices.ContainsFunc(g.strokes, func(s paths.Stroke) bool { return isOn(p, s) }) {
					return fmt.Sprintf("it is not symmetric: nothing is drawn at %.3f", c.grid.PlaceOf(p))
				}
			}
		}
	}
	return ""
}

// isOn reports whether p lies on a stroke of lines and arcs.
func isOn(p paths.Point, s paths.Stroke) bool {
	const near = 1e-6 // mm
	return slices.ContainsFunc(s, func(c paths.Curve) bool {
		switch c := c.(type) {
		case paths.Line:
			return math.Abs(p.Dist(c.A)+p.Dist(c.B)-c.Length()) < near
		case paths.Arc:
			if math.Abs(p.Dist(c.Centre)-c.Radius()) > near {
				return false
			}
			turn := p.Sub(c.Centre).Angle() - c.From.Sub(c.Centre).Angle()
			if c.Sweep < 0 {
				turn = -turn
			}
			turn = math.Mod(turn+4*math.Pi+near, 2*math.Pi)
			return turn <= math.Abs(c.Sweep)+2*near
		}
		return false
	})
}
