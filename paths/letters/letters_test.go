package letters

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/deviation"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
)

var monks = weave.Grid{Across: paths.MMPerInch / 12, Along: paths.MMPerInch / 13}

func setOf(t testing.TB, text string, opt Options) Text {
	t.Helper()
	if opt.Grid == (weave.Grid{}) {
		opt.Grid = monks
	}
	got, err := Set(text, opt)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func alphabetOf(t testing.TB, name string) Alphabet {
	t.Helper()
	a, err := Named(name)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// TestCoverage: the letters of the three blocks are written by every alphabet, and
// by the blocks' own lists the printable characters of Basic Latin too.
func TestCoverage(t *testing.T) {
	// Latin-1 Supplement has two signs among its letters' codes; see the code chart.
	notLetters := map[rune]bool{'×': true, '÷': true}
	for _, a := range alphabets() {
		for _, block := range []struct {
			name     string
			from, to rune
			want     int
		}{{"Basic Latin", 0x20, 0x7e, 95}, {"Latin-1 letters", 0xc0, 0xff, 62}, {"Latin Extended-A", 0x100, 0x17f, 128}} {
			n := 0
			for r := block.from; r <= block.to; r++ {
				if notLetters[r] {
					continue
				}
				if a.Covers(r) {
					n++
				} else {
					t.Errorf("%s has no %q", a.Name(), r)
				}
			}
			if n != block.want {
				t.Errorf("%s writes %d characters of %s, want %d", a.Name(), n, block.name, block.want)
			}
		}
		for _, r := range "ªºµ×÷ẞȘșȚț‘’‚“”„‹›«»–—…¡¿€£§°·" {
			if !a.Covers(r) && !(a.Name() == "counted" && r == '§') {
				t.Errorf("%s has no %q", a.Name(), r)
			}
		}
	}
}

// TestEqualLettersAreEqual: every e of a text is the same drawing, moved by whole
// channels.
func TestEqualLettersAreEqual(t *testing.T) {
	for _, name := range []string{"plain", "counted"} {
		text := setOf(t, "eleven\nhere, EEE", Options{Alphabet: alphabetOf(t, name), Height: 11, Align: Centre})
		var first []paths.Stroke
		for _, l := range text.Letters {
			if l.At.Across != math.Round(l.At.Across) || l.At.Along != math.Round(l.At.Along) {
				t.Errorf("%s: a letter stands at %v", name, l.At)
			}
			if l.Text != "e" {
				continue
			}
			var at []paths.Stroke
			for _, s := range text.Strokes[l.First:l.Last] {
				at = append(at, s.Transform(paths.Translate(l.Origin.Mul(-1))))
			}
			if first == nil {
				first = at
				continue
			}
			for i, s := range at {
				if d := deviation.Of(s, first[i], 0.01); d > 1e-9 {
					t.Errorf("%s: two letters e differ by %g mm", name, d)
				}
			}
		}
	}
}

// TestTextOnTheWeave checks any text against the promises about straights and
// spacing.
func TestTextOnTheWeave(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := alphabets()[rapid.IntRange(0, 2).Draw(t, "alphabet")]
		text := rapid.StringOfN(rapid.SampledFrom([]rune("AVLTJWOabegjrty.,-' \n1470ÅéñŁ“")), 1, 12, -1).Draw(t, "text")
		if strings.TrimSpace(text) == "" {
			t.Skip("blank")
		}
		h := rapid.IntRange(a.Least(), 30).Draw(t, "height")
		grid := cloths[rapid.IntRange(0, len(cloths)-1).Draw(t, "cloth")]
		set, err := Set(text, Options{
			Alphabet: a, Height: h, Grid: grid,
			Spacing: rapid.IntRange(-4, 3).Draw(t, "spacing"),
			Align:   Align(rapid.IntRange(0, 2).Draw(t, "align")),
		})
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range set.Straights {
			if s.From >= s.To {
				t.Fatalf("a straight from %v to %v", s.From, s.To)
			}
		}
		for _, stroke := range set.Strokes {
			for _, c := range stroke {
				if f := outOfChannel(scale{a.alphabet, h, grid}, c); f != "" {
					t.Fatal(f)
				}
			}
		}
		if f := lettersTooNear(set, grid); f != "" {
			t.Fatal(f)
		}
	})
}

