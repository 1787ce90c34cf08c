package paper

import (
	"flag"
	"math/rand/v2"
	"os"
	"testing"
	"time"

	"weftplot/paths"
)

var keep = flag.String("keep", "", "folder to write the PDF files of the tests to, to be looked at")

// harbour is a bordered pattern with curves, two by three feet.
func harbour() Pattern {
	var strokes []paths.Stroke
	strokes = append(strokes, rectangle(609.6, 914.4))
	for i := range 20 {
		c := pt(60+float64(i%4)*160, 80+float64(i/4)*180)
		strokes = append(strokes, paths.Stroke{paths.Circle(c, 30+float64(i))},
			paths.Stroke{paths.Cubic{A: c, B: c.Add(pt(50, 80)), C: c.Add(pt(-40, 100)), D: c.Add(pt(60, 120))}})
	}
	p := pattern(strokes...)
	p.Guide = 50.8
	p.Mirrored = true
	p.Use = "Lay it under the backing on a light table and trace it onto the back of the rug."
	return p
}

// strokesOn makes n curved strokes of eight cubics each on a rug of w by h mm.
func strokesOn(n int, w, h float64) Pattern {
	rng := rand.New(rand.NewPCG(17, 4))
	strokes := []paths.Stroke{rectangle(w, h)}
	for range n {
		q := pt(10+rng.Float64()*(w-60), 10+rng.Float64()*(h-60))
		var s paths.Stroke
		for range 8 {
			r := func() paths.Point { return q.Add(pt(rng.Float64()*12-6, rng.Float64()*12-6)) }
			c := paths.Cubic{A: q, B: r(), C: r(), D: r()}
			s, q = append(s, c), c.D
		}
		strokes = append(strokes, s)
	}
	return pattern(strokes...)
}

// The drawing stands in the file once, however many sheets there are.
func TestSizeOfManySheets(t *testing.T) {
	for _, c := range []struct {
		n    int
		w, h float64
		most int
	}{{2000, 609.6, 914.4, 1_000_000}, {10_000, 2000, 3000, 5_000_000}} {
		if c.n > 2000 && !*every {
			continue
		}
		start := time.Now()
		plan, err := Lay(strokesOn(c.n, c.w, c.h), options("letter"))
		if err != nil {
			t.Fatal(err)
		}
		laid := time.Since(start)
		data, err := plan.PDF()
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%d strokes: %d sheets, %d bytes, %v to lay out, %v in all", c.n, len(plan.Sheets), len(data), laid.Round(time.Millisecond), time.Since(start).Round(time.Millisecond))
		if len(data) > c.most {
			t.Errorf("%d strokes take %d bytes", c.n, len(data))
		}
	}
}

func TestPDF(t *testing.T) {
	opt := options("letter")
	opt.Iron, opt.Press = [2]float64{101.6, 203.2}, 25
	plan, err := Lay(harbour(), opt)
	if err != nil {
		t.Fatal(err)
	}
	data, err := plan.PDF()
	if err != nil {
		t.Fatal(err)
	}
	again, err := plan.PDF()
	if err != nil || string(again) != string(data) {
		t.Error("the same plan gave other bytes")
	}
	t.Log(len(plan.Sheets), "sheets,", len(data), "bytes")
	if *keep != "" {
		if err := os.WriteFile(*keep+"/harbour.pdf", data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
