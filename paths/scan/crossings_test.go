package scan

import (
	"testing"

	"weftplot/paths"
	"weftplot/paths/scan/truth"
)

// fourLines cross two by two.
func fourLines(turn float64) []paths.Stroke {
	at := func(x, y float64) paths.Point { return pt(30, 20).Add(rotated(pt(x, y), turn*degree)) }
	return []paths.Stroke{
		paths.Polyline(at(-15, -5), at(15, -5)), paths.Polyline(at(-15, 5), at(15, 5)),
		paths.Polyline(at(-5, -15), at(-5, 15)), paths.Polyline(at(5, -15), at(5, 15)),
	}
}

// TestCrossingsAndCorners draws four lines that cross, and corners of many angles, turned
// on the sheet: crossings stay crossings, and a corner keeps within 0.1 mm of its place.
func TestCrossingsAndCorners(t *testing.T) {
	turns, angles := []float64{7, 63}, []float64{30, 70, 110, 140}
	if *thorough {
		turns, angles = nil, nil
		for turn := 0.0; turn < 90; turn += 7 {
			turns = append(turns, turn)
		}
		for deg := 30.0; deg <= 140; deg += 10 {
			angles = append(angles, deg)
		}
	}
	for name, p := range map[string]truth.Paper{"pen": truth.Scan(0.7), "pencil": truth.Pencil(0.7)} {
		worst := 0.0
		for k, turn := range turns {
			if got, s := traced(t, p, 200, fourLines(turn)...); len(got.Strokes) != 4 {
				t.Errorf("%s: four lines turned by %v degrees are %d strokes, %v", name, turn, len(got.Strokes), s)
			}
			for i, deg := range angles {
				if !*thorough && (i+k)%2 == 0 {
					continue
				}
				v := pt(30, 20)
				a, b := rotated(pt(15, 0), turn*degree), rotated(pt(15, 0), (turn+deg)*degree)
				page, drawn := p.Of(sheet(paths.Polyline(v.Add(a), v, v.Add(b))), 200)
				got, err := Trace(page, Options{})
				if err != nil || len(got.Strokes) != 1 {
					t.Errorf("%s: a corner of %v degrees turned by %v is %d strokes: %v", name, deg, turn, len(got.Strokes), err)
					continue
				}
				d := nearestJoint(got.Strokes[0], drawn.Strokes[0][0].End())
				if worst = max(worst, d); d > 0.1 {
					t.Errorf("%s: a corner of %v degrees turned by %v is %.3f mm off", name, deg, turn, d)
				}
			}
		}
		t.Logf("%s: the worst corner is %.3f mm off", name, worst)
	}
}