// lettersTooNear names two letters that are less than a channel apart though
// they are not joined.
func lettersTooNear(text Text, g weave.Grid) string {
	points := make([][]weave.Place, len(text.Strokes))
	for i, s := range text.Strokes {
		for _, c := range s {
			n := max(1, int(3*c.Length()/g.Across))
			for k := range n + 1 {
				points[i] = append(points[i], g.PlaceOf(c.At(float64(k)/float64(n))))
			}
		}
	}
	owner := make([]int, len(text.Strokes))
	for _, l := range text.Letters {
		for k := l.First; k < l.Last; k++ {
			owner[k] = l.First
		}
	}
	for i, p := range points {
		for j, q := range points[:i] {
			if owner[i] == owner[j] {
				continue
			}
			for _, a := range p {
				for _, b := range q {
					if math.Hypot(a.Across-b.Across, a.Along-b.Along) < 1-1e-6 {
						return "two letters come within a channel of one another"
					}
				}
			}
		}
	}
	return ""
}

// TestLinesAlign sets lines of different lengths three ways.
func TestLinesAlign(t *testing.T) {
	for _, align := range []Align{Left, Centre, Right} {
		text := setOf(t, "WILLOW\nII", Options{Height: 9, Align: align})
		var box [2]paths.Rect
		for i := range box {
			box[i] = paths.EmptyRect()
			for _, l := range text.Letters {
				if l.Line == i {
					box[i] = box[i].Union(paths.BoundsOf(text.Strokes[l.First:l.Last]))
				}
			}
		}
		left, right := box[1].Min.X-box[0].Min.X, box[0].Max.X-box[1].Max.X
		switch {
		case align == Left && math.Abs(left) > 1e-9, align == Right && math.Abs(right) > 1e-9,
			align == Centre && math.Abs(left-right) > monks.Across+1e-9:
			t.Errorf("%v: the second line begins %g mm in and ends %g mm in", align, left, right)
		}
		if box[1].Max.Y > -2*monks.Along+1e-9 {
			t.Errorf("%v: the second line reaches up to %g mm", align, box[1].Max.Y)
		}
	}
}

// TestArc: letters on an arc have their feet on the circle and point away from
// its centre.
func TestArc(t *testing.T) {
	for _, radius := range []float64{150, -150} {
		text := setOf(t, "HARBOUR LIGHT", Options{Height: 9, Arc: radius})
		if text.OnWeave || len(text.Straights) != 0 {
			t.Error("letters on an arc are said to be on the weave")
		}
		straight := setOf(t, "HARBOUR LIGHT", Options{Height: 9})
		middle := straight.Max.Across / 2 * monks.Across
		centre := paths.Point{X: middle, Y: -radius}
		for _, l := range text.Letters {
			half := paths.Point{X: float64(l.Width) / 2 * monks.Across}
			foot := l.Origin.Add(paths.Rotate(l.Turn).Apply(half))
			if d := foot.Dist(centre); math.Abs(d-math.Abs(radius)) > 1e-9 {
				t.Errorf("arc %g: the foot of %s is %g mm from the centre", radius, l.Text, d)
			}
			up := paths.Rotate(l.Turn).Apply(paths.Point{Y: 1})
			if out := foot.Sub(centre).Unit().Dot(up); math.Abs(out-math.Copysign(1, radius)) > 1e-9 {
				t.Errorf("arc %g: %s leans: %g", radius, l.Text, out)
			}
		}
		if first := text.Letters[0]; first.Turn*radius <= 0 {
			t.Errorf("arc %g: the first letter is turned by %g", radius, first.Turn)
		}
	}
}

// TestJoinedOnArc: letters of a joined hand stay joined on an arc: as many strokes as
// on a straight line, each as far from the circle as it is high above the line, and
// for its distance along it as far round.
func TestJoinedOnArc(t *testing.T) {
	round := alphabetOf(t, "round")
	flat := setOf(t, "minnehaha", Options{Alphabet: round, Height: 12})
	for _, radius := range []float64{200, -200} {
		text := setOf(t, "minnehaha", Options{Alphabet: round, Height: 12, Arc: radius})
		if text.Lifts != flat.Lifts {
			t.Fatalf("arc %g: %d strokes, and %d on a straight line", radius, text.Lifts, flat.Lifts)
		}
		middle := flat.Max.Across / 2 * monks.Across
		centre := paths.Point{X: middle, Y: -radius}
		for i, s := range flat.Strokes {
			for _, at := range []bool{true, false} {
				p, q := s.Start(), text.Strokes[i].Start()
				if !at {
					p, q = s.End(), text.Strokes[i].End()
				}
				off := q.Sub(centre)
				if d := off.Len() - math.Abs(radius+p.Y); math.Abs(d) > 1e-6 {
					t.Errorf("arc %g: an end %g mm above the line is %g mm too far out", radius, p.Y, d)
				}
				round := math.Atan2(off.X, off.Y)
				if radius < 0 {
					round = math.Atan2(off.X, -off.Y)
				}
				if d := round*math.Abs(radius) - (p.X - middle); math.Abs(d) > 1e-6 {
					t.Errorf("arc %g: an end %g mm along the line is %g mm too far round", radius, p.X, d)
				}
			}
		}
	}
}

