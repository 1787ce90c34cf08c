package cloth

import (
	"math"
	"testing"

	"weftplot/paths"
	"weftplot/paths/weave"
)

// TestSurveyLaidTurned looks for marks on a cloth that lies turned by a quarter,
// anticlockwise: what runs across runs away from the person, and what runs along
// runs to the left. The first mark alone leads to the others, and places are told
// back; then the fit takes over.
func TestSurveyLaidTurned(t *testing.T) {
	s := rug(t).LaidTurned()
	lies := func(p weave.Place) paths.Point { // 12 channels an inch across, 13 along, and 0.3 degrees more
		x, y := p.Across*25.4/12, p.Along*25.4/13
		a := (90 + 0.3) * math.Pi / 180
		return paths.Point{X: 400 + x*math.Cos(a) - y*math.Sin(a), Y: 50 + x*math.Sin(a) + y*math.Cos(a)}
	}
	if by := s.Step(place(12, 13)); by.Dist(paths.Point{X: -25.4, Y: 25.4}) > 1e-9 {
		t.Errorf("an inch across and along is gone by %v", by)
	}
	s = found(t, s, lies, place(0, 0))
	for n := 2; n <= 4; n++ {
		p, ok := s.Next()
		if !ok {
			t.Fatalf("no mark %d is proposed", n)
		}
		at, _, _ := s.Expect(p)
		if off := at.Dist(lies(p)); off > 3 {
			t.Errorf("mark %d is looked for %.1f mm away", n, off)
		}
		if back, ok := s.PlaceAt(at); !ok || math.Hypot(back.Across-p.Across, back.Along-p.Along) > 1e-3 {
			t.Errorf("the place of mark %d is told as %v, not %v", n, back, p)
		}
		s = found(t, s, lies, p)
	}
	if _, from, _ := s.Expect(place(50, 50)); from != 0 {
		t.Error("four marks are not fitted")
	}
	if at, _, _ := s.Expect(place(50, 50)); at.Dist(lies(place(50, 50))) > 0.05 {
		t.Errorf("the fit has the middle at %v, and it lies at %v", at, lies(place(50, 50)))
	}
}
