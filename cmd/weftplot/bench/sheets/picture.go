// Package sheets makes what the browser shows of a job from its strokes and from the
// bytes of its programs: both sides of the rug, and the dry run.
package sheets

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/svg"
	"weftplot/paths/weave"
	"weftplot/plot"
	"weftplot/profiles"
)

// Picture is what the browser draws both sides of the rug from. Lengths are mm,
// y up. The front is the frame of the finished rug; the back is the machine's,
// where the cloth lies as the pen finds it, its strokes in the order of drawing.
type Picture struct {
	Picture int        `json:"picture"`
	Rug     [4]float64 `json:"rug"`     // in the front frame: x0, y0, x1, y1
	Backing [4]float64 `json:"backing"` // in the front frame
	Reach   [4]float64 `json:"reach"`   // the pen's, in the back frame
	// ToBack takes a place on the front to the back: x' = a x + c y + e,
	// y' = b x + d y + f. On a cloth with marks it holds at the middle.
	ToBack [6]float64 `json:"to_back"`
	Exact  bool       `json:"exact"` // ToBack holds everywhere
	// Weave are the channels of the front: the first line and the pitch, across
	// and along. BackWeave are those of the back where they are not straight.
	Weave     [4]float64  `json:"weave"`
	BackWeave [][]float64 `json:"back_weave"`
	Layers    []inkLayer  `json:"layers"`
	Back      strokeList  `json:"back"`
	Front     *strokeList `json:"front"` // null where it is the back through ToBack
	Marks     []Mark      `json:"marks"`
}

// inkLayer is one layer as one pen draws it.
type inkLayer struct {
	Name   string  `json:"name"`
	Pen    string  `json:"pen"`
	Colour string  `json:"colour"`
	Width  float64 `json:"width"`
}

// strokeList is strokes as SVG path data, with the numbers of their layers.
type strokeList struct {
	Layer []int    `json:"layer"`
	Path  []string `json:"path"`
	// Turn says of each stroke of a front that is listed on its own which of the
	// back's it is, so that it darkens when that one is drawn; null until the
	// order of drawing is known.
	Turn []int `json:"turn"`
}

type Mark struct {
	Number int        `json:"number"`
	At     [2]float64 `json:"at"`  // on the machine
	Off    [2]float64 `json:"off"` // from where the fit has it
	Place  [2]float64 `json:"place"`
}

func PictureOf(j plot.Registered, made *plot.Job, number int) Picture {
	mid := j.Rug.Min.X + j.Rug.Max.X
	toDrawn := paths.Identity()
	if j.Mirrored {
		toDrawn = paths.MirrorX(mid / 2)
	}
	onBack := func(p paths.Point) paths.Point { return j.Registration.Point(j.Grid.PlaceOf(toDrawn.Apply(p))) }
	m := tangent(onBack, j.Rug.Centre())
	p := Picture{
		Picture: number, Rug: box(j.Rug), Backing: box(j.Rug.Grow(j.Margin)), Reach: box(j.Inputs.Machine.Reach()),
		ToBack: [6]float64{m.A, m.B, m.C, m.D, m.E, m.F}, Exact: j.Registration.Report() == nil,
		Weave:  [4]float64{0, 0, j.Grid.Across, j.Grid.Along},
		Layers: []inkLayer{}, Marks: []Mark{},
	}
	if j.Mirrored {
		p.Weave[0] = mid
	}
	layers := map[inkLayer]int{}
	add := func(l *strokeList, s paths.Stroke, k inkLayer) {
		n, known := layers[k]
		if !known {
			n = len(p.Layers)
			layers[k] = n
			p.Layers = append(p.Layers, k)
		}
		l.Layer = append(l.Layer, n)
		l.Path = append(l.Path, svg.PathData([]paths.Stroke{s}, 2, math.Pi*0.99))
	}
	ink := func(layer string, pen profiles.Pen) inkLayer {
		return inkLayer{layer, pen.Name, pen.Colour, float64(pen.Width)}
	}
	if made != nil && j.Settings.HasMachine() { // in the order of drawing
		for _, r := range made.PenRuns {
			for _, s := range r.Ways {
				add(&p.Back, s.Stroke, ink(s.Layer, r.Pen))
			}
		}
	} else {
		for _, s := range j.Placed {
			pen, _ := j.PenFor(s.Layer) // it was found when the job was laid out
			add(&p.Back, s.Stroke, ink(s.Layer, pen))
		}
	}
	if r := j.Registration.Report(); r != nil {
		p.Front = &strokeList{}
		for _, k := range j.Drawn {
			pen, _ := j.PenFor(k.Layer)
			add(p.Front, k.Stroke.Transform(toDrawn), ink(k.Layer, pen)) // it is its own inverse
		}
		if made != nil && j.Settings.HasMachine() {
			p.Front.Turn = turns(j.Placed, made.PenRuns)
		}
		p.BackWeave = bentWeave(j)
		for i, k := range r.Marks {
			p.Marks = append(p.Marks, Mark{i + 1, [2]float64{k.At.X, k.At.Y}, [2]float64{k.Residual.X, k.Residual.Y}, [2]float64{k.Place.Across, k.Place.Along}})
		}
	}
	return p
}

// tangent is the affine map that f is at a point.
func tangent(f func(paths.Point) paths.Point, at paths.Point) paths.Affine {
	const step = 1 // mm
	o := f(at)
	dx, dy := f(at.Add(paths.Point{X: step})).Sub(o), f(at.Add(paths.Point{Y: step})).Sub(o)
	return paths.Translate(at.Mul(-1)).Then(paths.Affine{A: dx.X, B: dx.Y, C: dy.X, D: dy.Y}).Then(paths.Translate(o))
}

// bentWeave returns every channel as it lies on a cloth with marks.
func bentWeave(j plot.Registered) [][]float64 {
	const steps = 24 // a measured channel bends
	lo, hi := j.Grid.PlaceOf(j.Rug.Min), j.Grid.PlaceOf(j.Rug.Max)
	var out [][]float64
	add := func(from, to weave.Place) {
		var way []float64
		for i := range steps + 1 {
			t := float64(i) / steps
			q := j.Registration.Point(weave.Place{Across: from.Across + t*(to.Across-from.Across), Along: from.Along + t*(to.Along-from.Along)})
			way = append(way, Hundredth(q.X), Hundredth(q.Y))
		}
		out = append(out, way)
	}
	for x := math.Ceil(lo.Across); x <= hi.Across; x++ {
		add(weave.Place{Across: x, Along: lo.Along}, weave.Place{Across: x, Along: hi.Along})
	}
	for y := math.Ceil(lo.Along); y <= hi.Along; y++ {
		add(weave.Place{Across: lo.Across, Along: y}, weave.Place{Across: hi.Across, Along: y})
	}
	return out
}

func box(r paths.Rect) [4]float64 {
	return [4]float64{Hundredth(r.Min.X), Hundredth(r.Min.Y), Hundredth(r.Max.X), Hundredth(r.Max.Y)}
}
