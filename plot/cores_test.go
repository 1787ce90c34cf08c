package plot

import (
	"bytes"
	"context"
	"errors"
	"runtime"
	"sync/atomic"
	"testing"

	"weftplot/plot/job"
	"weftplot/plot/job/jobtest"
)

// The bytes do not depend on the number of cores.
func TestCoresMakeNoDifference(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	in := jobtest.Inputs(t, jobtest.DesignOf(waves(200)), job.Defaults())
	var first []byte
	for _, cores := range []int{1, 2, 5} {
		runtime.GOMAXPROCS(cores)
		j, err := Make(context.Background(), in, job.Settings{Effort: "quick"}, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = j.PenRuns[0].Text
		} else if !bytes.Equal(first, j.PenRuns[0].Text) {
			t.Errorf("%d cores make another program", cores)
		}
	}
}

// asked is a context that is cancelled at the question whose number is given,
// and counts the questions.
type asked struct {
	context.Context
	cancelAt int64
	count    *atomic.Int64
}

func (a asked) Err() error {
	if a.count.Add(1) >= a.cancelAt {
		return context.Canceled
	}
	return nil
}

// Steps that are told to stop ask no more than a few times again, however many
// of 2000 strokes are left; and each asks many times when it is not.
func TestStepsEndSoonAfterCancel(t *testing.T) {
	laid, snapped, ordered, fitted := upToFitted(t)
	for _, step := range []struct {
		name  string
		least int64 // questions in a whole run
		run   func(ctx context.Context) error
	}{
		{"snap", 50, func(ctx context.Context) error { _, err := Snap(ctx, laid, Options{}); return err }},
		{"join", 2, func(ctx context.Context) error { _, err := Join(ctx, snapped, Options{}); return err }},
		{"fit", 2000, func(ctx context.Context) error { _, err := Fit(ctx, ordered, Options{}); return err }},
		{"write", 2000, func(ctx context.Context) error { _, err := Write(ctx, fitted, Options{}); return err }},
	} {
		var whole atomic.Int64
		if err := step.run(asked{context.Background(), 1 << 60, &whole}); err != nil {
			t.Fatalf("%s: %v", step.name, err)
		}
		if whole.Load() < step.least {
			t.Errorf("%s asks %d times in all, want %d", step.name, whole.Load(), step.least)
		}
		for _, at := range []int64{1, whole.Load() / 2, whole.Load() - 1} {
			at = max(1, at)
			var count atomic.Int64
			err := step.run(asked{context.Background(), at, &count})
			if err == nil && at > 1 && count.Load() < at {
				continue // the cores shared the work otherwise, so that fewer questions were asked
			}
			if most := at + int64(4*runtime.GOMAXPROCS(0)); !errors.Is(err, context.Canceled) || count.Load() > most {
				t.Errorf("%s, cancelled at question %d of %d: %d questions, %v", step.name, at, whole.Load(), count.Load(), err)
			}
		}
	}
}

func upToFitted(t *testing.T) (laid Laid, snapped Snapped, ordered Ordered, fitted Fitted) {
	t.Helper()
	ctx := context.Background()
	in := jobtest.Inputs(t, jobtest.DesignOf(waves(2000)), job.Defaults())
	must := func(err error) {
		if err != nil {
			t.Fatal(err)
		}
	}
	var err error
	laid, err = Lay(in, job.Settings{Effort: "quick"}.Complete())
	must(err)
	snapped, err = Snap(ctx, laid, Options{})
	must(err)
	joined, err := Join(ctx, snapped, Options{})
	must(err)
	registered, err := Register(joined)
	must(err)
	ordered, err = Order(ctx, registered, Options{})
	must(err)
	fitted, err = Fit(ctx, ordered, Options{})
	must(err)
	return laid, snapped, ordered, fitted
}