// TestRefusals: what cannot be set is refused in a sentence that says what to do.
func TestRefusals(t *testing.T) {
	plain, counted := alphabetOf(t, "plain"), alphabetOf(t, "counted")
	for _, c := range []struct {
		name, text string
		opt        Options
		kind       fault.Kind
		says       []string
	}{
		{"missing", "a☂b", Options{Alphabet: plain, Height: 9}, fault.Input, []string{"character 2", "plain has no '☂' (U+2602)"}},
		{"missing but elsewhere", "§", Options{Alphabet: counted, Height: 9}, fault.Input, []string{"counted has no '§'", "plain has it"}},
		{"missing but near", "x²", Options{Alphabet: plain, Height: 9}, fault.Input, []string{"no '²'", "write '2' in its place"}},
		{"another script", "Дом", Options{Alphabet: plain, Height: 9}, fault.Input, []string{"script Cyrillic", "Latin letters only"}},
		{"right to left", "שלום", Options{Alphabet: plain, Height: 9}, fault.Input, []string{"Hebrew", "from right to left", "not written"}},
		{"right to left, joining", "ok\nسلام", Options{Alphabet: plain, Height: 9}, fault.Input, []string{"line 2, character 1", "Arabic", "right to left"}},
		{"joining", "नमस्ते", Options{Alphabet: plain, Height: 9}, fault.Input, []string{"Devanagari", "join"}},
		{"control", "a\x07b", Options{Alphabet: plain, Height: 9}, fault.Input, []string{"character 2", "U+0007 is a control character"}},
		{"turns the direction", "a\u202eb", Options{Alphabet: plain, Height: 9}, fault.Input, []string{"U+202E is a control character"}},
		{"a mark alone", "\u0301", Options{Alphabet: plain, Height: 9}, fault.Input, []string{"U+0301 is a mark without a letter"}},
		{"a mark unknown", "a\u0360b", Options{Alphabet: plain, Height: 9}, fault.Input, []string{"(U+0061 U+0360)", "write 'a' in its place"}},
		{"private", "\ue000", Options{Alphabet: plain, Height: 9}, fault.Input, []string{"mark without a letter"}},
		{"tab", "a\tb", Options{Alphabet: plain, Height: 9}, fault.Input, []string{"a tab", "put spaces"}},
		{"bytes", "a\xffb", Options{Alphabet: plain, Height: 9}, fault.Input, []string{"no characters", "UTF-8"}},
		{"empty", " \n ", Options{Alphabet: plain, Height: 9}, fault.Input, []string{"no letters"}},
		{"low", "A", Options{Alphabet: plain, Height: 6}, fault.Input, []string{"least height is 7 rows", "counted, which begins at 5"}},
		{"too low for all", "A", Options{Alphabet: counted, Height: 4}, fault.Input, []string{"least height is 5 rows", "give 5 rows or more"}},
		{"no cloth", "A", Options{Alphabet: plain, Height: 9, Grid: weave.Grid{Across: math.Inf(1), Along: 1}}, fault.Input, []string{"count"}},
		{"spacing", "A", Options{Alphabet: plain, Height: 9, Spacing: math.MinInt}, fault.Input, []string{"no spacing"}},
		{"no arc", "A", Options{Alphabet: plain, Height: 9, Arc: math.NaN()}, fault.Input, []string{"not possible"}},
		{"wide", "HARBOUR", Options{Alphabet: plain, Height: 20, Most: 70}, fault.Fit, []string{"channels wide", "more ("}},
		{"short arc", "HARBOUR", Options{Alphabet: plain, Height: 20, Arc: 10}, fault.Fit, []string{"does not go on an arc"}},
	} {
		if c.opt.Grid == (weave.Grid{}) {
			c.opt.Grid = monks
		}
		_, err := Set(c.text, c.opt)
		var f *fault.Error
		if !errors.As(err, &f) || !errors.Is(err, c.kind) {
			t.Errorf("%s: Set = %v, want an error of kind %q", c.name, err, c.kind)
			continue
		}
		for _, s := range c.says {
			if !strings.Contains(f.Error()+"; "+f.Do, s) {
				t.Errorf("%s: %q; %q does not say %q", c.name, f.Error(), f.Do, s)
			}
		}
	}
}

