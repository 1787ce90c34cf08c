package cloth

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth/models"
)

var monks = weave.Grid{Across: 25.4 / 12, Along: 25.4 / 13} // rug monk's cloth, as sellers state it (common practice)

func pt(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

// cloth is a synthetic backing: nominally monk's cloth of 600 x 900 mm, really
// stretched, leaning, bowed and turned.
type cloth struct {
	stretchX, stretchY float64 // of the pitch
	skew, bow          float64 // ASTM D3882 shares of the width
	turn               float64 // radians
	sine               bool    // the bow is half a sine wave, not a parabola
}

var rugSize = place(283, 461) // 600 x 900 mm of 12 x 13 an inch

func (c cloth) at(p weave.Place) paths.Point {
	w, x, y := rugSize.Across*monks.Across*c.stretchX, p.Across*monks.Across*c.stretchX, p.Along*monks.Along*c.stretchY
	s := x / w
	sag := 4 * s * (1 - s)
	if c.sine {
		sag = math.Sin(math.Pi * s)
	}
	q := pt(x, y+c.skew*x+c.bow*w*sag)
	return paths.Rotate(c.turn).Apply(q).Add(pt(40, 30))
}

// marks finds marks at the rug's corners, sides and middle, nx by ny of them,
// each off by up to noise in x and in y.
func (c cloth) marks(r *rand.Rand, noise float64, nx, ny int) []Mark {
	var out []Mark
	for j := range ny {
		for i := range nx {
			p := place(math.Round(rugSize.Across*float64(i)/float64(nx-1)), math.Round(rugSize.Along*float64(j)/float64(ny-1)))
			d := pt(noise*(2*r.Float64()-1), noise*(2*r.Float64()-1))
			out = append(out, Mark{p, c.at(p).Add(d)})
		}
	}
	return out
}

// stray returns how far a registration strays from the cloth at most, across the
// channels that lines lie in, in channels and in mm.
func (c cloth) stray(r Registration) (channels, mm float64) {
	for i := 0; i <= 40; i++ {
		for j := 0; j <= 40; j++ {
			p := place(rugSize.Across*float64(i)/40, rugSize.Along*float64(j)/40)
			d := r.Point(p).Sub(c.at(p))
			truth := models.Fitted{At: c.at}
			off := truth.InChannels(p, d, monks)
			channels = max(channels, math.Abs(off.Across), math.Abs(off.Along))
			mm = max(mm, d.Len())
		}
	}
	return channels, mm
}

// nominal places the nominal weave as well as a person who sees only one corner
// could.
func (c cloth) nominal() Registration { return Nominal(monks, c.at(weave.Place{})) }

var monksCount = monks.Count()

func TestRegistrationHoldsTheChannel(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 16))
	for _, tc := range []struct {
		cloth
		nx, ny int
	}{
		{cloth{1, 1, 0, 0, 0, false}, 3, 3},
		{cloth{1.02, 0.985, 0, 0, 0.004, false}, 3, 3},
		{cloth{1.03, 0.98, 0.02, 0, -0.003, false}, 3, 3},
		{cloth{1.02, 0.99, 0.04, 0, 0.002, false}, 3, 3},
		{cloth{1.01, 0.99, 0.01, 0.015, 0, false}, 3, 3},
		{cloth{0.98, 1.02, 0.04, 0.03, 0.004, false}, 3, 3},
		{cloth{1.03, 1.01, -0.02, -0.03, -0.002, false}, 3, 3},
		// Three marks across cannot distinguish shapes of bow; a grid can.
		{cloth{0.98, 1.02, -0.04, 0.03, 0.004, true}, 7, 7},
		{cloth{1.03, 1.01, -0.02, -0.03, -0.002, true}, 7, 7},
	} {
		c := tc.cloth
		worst, worstMM, models := 0.0, 0.0, map[string]int{}
		for range 3 {
			marks := c.marks(r, 0.2, tc.nx, tc.ny)
			reg, err := Fit(marks, FitOptions{Expect: monksCount, Extent: rugSize})
			if err != nil {
				t.Errorf("%+v: %v", c, err)
				break
			}
			ch, mm := c.stray(reg)
			worst, worstMM = max(worst, ch), max(worstMM, mm)
			models[reg.Report().Model]++
		}
		nominal, nominalMM := c.stray(c.nominal())
		t.Logf("%-40s nominal %5.2f channels (%4.1f mm), registered %4.2f (%4.2f mm) %v",
			fmt.Sprintf("%+v", c), nominal, nominalMM, worst, worstMM, models)
		if worst > 0.25 {
			t.Errorf("%+v: the drawn line strays %.2f channels", c, worst)
		}
	}
}

// randomCloth leans by up to 4 %, bows by up to 3 % and counts up to 3 % off.
func randomCloth(r *rand.Rand) cloth {
	return cloth{
		1 + 0.03*(2*r.Float64()-1), 1 + 0.03*(2*r.Float64()-1),
		0.04 * (2*r.Float64() - 1), 0.03 * (2*r.Float64() - 1), 0.005 * (2*r.Float64() - 1), false,
	}
}

// A mark miscounted by a channel is named, or it is warned of; no other is ever
// named in its place. Of 3 x 3 marks it can seldom be told which is wrong: a bow
// that grows up the rug looks like it.
func TestBadMarkIsNamed(t *testing.T) {
	r := rand.New(rand.NewPCG(17, 18))
	for _, c := range []struct{ nx, ny, cases, named int }{{3, 3, 8, 0}, {4, 4, 8, 4}, {5, 5, 8, 7}} {
		found := 0
		for n := range c.cases {
			cl := randomCloth(r)
			marks := cl.marks(r, 0.2, c.nx, c.ny)
			opt := FitOptions{Expect: monksCount, Extent: rugSize}
			bad, way, by := r.IntN(len(marks)), "across", float64(1-2*r.IntN(2))
			if r.IntN(2) == 0 {
				marks[bad].Place.Across += by
			} else {
				way = "along"
				marks[bad].Place.Along += by
			}
			reg, err := Fit(marks, opt)
			switch want := fmt.Sprintf("mark %d looks one channel off %s", bad+1, way); {
			case err == nil && len(reg.Report().Warnings) == 0:
				t.Errorf("%d x %d, case %d: %s, and nothing is said", c.nx, c.ny, n, want)
			case err == nil:
			case strings.Contains(err.Error(), want):
				found++
			default:
				t.Errorf("%d x %d, case %d: %v, want %q", c.nx, c.ny, n, err, want)
			}
		}
		t.Logf("%d x %d: %d of %d named", c.nx, c.ny, found, c.cases)
		if found < c.named {
			t.Errorf("%d x %d: %d of %d bad marks were named, want %d", c.nx, c.ny, found, c.cases, c.named)
		}
	}
}
