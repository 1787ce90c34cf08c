package plot

import (
	"context"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/letters"
	"weftplot/paths/weave"
	"weftplot/plot/job"
	"weftplot/plot/job/jobtest"
)

// sheet is a design of a frame 300 mm by 200 mm and words.
func sheet(words ...paths.Words) paths.Design {
	d := jobtest.DesignOf([]paths.Stroke{paths.Polyline(
		paths.Point{}, paths.Point{X: 300}, paths.Point{X: 300, Y: 200}, paths.Point{Y: 200}, paths.Point{})})
	d.Words = words
	return d
}

// wordsSettings draws the settings of a job with words.
func wordsSettings(t *rapid.T) job.Settings {
	s := job.Defaults()
	s.Width = paths.Length(rapid.Float64Range(300, 700).Draw(t, "width"))
	s.Craft = rapid.SampledFrom([]job.Craft{job.PunchNeedle, job.Hooking}).Draw(t, "craft")
	s.Transfer = rapid.SampledFrom([]job.Transfer{job.Direct, job.Tracing}).Draw(t, "transfer")
	s.Border = rapid.SampledFrom([]string{"", "edge", "4,2"}).Draw(t, "border")
	s.Alphabet = rapid.SampledFrom(letters.Names()).Draw(t, "alphabet")
	s.Count = rapid.SampledFrom([]string{"", "12x12/in", "13x10/in", "5x6/cm"}).Draw(t, "count")
	return s
}

// snappedOf lays out a job and puts it on the weave.
func snappedOf(t interface{ Fatal(...any) }, d paths.Design, s job.Settings) Joined {
	l, err := Lay(jobtest.Inputs(t, d, s), s)
	if err != nil {
		t.Fatal(err)
	}
	sn, err := Snap(context.Background(), l, Options{})
	if err != nil {
		t.Fatal(err)
	}
	j, err := Join(context.Background(), sn, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// TestWordsLieInChannels: whatever the size, the border and the side that is drawn,
// the words of a design come out with every upright and level line of theirs exactly
// in a channel, seen from the front as the alphabet has them, within a channel of
// their place, or a half more to be inside the border, and drawn as they were set.
func TestWordsLieInChannels(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := paths.Words{
			Text: rapid.SampledFrom([]string{"WHALE", "Łódź 1", "quay"}).Draw(t, "text"), Layer: "b",
			At:     paths.Point{X: rapid.Float64Range(140, 160).Draw(t, "x"), Y: rapid.Float64Range(95, 105).Draw(t, "y")},
			Height: rapid.Float64Range(17, 25).Draw(t, "height"), Anchor: paths.Anchor(rapid.IntRange(0, 2).Draw(t, "anchor")),
			Turn: float64(rapid.IntRange(-1, 2).Draw(t, "quarters")) * math.Pi / 2,
		}
		s := wordsSettings(t)
		j := snappedOf(t, sheet(w), s)
		turned := letters.Pose{Quarters: int(math.Round(w.Turn/(math.Pi/2))) & 3}.Grid(j.Grid)
		if a, _ := s.Letters(); math.Round(j.Layout.ToRug.MeanScale()*w.Height/turned.Along) < float64(a.Least()) {
			// A border takes room, and the letters with it.
			if len(j.Words) != 0 || len(j.leftOut) != 1 || j.leftOut[0].Code != "words-too-low" {
				t.Fatalf("words too low for their alphabet: %d came out, and it is said: %v", len(j.Words), j.leftOut)
			}
			t.Skip("too low")
		}
		if len(j.Words) != 1 {
			t.Fatalf("%d words came out", len(j.Words))
		}
		k := j.Words[0]
		for _, f := range offChannels(k.Strokes, j.Grid) {
			t.Fatal(f)
		}
		if len(k.Straights) == 0 || !k.OnWeave {
			t.Fatal("no line of the words is told to lie in a channel")
		}
		// On the front the first line is what the alphabet sets, turned and moved.
		a, _ := s.Letters()
		set, err := letters.Set(w.Text, letters.Options{Alphabet: a, Height: k.Height, Grid: turned})
		if err != nil {
			t.Fatal(err)
		}
		front := j.Mirror(j.Layout.Width)
		start := k.Strokes[0].Start()
		move := front.Apply(start).Sub(paths.Rotate(w.Turn).Apply(set.Strokes[0].Start()))
		for i, stroke := range set.Strokes {
			want := stroke.Transform(paths.Rotate(w.Turn).Then(paths.Translate(move)))
			if d := strayed(k.Strokes[i].Transform(front), want); d > 1e-6 {
				t.Fatalf("on the front stroke %d is %g mm off what the alphabet draws", i, d)
			}
		}
		asked := j.Layout.ToRug.Apply(w.At)
		at := move.Add(paths.Rotate(w.Turn).Apply(paths.Point{X: float64(w.Anchor) / 2 * set.Max.Across * turned.Across}))
		moved := slices.ContainsFunc(k.Notes, func(n string) bool { return strings.Contains(n, "to stay inside the border") })
		if d := at.Sub(asked); !moved && math.Abs(d.X) > 1.5*j.Grid.Across+1e-6 || !moved && math.Abs(d.Y) > 1.5*j.Grid.Along+1e-6 {
			t.Fatalf("the words are put %.2f, %.2f mm off their place", d.X, d.Y)
		}
		if lo, hi := j.Layout.Room.Lo, j.Layout.Room.Hi; j.Layout.Room.Bordered && (k.Lo.Across < lo.Across || k.Lo.Along < lo.Along || k.Hi.Across > hi.Across || k.Hi.Along > hi.Along) {
			t.Fatalf("the words reach from %v to %v, and inside the border there is room from %v to %v", k.Lo, k.Hi, lo, hi)
		}
		drawn := 0
		for _, got := range j.Drawn {
			if got.Layer == "b" {
				if d := strayed(got.Stroke, k.Strokes[drawn]); d > 0 {
					t.Fatalf("stroke %d of the words was moved by %g mm on its way", drawn, d)
				}
				drawn++
			}
		}
		if drawn != len(k.Strokes) {
			t.Fatalf("%d of %d strokes of the words are drawn", drawn, len(k.Strokes))
		}
	})
}

