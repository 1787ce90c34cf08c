package css

import (
	"encoding/xml"
	"math"
	"reflect"
	"testing"
)

// silent takes what the cascade reports, and remembers whether it stopped.
type silent struct{ stopped bool }

func (s *silent) Note(Element, string, string) {}
func (s *silent) Halt(Element, string)         { s.stopped = true }

// fuzzed returns elements within one another, the inmost last, whose attributes the
// fuzzer sets.
func fuzzed(style, value string) []*item {
	list := []*item{{name: "svg"}}
	for _, name := range []string{"g", "text", "path"} {
		up := list[len(list)-1]
		e := &item{name: name, parent: up, index: 1, attrs: []xml.Attr{
			{Name: xml.Name{Local: "class"}, Value: "a b"}, {Name: xml.Name{Local: "id"}, Value: name},
			{Name: xml.Name{Local: "style"}, Value: style}, {Name: xml.Name{Local: "stroke-width"}, Value: value},
			{Name: xml.Name{Local: "fill"}, Value: value}, {Name: xml.Name{Local: "font-size"}, Value: value},
		}}
		up.children = append(up.children, &item{name: "rect", parent: up}, e)
		list = append(list, e)
	}
	return list
}

// FuzzStyle holds the cascade to styles that are numbers within their ranges,
// whatever the sheet, the style attribute and the attributes say, and to the same
// ones each time.
func FuzzStyle(f *testing.F) {
	f.Add(`path{stroke:red!important}g>.a:nth-child(2n+1){font:bold 2em/3 x}`, `--a:var(--b);stroke-width:calc(2px + var(--a,3%))`, "2mm")
	f.Add(`@media screen{*{fill:url(#x) hsl(1 2% 3%/.5)}}@import "x";:not(a,:is(b c)){marker:none}`, `opacity:50%;color:#12345678`, "currentColor")
	f.Add(`[a|="b"]~#g+path::x{}/*`, `stroke-dasharray:1e9 calc((1 - 2)*3);font-size:smaller`, "-1e308em")
	f.Add(`@media print,{a{}}}}{`, `font:italic 0/0 'a;b';letter-spacing:normal`, "none inherit")
	f.Fuzz(func(t *testing.T, sheet, style, value string) {
		var before []Style
		for range 2 {
			var report silent
			c := NewCascade(&report)
			tree := fuzzed(style, value)
			c.AddSheet(tree[0], sheet)
			s := Initial()
			var got []Style
			for _, e := range tree {
				s = c.Style(e, &s)
				checkStyle(t, &s)
				got = append(got, s)
			}
			if before != nil && !reflect.DeepEqual(before, got) {
				t.Fatalf("two readings give two styles:\n%+v\n%+v", before, got)
			}
			before = got
		}
	})
}

func checkStyle(t *testing.T, s *Style) {
	t.Helper()
	lengths := append([]Length{s.StrokeWidth, s.DashOffset, s.LetterSpacing, s.WordSpacing}, DashList(s.DashArray)...)
	for _, l := range lengths {
		if v := l.In(100, s.FontSize); math.IsNaN(v) {
			t.Errorf("a length of %+v is no number", l)
		}
	}
	if !(s.FontSize >= 0) {
		t.Errorf("font size %v", s.FontSize)
	}
	for _, v := range []float64{s.FillOpacity, s.StrokeOpacity, s.Own.Opacity} {
		if !(v >= 0 && v <= 1) {
			t.Errorf("opacities %v %v %v", s.FillOpacity, s.StrokeOpacity, s.Own.Opacity)
		}
	}
	if s.StrokeWidth.IsNegative() {
		t.Errorf("stroke width %+v", s.StrokeWidth)
	}
	for _, p := range []Paint{s.Fill, s.Stroke} {
		if p.Kind == ColourPaint && !(p.Alpha >= 0 && p.Alpha <= 1) {
			t.Errorf("paint %+v", p)
		}
	}
}
