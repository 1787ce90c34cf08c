package svg

import (
	"testing"

	"weftplot/paths"
	"weftplot/paths/bounded/boundedtest"
	"weftplot/paths/fault"
)

// Sizes: 1 in = 25.4 mm = 96 px, 1 pt = 1/72 in, 1 pc = 12 pt (CSS Values and
// Units 3, 5.2); the size of the root over its viewBox sets the scale (SVG 2,
// Coordinate systems).
func TestPageSize(t *testing.T) {
	const line = `<path fill="none" stroke="#000" d="M0 0H10V10"/>`
	for _, tt := range []struct {
		name, attrs   string
		w, h          float64 // the page in mm
		hasSize       bool
		right, bottom float64 // where the point (10, 10) of the file ends up
		notes         string
	}{
		{"millimetres", `width="100mm" height="100mm" viewBox="0 0 100 100"`, 100, 100, true, 10, 90, ""},
		{"centimetres over another scale", `width="20cm" height="10cm" viewBox="0 0 100 50"`, 200, 100, true, 20, 80, ""},
		{"inches", `width="8.5in" height="11in" viewBox="0 0 85 110"`, 215.9, 279.4, true, 25.4, 254, ""},
		{"points", `width="72pt" height="36pt" viewBox="0 0 100 50"`, 25.4, 12.7, true, 2.54, 10.16, ""},
		{"picas and quarters", `width="6pc" height="101.6q" viewBox="0 0 10 10" preserveAspectRatio="none"`, 25.4, 25.4, true, 25.4, 0, ""},
		{"unit in capitals, blanks", `width=" 100MM " height="100Mm" viewBox="0,0,  100,100"`, 100, 100, true, 10, 90, ""},
		{"viewBox that begins elsewhere", `width="100mm" height="100mm" viewBox="-10 -20 100 100"`, 100, 100, true, 20, 70, ""},
		{"pixels", `width="96" height="48px" viewBox="0 0 96 48"`, 25.4, 12.7, true, 254. / 96, 12.7 - 254./96, "size-in-pixels"},
		{"pixels without a viewBox", `width="96" height="48"`, 25.4, 12.7, true, 254. / 96, 12.7 - 254./96, "size-in-pixels"},
		{"millimetres without a viewBox", `width="96mm" height="48mm"`, 96, 48, true, 254. / 96, 48 - 254./96, ""},
		{"viewBox only", `viewBox="0 0 40 30"`, 40, 30, false, 10, 20, ""},
		{"percent", `width="100%" height="100%" viewBox="0 0 40 30"`, 40, 30, false, 10, 20, ""},
		{"one length fixes the other", `width="80mm" viewBox="0 0 40 30"`, 80, 60, true, 20, 40, ""},
		{"auto", `width="auto" height="60mm" viewBox="0 0 40 30"`, 80, 60, true, 20, 40, ""},
		{"not a length", `width="wide" height="60mm" viewBox="0 0 40 30"`, 80, 60, true, 20, 40, "size-unreadable"},
		{"viewBox in error", `width="100mm" height="100mm" viewBox="0 0 -3 4"`, 100, 100, true, 254. / 96, 100 - 254./96, "view-box-unreadable"},
		{"set by a style", `style="width:100mm;height:50mm" width="9" height="9" viewBox="0 0 100 50"`, 100, 50, true, 10, 40, ""},
		{"nothing: the ink is the page", ``, 0, 0, false, 10, 0, ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			d := read(t, `<svg xmlns="http://www.w3.org/2000/svg" `+tt.attrs+`>`+line+`</svg>`)
			if !near(d.Page.Width(), tt.w) || !near(d.Page.Height(), tt.h) || d.HasSize != tt.hasSize {
				t.Errorf("page %v x %v, has size %v; want %v x %v, %v", d.Page.Width(), d.Page.Height(), d.HasSize, tt.w, tt.h, tt.hasSize)
			}
			if d.Page.IsEmpty() == (tt.w > 0) || !d.Page.IsEmpty() && d.Page.Min != (paths.Point{}) {
				t.Errorf("page is %v; its lower left corner should be the origin", d.Page)
			}
			end := d.Strokes()[0].End()
			if !near(end.X, tt.right) || !near(end.Y, tt.bottom) {
				t.Errorf("the corner lies at %v, want %v,%v", end, tt.right, tt.bottom)
			}
			if got := codes(d); got != tt.notes {
				t.Errorf("notes %q, want %q", got, tt.notes)
			}
		})
	}
}

// A page said to be 100 mm is 100 mm to the last bit.
func TestExactMillimetres(t *testing.T) {
	d := read(t, inPage(`<rect width="100" height="100" fill="none" stroke="red"/>`))
	if got, want := d.Bounds(), paths.RectOf(paths.Point{}, paths.Point{X: 100, Y: 100}); got != want || d.Page != want {
		t.Errorf("bounds %v, page %v, want %v for both", got, d.Page, want)
	}
}

func near(a, b float64) bool { return a-b < 1e-9 && b-a < 1e-9 }

func TestBadSizes(t *testing.T) {
	for _, tt := range []struct{ attrs, want string }{
		{`width="0" height="5"`, "t.svg, line 1, svg: the width of the page is 0"},
		{`width="5mm" height="-5mm"`, "t.svg, line 1, svg: the height of the page is -5mm"},
		{`viewBox="0 0 0 10"`, "t.svg, line 1, svg: the viewBox has no area, so nothing is to be drawn"},
		{`width="1e9mm" height="1mm"`, "t.svg, line 1, svg: the page is larger than 1e+07 mm, the most that is read"},
	} {
		_, err := Read("t.svg", []byte(`<svg `+tt.attrs+`><path stroke="red" d="M0 0h1"/></svg>`), Options{})
		if f := boundedtest.Fault(t, err); f.Error() != tt.want || f.Do == "" || f.Kind != fault.Input {
			t.Errorf("%s: fault %q (do: %q), want %q", tt.attrs, f, f.Do, tt.want)
		}
	}
}
