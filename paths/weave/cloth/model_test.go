package cloth

import (
	"math"
	"math/rand/v2"
	"testing"

	"weftplot/paths"
	"weftplot/paths/weave/cloth/models"
)

// Closed forms: two marks fix a similarity, three an affine map.
func TestClosedForms(t *testing.T) {
	two := []Mark{{place(0, 0), pt(50, 40)}, {place(120, 0), pt(50, 40+254*1.01)}} // a quarter turn, 1 % longer
	reg, err := Fit(two, FitOptions{Expect: monksCount, Extent: place(120, 130)})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := reg.Point(place(0, 130)), pt(50-254*1.01, 40); reg.Report().Model != models.Similarity || got.Dist(want) > 1e-9 {
		t.Errorf("%s puts the third corner at %v, want %v", reg.Report().Model, got, want)
	}
	arc := reg.Stroke(paths.Stroke{paths.Circle(pt(20, 20), 5)}, monks, 0.05)
	if a, ok := arc[0].(paths.Arc); !ok || math.Abs(a.Radius()-5*1.01) > 1e-9 {
		t.Errorf("under a similarity a circle became %v", arc)
	}
	three := append(two, Mark{place(0, 130), pt(-200, 60)})
	reg, err = Fit(three, FitOptions{Expect: monksCount, Extent: place(120, 130)})
	if err != nil {
		t.Fatal(err)
	}
	// The parallelogram's fourth corner.
	if got, want := reg.Point(place(120, 130)), pt(-200, 60+254*1.01); reg.Report().Model != models.Affine || got.Dist(want) > 1e-9 {
		t.Errorf("%s puts the fourth corner at %v, want %v", reg.Report().Model, got, want)
	}
	if _, ok := warning(reg, "marks-not-checked"); !ok {
		t.Errorf("three marks pass without a word: %v", reg.Report().Warnings)
	}
}

// ASTM D3882: skew 100 S/W, bow 100 D/W, both parallel to the selvage.
func TestSkewAndBow(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 22))
	for _, c := range []cloth{{1, 1, 0.018, 0, 0, false}, {1.02, 0.98, -0.04, 0.03, 0.01, false}, {1, 1, 0, -0.02, -0.02, false}} {
		reg, err := Fit(c.marks(r, 0, 3, 3), FitOptions{Expect: monksCount, Extent: rugSize})
		if err != nil {
			t.Fatal(err)
		}
		rep := reg.Report()
		if math.Abs(rep.Skew-100*c.skew) > 0.01 || math.Abs(rep.Bow-100*math.Abs(c.bow)) > 0.01 || rep.BowAlong > 0.01 {
			t.Errorf("%+v is reported as skew %.3f %%, bow %.3f %% and %.3f %%", c, rep.Skew, rep.Bow, rep.BowAlong)
		}
		if want := map[bool]string{true: "single", false: ""}[c.bow != 0]; rep.BowKind != want {
			t.Errorf("%+v is called a %q bow", c, rep.BowKind)
		}
	}
}
