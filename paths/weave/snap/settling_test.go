package snap

import (
	"math/rand/v2"
	"reflect"
	"runtime"
	"slices"
	"sync"
	"testing"

	"weftplot/paths"
	"weftplot/paths/weave/snap/web"
)

// leaningSheet strews small rings over a sheet, many of them over others or in them, and
// draws straights through them that lean a little.
func leaningSheet(rings, straights int, side float64, seed uint64) []paths.Stroke {
	r := rand.New(rand.NewPCG(seed, 31))
	var out []paths.Stroke
	for i := range rings {
		x, y, size := r.Float64()*side, r.Float64()*side, 0.5+2*r.Float64()
		switch i % 4 {
		case 0:
			out = append(out, paths.Stroke{paths.Circle(pt(x, y), size/2)})
		case 1:
			out = append(out, paths.Polyline(pt(x, y), pt(x+size, y+size/3), pt(x+size/4, y+size), pt(x, y)))
		case 2: // two that hang together by a corner
			out = append(out, paths.Polyline(pt(x, y), pt(x+size, y+size/3), pt(x+size/4, y+size), pt(x, y)),
				paths.Polyline(pt(x, y), pt(x-size, y-size/2), pt(x-size/4, y-size), pt(x, y)))
		default:
			a, b := pt(x, y), pt(x+size, y+size/3)
			out = append(out, paths.Stroke{
				paths.Cubic{A: a, B: pt(x+size/2, y-size), C: pt(x+size, y), D: b},
				paths.Cubic{A: b, B: pt(x+size, y+size), C: pt(x, y+size/2), D: a},
			})
		}
	}
	for i := range straights {
		at, lean := side*(float64(i)+0.2+0.6*r.Float64())/float64(straights), r.Float64()-0.5
		out = append(out, paths.Polyline(pt(at-lean, 1), pt(at+lean, side-1)))
		if at = side * (float64(i) + 0.2 + 0.6*r.Float64()) / float64(straights); i%2 == 0 {
			out = append(out, paths.Polyline(pt(1, at+lean), pt(side-1, at-lean)))
		}
	}
	return out
}

// carriedSheet returns strokes carried along, before shapes are moved whole, and these.
func carriedSheet(t *testing.T, strokes []paths.Stroke) (*surroundings, []shape) {
	opt, err := Options{}.check(monks)
	if err != nil {
		t.Fatal(err)
	}
	s := &snapper{Web: web.New(strokes), grid: monks, opt: opt, evenLooks: evenLooks}
	s.place()
	s.moved = slices.Clone(s.Vertices)
	s.slanting = sync.OnceValue(s.slantTouches)
	s.carryVertices()
	s.keepTouching()
	s.whole, s.hangsOn = make([]*paths.Point, len(s.Strokes)), make([]bool, len(s.Strokes))
	shapes := s.shapes()
	return newSurroundings(s), shapes
}

// Shapes for which places are looked for ahead, many at once, go where they go when each is
// looked for as its turn comes, also where what may be looked at is used up on the way.
func TestSettlingAheadAgainstOneByOne(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	settled, spent := 0, 0
	for seed := range uint64(2) {
		strokes := leaningSheet(400, 6, 55, seed)
		for _, work := range []int{shapeWork, 6000} {
			one, shapes := carriedSheet(t, strokes)
			one.work = work
			for _, x := range shapes {
				f := one.look(x)
				if one.accept(x, f); f.ok || len(x.strokes) == 1 {
					continue
				}
				for _, k := range x.strokes {
					if s := one.shapeOf(k); one.isRing(int(k)) {
						one.accept(s, one.look(s))
					}
				}
			}
			if one.work <= 0 {
				spent++
			}
			for _, d := range one.whole {
				if d != nil {
					settled++
				}
			}
			for _, cores := range []int{1, 2, 5} {
				runtime.GOMAXPROCS(cores)
				ahead, shapes := carriedSheet(t, strokes)
				ahead.work = work
				ahead.settle(shapes)
				if !slices.Equal(ahead.moved, one.moved) || !reflect.DeepEqual(ahead.whole, one.whole) {
					t.Errorf("sheet %d with %d looks on %d cores: shapes lie elsewhere than one by one", seed, work, cores)
				}
				if ahead.work != one.work || ahead.reach != one.reach {
					t.Errorf("sheet %d with %d looks on %d cores: %d looks are left, and %d one by one", seed, work, cores, ahead.work, one.work)
				}
			}
		}
	}
	if settled < 300 || spent == 0 || spent == 4 {
		t.Errorf("%d shapes moved whole, and all looks were used up %d times of 4: the sheets test too little", settled, spent)
	}
}

// Sheets of rings with straights that lean through them come out the same on any count of
// cores.
func TestLeaningSheetsOnAnyCountOfCores(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for seed := range uint64(3) {
		strokes := leaningSheet(700, 5, 70, 10+seed)
		runtime.GOMAXPROCS(1)
		one := mustSnap(t, strokes, monks, Options{})
		for _, cores := range []int{2, 5} {
			runtime.GOMAXPROCS(cores)
			if many := mustSnap(t, strokes, monks, Options{}); !reflect.DeepEqual(one, many) {
				t.Errorf("sheet %d: %d cores draw another design than one", seed, cores)
			}
		}
	}
}
