package bench

import (
	"errors"
	"testing"

	"weftplot/cmd/weftplot/bench/engine"
)

// A change that is refused takes no other with it: neither one that it overtook, nor
// one that overtakes it.
func TestARefusedChangeTakesNoOtherWithIt(t *testing.T) {
	t.Parallel()
	good := patch{"stripes": "nearest"}
	const border = "border"
	for name, order := range map[string][]patch{
		"a good one is overtaken by a bad one": {good, {border: "4000"}},
		"a bad one is overtaken by a good one": {{border: "4000"}, good},
		"a good one between bad ones":          {{border: "4000"}, good, {border: "5000"}},
		"two good ones and a bad one":          {good, {"hem": "4rows"}, {border: "4000"}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			b := withDemo(t)
			was := b.job.settings.Border
			answers := make([]error, len(order))
			// Each is asked for as soon as the one before is being looked at.
			done := make(chan int)
			for i, p := range order {
				b.mu.Lock()
				before := b.newest
				b.mu.Unlock()
				go func() {
					answers[i] = b.change(func(j *task) error { return b.apply(j, p) })
					done <- i
				}()
				waitUntil(t, b, func() bool { return b.newest != before })
			}
			for range order {
				<-done
			}
			waitUntil(t, b, func() bool { return b.wanted == b.job })
			last := len(order) - 1
			if bad := order[last][border] != ""; bad != (answers[last] != nil) {
				t.Errorf("the last change was answered with %v", answers[last])
			}
			for i, err := range answers[:last] {
				if err != nil && !errors.Is(err, engine.ErrSuperseded) && order[i][border] == "" {
					t.Errorf("a good change was answered with %v", err)
				}
			}
			b.mu.Lock()
			defer b.mu.Unlock()
			if s := b.job.settings; string(s.Stripes) != "nearest" || s.Border != was || len(b.job.edits) > 0 {
				t.Errorf("stripes %q, border %q, %d edits left", s.Stripes, s.Border, len(b.job.edits))
			}
			if order[1]["hem"] != "" && b.job.settings.Hem != "4rows" {
				t.Errorf("hem %q", b.job.settings.Hem)
			}
		})
	}
}
