package snap

import (
	"math/rand/v2"
	"slices"
	"testing"

	"weftplot/paths"
	"weftplot/paths/weave/snap/rings"
	"weftplot/paths/weave/snap/web"
)

// ringsOf strews circles of 2 to 14 mm, and between them curved triangles.
func ringsOf(n int, width, height float64) []paths.Stroke {
	r := rand.New(rand.NewPCG(21, 22))
	out := make([]paths.Stroke, n)
	for i := range out {
		x, y, size := r.Float64()*width, r.Float64()*height, 2+12*r.Float64()
		out[i] = paths.Stroke{paths.Circle(pt(x, y), size/2)}
		if i%3 == 0 {
			a, b, c := pt(x, y), pt(x+size, y+size/3), pt(x+size/4, y+size)
			out[i] = paths.Stroke{
				paths.Cubic{A: a, B: pt(x+size/2, y), C: pt(x+size, y), D: b},
				paths.Cubic{A: b, B: pt(x+size, y+size), C: pt(x+size/2, y+size), D: c},
				paths.Cubic{A: c, B: pt(x, y+size), C: pt(x, y+size/2), D: a},
			}
		}
	}
	return out
}

// What is looked at round a shape is all that lies over its box, by going through all
// curves one by one.
func TestAroundMissesNothing(t *testing.T) {
	strokes := append(ringsOf(150, 160, 160), withImages(crowd(40, 120, 120), paths.Affine{B: 1, C: 1, E: 5})...)
	opt, err := Options{}.check(monks)
	if err != nil {
		t.Fatal(err)
	}
	s := &snapper{Web: web.New(strokes), grid: monks, opt: opt, evenLooks: evenLooks}
	s.place()
	s.carry()
	s.whole = make([]*paths.Point, len(strokes))
	w := newSurroundings(s)
	l := w.looker()
	met := 0
	for k := range strokes {
		x := s.shapeOf(int32(k))
		edge := s.edgeOf(x.strokes)
		d := s.carried(x.box.Centre()).Sub(x.box.Centre())
		if k%5 == 0 {
			w.move(x, d.Add(pt(3, -9)))
		}
		var moved rings.Edge
		moved.MoveTo(&edge, d)
		var found []int
		l.around(x, edge.Box.Union(moved.Box), func(i int) bool { found = append(found, i); return true })
		clear(l.fresh)
		for i := range w.Curves() {
			before, after := l.lines(i)
			if int(w.stroke[i]) != k && (edge.Box.Overlaps(paths.RectOf(before...)) || moved.Box.Overlaps(paths.RectOf(after...))) {
				met++
				if !slices.Contains(found, i) {
					t.Errorf("stroke %d: curve %d lies over its box and is not looked at", k, i)
				}
				if !edge.Box.Overlaps(w.before[i]) && !moved.Box.Overlaps(w.after[i]) {
					t.Errorf("stroke %d: the boxes of curve %d do not hold it", k, i)
				}
			}
		}
	}
	if met < 500 {
		t.Errorf("only %d curves lie over others' boxes: the design tests nothing", met)
	}
}
