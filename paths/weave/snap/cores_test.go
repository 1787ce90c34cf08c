package snap

import (
	"reflect"
	"runtime"
	"testing"

	"weftplot/paths"
)

// withImages returns the strokes with their images under a map.
func withImages(strokes []paths.Stroke, m paths.Affine) []paths.Stroke {
	out := strokes[:len(strokes):len(strokes)]
	for _, k := range strokes {
		out = append(out, k.Transform(m))
	}
	return out
}

// Lines of one axis, of both, such as are their own mirror image, and rings among them.
func TestTheSameOnAnyCountOfCores(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	stems := crowd(200, 120, 150)
	turned := paths.Affine{B: 1, C: 1, E: 9}
	for name, in := range map[string][]paths.Stroke{
		"stems":              stems,
		"stems both ways":    withImages(stems, turned),
		"stems and images":   withImages(stems[:60], paths.MirrorX(130)),
		"rings among stems":  append(ringsOf(60, 120, 150), stems...),
		"both ways mirrored": withImages(withImages(stems[:60], turned), paths.MirrorX(170)),
	} {
		runtime.GOMAXPROCS(1)
		one := mustSnap(t, in, monks, Options{})
		for _, cores := range []int{2, 5} {
			runtime.GOMAXPROCS(cores)
			if many := mustSnap(t, in, monks, Options{}); !reflect.DeepEqual(one, many) {
				t.Errorf("%s: %d cores draw another design than one", name, cores)
			}
		}
	}
}
