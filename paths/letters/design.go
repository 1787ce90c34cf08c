package letters

import (
	"fmt"

	"weftplot/paths"
	"weftplot/paths/weave"
)

// Design returns a text as a design of one layer, in mm. Its page is the text's extent
// and a channel more on each side, so that its corners are crossings of channels. The
// lines are painted width mm wide.
func (t Text) Design(name string, g weave.Grid, width float64) paths.Design {
	return paths.Design{
		Name: name, HasSize: true,
		Page: paths.RectOf(
			g.At(weave.Place{Across: t.Min.Across - 1, Along: t.Min.Along - 1}),
			g.At(weave.Place{Across: t.Max.Across + 1, Along: t.Max.Along + 1})),
		Layers: []paths.Layer{t.layer(name, paths.Identity(), width)},
	}
}

// layer returns the strokes under m as a layer.
func (t Text) layer(name string, m paths.Affine, width float64) paths.Layer {
	l := paths.Layer{Name: name}
	for _, s := range t.Strokes {
		l.Strokes = append(l.Strokes, paths.DesignStroke{Stroke: s.Transform(m), Element: "text", Width: width})
	}
	return l
}

// SpecimenHeights are the heights in rows that a specimen sheet shows.
var SpecimenHeights = [...]int{7, 9, 12, 20}

// specimenText has the letters, the digits, signs and words of four languages.
const specimenText = "ABCDEFGHIJKLMNOPQRSTUVWXYZ\n" +
	"abcdefghijklmnopqrstuvwxyz\n" +
	"0123456789 .,:;!?&@%()[]{}#*+-=/\n" +
	"Harbour Mill, hooked rug 1924\n" +
	"Øster Æbelø, blåbær på åsen\n" +
	"Žluťoučký kůň úpěl ďábelské ódy\n" +
	"L’été à l’île Noël, ça œuvre"

// Specimen returns a sheet that shows an alphabet at each of the [SpecimenHeights] it
// is drawn in, as a design with a layer for each. The lines are painted width mm wide.
func Specimen(a Alphabet, g weave.Grid, width float64) (paths.Design, error) {
	d := paths.Design{Name: a.Name(), HasSize: true}
	down := 0. // rows to the next block's first base line
	for _, h := range SpecimenHeights {
		if h < a.Least() {
			continue
		}
		t, err := Set(specimenText, Options{Alphabet: a, Height: h, Grid: g})
		if err != nil {
			return d, err
		}
		down -= t.Max.Along
		m := paths.Translate(g.At(weave.Place{Along: down}))
		d.Layers = append(d.Layers, t.layer(fmt.Sprintf("%s, %d rows", a.Name(), h), m, width))
		down += t.Min.Along - 1.4*float64(h)
	}
	margin := 4 * max(g.Across, g.Along)
	d.Page = d.Bounds().Grow(margin)
	return d, nil
}
