package plot

import (
	"context"
	"errors"
	"slices"
	"testing"
	"time"

	"weftplot/paths"
	"weftplot/plot/job"
	"weftplot/plot/job/jobtest"
)

// waves are n short wavy strokes on a square.
func waves(n int) []paths.Stroke {
	var out []paths.Stroke
	for i := range n {
		at := paths.Point{X: float64(i%50) * 8, Y: float64(i/50) * 8}
		out = append(out, paths.Stroke{paths.Cubic{
			A: at, B: at.Add(paths.Point{X: 1, Y: 5}), C: at.Add(paths.Point{X: 3, Y: -4}), D: at.Add(paths.Point{X: 5, Y: 2}),
		}})
	}
	return out
}

// A context that is cancelled when a step begins, or in the midst of the search,
// ends the job with its error, and no job comes out.
func TestMakeIsCancelled(t *testing.T) {
	in := jobtest.Inputs(t, jobtest.DesignOf(waves(100)), job.Defaults())
	steps := []Step{Laying, Snapping, Joining, Registering, Ordering, Fitting, Writing, Verifying}
	for _, step := range steps {
		ctx, cancel := context.WithCancel(context.Background())
		var seen []Step
		j, err := Make(ctx, in, job.Settings{}, Options{Progress: func(s Step, done, total int) {
			if len(seen) == 0 || seen[len(seen)-1] != s {
				seen = append(seen, s)
			}
			if s == step && (s != Ordering || done > 0) {
				cancel()
			}
		}})
		cancel()
		if !errors.Is(err, context.Canceled) || len(j.PenRuns) > 0 {
			t.Errorf("cancelled at %q: %v, %d pen runs", step, err, len(j.PenRuns))
		}
		if want := steps[:slices.Index(steps, step)+1]; !slices.Equal(seen, want) {
			t.Errorf("cancelled at %q, it went through %q", step, seen)
		}
	}
}

// Enough ends the search and keeps what was found: all strokes are drawn.
func TestEnough(t *testing.T) {
	s := job.Settings{Effort: "thorough"}
	in := jobtest.Inputs(t, jobtest.DesignOf(waves(300)), job.Defaults())
	j, err := Make(context.Background(), in, s, Options{Enough: func() bool { return true }})
	if err != nil {
		t.Fatal(err)
	}
	checkPromises(t, j)
	if n := j.PenRuns[0].Totals.Strokes; n != 300 {
		t.Errorf("%d strokes are drawn", n)
	}
}

// A job that is only looked at keeps the order of the design, and draws the same
// lines as one that is drawn.
func TestAsGiven(t *testing.T) {
	s := job.Settings{NoSnap: true}
	in := jobtest.Inputs(t, jobtest.DesignOf(waves(300)), job.Defaults())
	j, err := Make(context.Background(), in, s, Options{AsGiven: true})
	if err != nil {
		t.Fatal(err)
	}
	checkPromises(t, j)
	for i, k := range j.Placed {
		if got := j.Tours[0].Asked[i].Start(); got != k.Start() {
			t.Fatalf("stroke %d begins at %v, placed at %v", i+1, got, k.Start())
		}
	}
}

// The zero settings make the job that the defaults make.
func TestZeroSettings(t *testing.T) {
	in := jobtest.Inputs(t, jobtest.DesignOf(waves(20)), job.Defaults())
	zero, err := Make(context.Background(), in, job.Settings{}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	full, err := Make(context.Background(), in, job.Defaults(), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if string(zero.PenRuns[0].Text) != string(full.PenRuns[0].Text) {
		t.Error("the programs differ")
	}
}

// TestStepTimes tells how long the steps take on 2000 strokes, and how soon a
// cancelled context ends them; it judges no time.
func TestStepTimes(t *testing.T) {
	if !testing.Verbose() {
		t.Skip("it only tells times: run it with -v")
	}
	in := jobtest.Inputs(t, jobtest.DesignOf(waves(2000)), job.Defaults())
	last, at := Step(""), time.Now()
	_, err := Make(context.Background(), in, job.Settings{Effort: "quick"}, Options{Progress: func(s Step, done, total int) {
		if s != last {
			t.Logf("%-12s ended after %v", last, time.Since(at).Round(time.Millisecond/10))
			last, at = s, time.Now()
		}
	}})
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%-12s ended after %v", last, time.Since(at).Round(time.Millisecond/10))
	for _, effort := range []string{"normal", "thorough"} {
		ctx, cancel := context.WithCancel(context.Background())
		var cancelled time.Time
		_, err = Make(ctx, in, job.Settings{Effort: effort}, Options{Progress: func(s Step, done, total int) {
			if s == Ordering && done > 0 && cancelled.IsZero() {
				cancelled = time.Now()
				cancel()
			}
		}})
		cancel()
		t.Logf("%s search, cancelled: %v after %v", effort, err, time.Since(cancelled).Round(time.Millisecond/10))
	}
}
