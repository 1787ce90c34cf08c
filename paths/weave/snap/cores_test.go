package snap

import (
	"reflect"
	"runtime"
	"testing"
)

func TestTheSameOnAnyCountOfCores(t *testing.T) {
	in := crowd(200, 120, 150)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one := mustSnap(t, in, monks, Options{})
	for _, cores := range []int{2, 5} {
		runtime.GOMAXPROCS(cores)
		if many := mustSnap(t, in, monks, Options{}); !reflect.DeepEqual(one, many) {
			t.Errorf("%d cores draw another design than one", cores)
		}
	}
}
