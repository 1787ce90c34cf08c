package cloth

import (
	"bytes"
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/deviation"
	"weftplot/paths/fault"
	_ "weftplot/paths/samecases"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth/models"
)

func TestFitRefuses(t *testing.T) {
	r := rand.New(rand.NewPCG(23, 24))
	sound := func(nx, ny int) []Mark {
		return cloth{1.01, 0.99, 0.02, 0.01, 0, false}.marks(r, 0.1, nx, ny)
	}
	change := func(marks []Mark, i int, f func(*Mark)) []Mark { f(&marks[i]); return marks }
	line := func() (out []Mark) {
		for i := range 5 {
			p := place(float64(i)*40, float64(i)*60)
			out = append(out, Mark{p, monks.At(p)})
		}
		return out
	}
	mirror := func() []Mark {
		m := sound(3, 3)
		for i := range m {
			m[i].At.X = -m[i].At.X
		}
		return m
	}
	for _, c := range []struct {
		name  string
		marks []Mark
		opt   FitOptions
		want  string
	}{
		{"none", nil, FitOptions{}, "0 marks are too few"},
		{"one", sound(3, 3)[:1], FitOptions{}, "1 mark is too few"},
		{"too few for the model", sound(2, 2), FitOptions{Model: models.Biquadratic}, "too few for biquadratic, which takes 6"},
		{"unknown model", sound(3, 3), FitOptions{Model: "wavy"}, `no fit called "wavy"`},
		{"one line", line(), FitOptions{}, "all 5 marks lie on one line"},
		{"mirrored", mirror(), FitOptions{}, "turn the cloth over"},
		{"one place twice", change(sound(3, 3), 4, func(m *Mark) { m.Place = place(0, 0) }), FitOptions{}, "mark 5: it has the same place on the weave as mark 1"},
		{"found at one place", change(sound(3, 3), 4, func(m *Mark) { m.At = pt(40, 30); m.At = m.At.Add(pt(0.1, 0)) }), FitOptions{}, "mark 5: the machine found it at the same place as mark 1"},
		{"folded", change(sound(3, 3), 4, func(m *Mark) { m.At = pt(40, 30).Add(pt(900, 1200)) }), FitOptions{Model: models.Biquadratic}, "fold"},
		{"far beyond", sound(3, 3), FitOptions{Extent: place(900, 461)}, "reaches 218 % of the marks' own spread beyond them"},
		{"half a channel off", change(sound(2, 2), 3, func(m *Mark) { m.At = m.At.Add(pt(6, 0)) }), FitOptions{Model: models.Affine}, "over half a channel"},
		{"not a number", change(sound(2, 2), 3, func(m *Mark) { m.At.X = math.NaN() }), FitOptions{}, "mark 4"},
		{"no count", sound(2, 2), FitOptions{Expect: paths.Count{Across: -1, Along: 1}}, "no cloth's"},
	} {
		if c.opt.Expect == (paths.Count{}) {
			c.opt.Expect = monksCount
		}
		_, err := Fit(c.marks, c.opt)
		var f *fault.Error
		if !errors.As(err, &f) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
}

func TestCountThatDiffersIsWarnedOf(t *testing.T) {
	r := rand.New(rand.NewPCG(25, 26))
	marks := cloth{1.2, 1, 0, 0, 0, false}.marks(r, 0, 3, 3)
	reg, err := Fit(marks, FitOptions{Expect: monksCount, Extent: rugSize})
	if err != nil {
		t.Fatal(err)
	}
	if m, ok := warning(reg, "count-differs"); !ok || !strings.Contains(m, "10.00 channels an inch across") {
		t.Errorf("warnings %v", reg.Report().Warnings)
	}
}

// warning returns the message of the warning with a code.
func warning(reg Registration, code string) (message string, ok bool) {
	for _, w := range reg.Report().Warnings {
		if w.Code == code {
			return w.Message, true
		}
	}
	return "", false
}

// A line in a channel is drawn along the channel as measured, and curves go
// through the same map.
func TestStrokeFollowsTheCloth(t *testing.T) {
	r := rand.New(rand.NewPCG(27, 28))
	c := cloth{1.02, 0.98, 0.04, 0.03, 0.01, false}
	reg, err := Fit(c.marks(r, 0, 5, 5), FitOptions{Expect: monksCount, Extent: rugSize})
	if err != nil {
		t.Fatal(err)
	}
	const tol = 0.05
	rect, _, _, err := weave.Border(283, 461, nil, monks)
	if err != nil {
		t.Fatal(err)
	}
	in := append(rect, paths.Stroke{paths.Circle(pt(200, 300), 80)}, paths.Polyline(pt(10, 10), pt(10, 10)))
	for _, s := range in {
		out := reg.Stroke(s, monks, tol)
		if err := out.Validate(); err != nil {
			t.Fatal(err)
		}
		if out.IsClosed() != s.IsClosed() {
			t.Errorf("closed %v became %v", s.IsClosed(), out.IsClosed())
		}
		var truth []paths.Point
		for _, cv := range s {
			for i := range 200 {
				truth = append(truth, c.at(monks.PlaceOf(cv.At(float64(i)/200))))
			}
		}
		truth = append(truth, c.at(monks.PlaceOf(s.End())))
		if d := deviation.Of(paths.Polyline(truth...), out, 0.01); d > tol+0.02 {
			t.Errorf("the cloth's line strays %.3f mm from the drawn one", d)
		}
		if d := deviation.Of(out, paths.Polyline(truth...), 0.01); d > tol+0.02 {
			t.Errorf("the drawn line strays %.3f mm from the cloth's", d)
		}
	}
}

func TestMarksRoundTrip(t *testing.T) {
	num := rapid.Float64Range(-500, 500)
	rapid.Check(t, func(t *rapid.T) {
		in := make([]Mark, rapid.IntRange(1, 12).Draw(t, "n"))
		for i := range in {
			in[i] = Mark{place(num.Draw(t, "across"), num.Draw(t, "along")), pt(num.Draw(t, "x"), num.Draw(t, "y"))}
		}
		out, err := ParseMarks("marks.toml", FormatMarks(in))
		if err != nil || len(out) != len(in) {
			t.Fatalf("%v\n%s", err, FormatMarks(in))
		}
		for i := range in {
			if in[i] != out[i] {
				t.Fatalf("mark %d came back as %v, was %v", i+1, out[i], in[i])
			}
		}
	})
}

func TestParseMarksRefuses(t *testing.T) {
	const good = "[[mark]]\nacross = 0\nalong = 12.5\nx = \"61.2mm\"\ny = \"2in\"\n"
	if m, err := ParseMarks("m.toml", []byte(good)); err != nil || m[0] != (Mark{place(0, 12.5), pt(61.2, 50.8)}) {
		t.Fatalf("%v, %v", m, err)
	}
	for _, c := range []struct{ name, old, new, want string }{
		{"missing key", "along = 12.5\n", "", `m.toml: mark 1: the key "along" is missing`},
		{"unknown key", "along", "allong", `m.toml: line 3: there is no key "mark.allong"`},
		{"bare number", `"61.2mm"`, `"61.2"`, `has no unit`},
		{"wrong unit", `"61.2mm"`, `"61.2kg"`, `is not a length`},
		{"number for a length", `"61.2mm"`, `61.2`, `the number 61.2 has no unit`},
		{"text for a channel", "12.5", `"twelve"`, `line 3`},
		{"not a number", "12.5", `nan`, `mark 1`},
		{"infinite", "12.5", `inf`, `mark 1`},
		{"too far", `"2in"`, `"200m"`, `mark 1`},
		{"not TOML", "[[mark]]", "[[mark]", `line 1`},
		{"empty", good, "", `no marks`},
	} {
		text := strings.Replace(good, c.old, c.new, 1)
		_, err := ParseMarks("m.toml", []byte(text))
		var f *fault.Error
		if !errors.As(err, &f) || !strings.Contains(err.Error(), c.want) || !strings.HasPrefix(f.Where, "m.toml") {
			t.Errorf("%s: %v (do: %+v), want %q", c.name, err, f, c.want)
		}
	}
}

func FuzzParseMarks(f *testing.F) {
	f.Add([]byte("[[mark]]\nacross = 0\nalong = 12.5\nx = \"61.2mm\"\ny = \"2in\"\n"))
	f.Add([]byte("[[mark]]\nacross = nan\n"))
	f.Add([]byte("mark = 3"))
	f.Fuzz(func(t *testing.T, data []byte) {
		marks, err := ParseMarks("m", data)
		if err != nil {
			return
		}
		text := FormatMarks(marks)
		again, err := ParseMarks("m", text)
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		if !bytes.Equal(FormatMarks(again), text) {
			t.Fatalf("read, written and read is another thing:\n%s", text)
		}
	})
}