// strayed returns how far two strokes of the same curves are apart, in mm.
func strayed(a, b paths.Stroke) float64 {
	if len(a) != len(b) {
		return math.Inf(1)
	}
	d := 0.
	for i, c := range a {
		for _, at := range []float64{0, 0.3, 0.7, 1} {
			d = max(d, c.At(at).Dist(b[i].At(at)))
		}
	}
	return d
}

// offChannels describes upright and level lines that are in no channel.
func offChannels(strokes []paths.Stroke, g weave.Grid) []string {
	var out []string
	for _, s := range strokes {
		for _, c := range s {
			l, ok := c.(paths.Line)
			if !ok {
				continue
			}
			p, q := g.PlaceOf(l.A), g.PlaceOf(l.B)
			off := func(v float64) bool { return math.Abs(v-math.Round(v)) > 1e-7 }
			if math.Abs(p.Across-q.Across) < 1e-9 && off(p.Across) || math.Abs(p.Along-q.Along) < 1e-9 && off(p.Along) {
				out = append(out, "a line of the words is in no channel")
			}
		}
	}
	return out
}

// TestTurnedWords: words that are nearly level go onto the weave; others are turned as
// asked, and say so.
func TestTurnedWords(t *testing.T) {
	for _, c := range []struct {
		degrees, want float64
		on            bool
	}{{2, 0, true}, {-2.5, 0, true}, {88, 90, true}, {179, 180, true}, {30, 30, false}, {-45, -45, false}} {
		s := job.Defaults()
		s.Width = 600
		j := snappedOf(t, sheet(paths.Words{Text: "QUAY", Layer: "b", At: paths.Point{X: 150, Y: 100}, Height: 20, Anchor: paths.AnchorMiddle, Turn: c.degrees * math.Pi / 180}), s)
		k := j.Words[0]
		if k.OnWeave != c.on || math.Abs(k.Turn*180/math.Pi-c.want) > 1e-9 || (len(k.Straights) > 0) != c.on {
			t.Errorf("words turned by %g degrees lie at %g, on the weave: %v", c.degrees, k.Turn*180/math.Pi, k.OnWeave)
		}
	}
}