// TestHeightThatFits: the height named in a refusal fits, and the next does not.
func TestHeightThatFits(t *testing.T) {
	opt := Options{Height: 30, Grid: monks, Most: 90}
	_, err := Set("HARBOUR", opt)
	var f *fault.Error
	if !errors.As(err, &f) {
		t.Fatal(err)
	}
	fits := 0
	for h := 29; h >= 7 && fits == 0; h-- {
		opt.Height = h
		if _, err := Set("HARBOUR", opt); err == nil {
			fits = h
		}
	}
	if fits == 0 || !strings.Contains(f.Do, fmt.Sprintf("letters %d rows high fit", fits)) {
		t.Errorf("%d rows fit, and the advice is %q", fits, f.Do)
	}
}

// TestRowsOf reads heights; a length is measured along the cloth, here with 13
// channels an inch.
func TestRowsOf(t *testing.T) {
	for _, c := range []struct {
		text string
		want int // 0 where it is refused
	}{
		{"9rows", 9}, {"9 rows", 9}, {"1row", 1}, {"1in", 13}, {"25.4mm", 13}, {"20mm", 10}, {"1/2in", 7},
		{"", 0}, {"9", 0}, {"-9rows", 0}, {"9.5rows", 0}, {"0rows", 0}, {"0.5mm", 0}, {"-1in", 0}, {"9km", 0}, {"9000in", 0},
	} {
		got, err := RowsOf(c.text, monks)
		if got != c.want || (err == nil) != (c.want > 0) || err != nil && !errors.Is(err, fault.Input) {
			t.Errorf("RowsOf(%q) = %d, %v, want %d", c.text, got, err, c.want)
		}
	}
}

// TestSameAgain: the same text gives the same strokes, whatever was set before.
func TestSameAgain(t *testing.T) {
	for _, name := range Names() {
		opt := Options{Alphabet: alphabetOf(t, name), Height: 12}
		if a, b := setOf(t, "Harbour Mill 1924", opt), setOf(t, "Harbour Mill 1924", opt); !reflect.DeepEqual(a, b) {
			t.Errorf("%s: two settings of one text differ", name)
		}
	}
}

// TestCache: with other texts set before, a text comes out the same.
func TestCache(t *testing.T) {
	var c Cache
	for _, text := range []string{"quay", "Harbour Mill", "quay", "HARBOUR"} {
		for _, name := range Names() {
			for _, spacing := range []int{0, 2} {
				opt := Options{Alphabet: alphabetOf(t, name), Height: 9, Grid: monks, Spacing: spacing}
				got, err := c.Set(text, opt)
				if want := setOf(t, text, opt); err != nil || !reflect.DeepEqual(got, want) {
					t.Errorf("%s %q, spacing %d: comes out otherwise, %v", name, text, spacing, err)
				}
			}
		}
	}
}

// TestComposed: a letter and its mark typed one after the other are one letter.
func TestComposed(t *testing.T) {
	a, b := setOf(t, "é", Options{Height: 12}), setOf(t, "e\u0301", Options{Height: 12})
	if !reflect.DeepEqual(a, b) {
		t.Error("e with a combining acute is not é")
	}
}

func BenchmarkSet(b *testing.B) {
	text := strings.Repeat("The quick brown fox jumps over the lazy dog, Žďár and Łódź.\n", 210)
	letters := len([]rune(strings.Join(strings.Fields(text), "")))
	for _, a := range alphabets() {
		b.Run(a.Name(), func(b *testing.B) {
			for b.Loop() {
				if _, err := Set(text, Options{Alphabet: a, Height: 12, Grid: monks}); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(letters), "letters")
		})
	}
}

// FuzzSet: any text is set or refused as a request that can be mended; a text
// that is set is finite and within its extent.
func FuzzSet(f *testing.F) {
	for _, s := range []string{"Harbour Mill 1924", "ďŽŁß\nŉĳ…", "a\u0301\u0327", "\u0301", "V.V", "שלום", "\x00", "\xff", "½ ² ﬁ", "i\u0307\u0323", "ﷺ", "  a  "} {
		f.Add(s, uint8(0), 9)
	}
	f.Fuzz(func(t *testing.T, text string, alphabet uint8, height int) {
		if len(text) > 200 || height > 60 {
			return
		}
		list := alphabets()
		set, err := Set(text, Options{Alphabet: list[int(alphabet)%len(list)], Height: height, Grid: monks})
		if err != nil {
			if !errors.Is(err, fault.Input) {
				t.Fatalf("Set(%q): %v", text, err)
			}
			return
		}
		for _, s := range set.Strokes {
			if err := s.Validate(); err != nil {
				t.Fatalf("Set(%q): %v", text, err)
			}
		}
		box := paths.RectOf(monks.At(set.Min), monks.At(set.Max)).Grow(1e-5)
		if by, side := box.Excess(paths.BoundsOf(set.Strokes)); by > 0 {
			t.Fatalf("Set(%q): a stroke sticks out by %g mm on the %s", text, by, side)
		}
	})
}