// TestInscription: a line of words inside the border stands in the middle, to half a
// channel, with the rows around it empty, and the artwork makes room for it.
func TestInscription(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := wordsSettings(t)
		if s.Border == "" {
			s.Border = "4"
		}
		s.Width += 100 // room for the words
		s.Words, s.WordsAt = "Quay, 1924", rapid.SampledFrom([]string{"top", "bottom", "bottom,top", "top, bottom"}).Draw(t, "at")
		s.WordsHeight = rapid.SampledFrom([]string{"7rows", "9rows", "12rows", "30mm"}).Draw(t, "rows")
		s.Clearance = rapid.SampledFrom([]int{job.NoClearance, 2, 5, 20}).Draw(t, "clearance")
		j := snappedOf(t, sheet(), s)
		if want := 1 + strings.Count(s.WordsAt, ","); len(j.Words) != want {
			t.Fatalf("%d lines of words, want %d", len(j.Words), want)
		}
		rows, _ := s.BorderRows()
		inner := 0.
		for _, n := range rows {
			inner += float64(n + 1)
		}
		art := paths.BoundsOf(plain(j.Artwork))
		lowest, highest := j.Grid.PlaceOf(art.Min), j.Grid.PlaceOf(art.Max)
		for _, k := range j.Words {
			for _, f := range offChannels(k.Strokes, j.Grid) {
				t.Fatal(f)
			}
			if off := k.Lo.Across + k.Hi.Across - j.Layout.NX; math.Abs(off) > 1 {
				t.Fatalf("the words are %g channels out of the middle", off/2)
			}
			outer, toArt := k.Lo.Along-inner, lowest.Along-k.Hi.Along
			if k.Lo.Along > j.Layout.NY/2 {
				outer, toArt = j.Layout.NY-inner-k.Hi.Along, k.Lo.Along-highest.Along
			}
			least := min(float64(s.ClearRows()+1), 2) // channels that words in the clearance keep free
			if outer < least || toArt < least-1e-6 {
				t.Fatalf("%g channels from the border and %g from the artwork, want %g", outer, toArt, least)
			}
		}
		clear := float64(s.ClearRows() + 1)
		if lowest.Along < inner+clear-1e-6 || highest.Along > j.Layout.NY-inner-clear+1e-6 {
			t.Fatalf("the artwork reaches from %g to %g of %g channels", lowest.Along, highest.Along, j.Layout.NY)
		}
	})
}

// TestWordsTooWide: the refusal names by how much, and the height that fits does.
func TestWordsTooWide(t *testing.T) {
	s := job.Defaults()
	s.Width, s.Border, s.Words, s.WordsHeight = 400, "edge", "THE HARBOUR LIGHT", "24rows"
	_, err := Lay(jobtest.Inputs(t, sheet(), s), s)
	var f *fault.Error
	if !errors.As(err, &f) || f.Kind != fault.Fit || !strings.Contains(f.What, "more (") {
		t.Fatalf("Lay = %v", err)
	}
	fits, _, ok := strings.Cut(strings.TrimPrefix(f.Do, "letters "), " rows high fit")
	if !ok {
		t.Fatalf("the advice is %q", f.Do)
	}
	s.WordsHeight = fits + "rows"
	if _, err := Lay(jobtest.Inputs(t, sheet(), s), s); err != nil {
		t.Errorf("letters %s rows high do not fit: %v", fits, err)
	}
}

// TestWordsLeftOut: words lower than their alphabet are a doubt that names them and an
// alphabet that would do; overruled, they are left out and all else is drawn.
func TestWordsLeftOut(t *testing.T) {
	s := job.Defaults()
	s.Width = 300
	in := jobtest.Inputs(t, sheet(paths.Words{Text: "tiny", Element: "text", Line: 7, At: paths.Point{X: 50, Y: 50}, Height: 10}), s)
	_, err := Make(context.Background(), in, s, Options{})
	f := fault.Request(err)
	if f == nil || !strings.Contains(f.What, `line 7, text: the words "tiny" would be 5 rows`) || !strings.Contains(f.Do, "[alphabet] counted") {
		t.Fatalf("Make = %v", err)
	}
	s.Really = true
	j, err := Make(context.Background(), in, s, Options{})
	if err != nil || len(j.Words) != 0 || len(j.Drawn) != 1 {
		t.Errorf("%d words and %d strokes are drawn, %v", len(j.Words), len(j.Drawn), err)
	}
}
