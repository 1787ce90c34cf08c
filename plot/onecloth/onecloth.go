// Package onecloth plays a rug that is drawn in several loads on one simulated cloth, and
// judges it from outside: the cloth is laid anew for each load, its points are read with a
// person's noise, and what the programs draw is taken back to the threads.
package onecloth

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
	"weftplot/paths/weave/lying"
	"weftplot/plot"
)

// Noise is how far a point is read off where a person steers with care, in mm each way,
// root mean square (common practice).
const Noise = 0.2

// Usual is how differently cloth comes to lie between loads (common practice).
var Usual = lying.Slack{Shift: 30, Turn: 3, Lean: 0.02, Bow: 0.02, Count: 0.01}

// A Cloth is one piece of cloth through all loads.
type Cloth struct {
	rand  *rand.Rand
	slack lying.Slack
	lies  []lying.Cloth // by load
	maps  []cloth.Registration
	ink   [][]paths.Stroke // by load, in mm on the relaxed cloth
}

// New returns a cloth that lies anyhow within the slack, as the seed has it.
func New(seed uint64, s lying.Slack) *Cloth {
	return &Cloth{rand: rand.New(rand.NewPCG(seed, 18)), slack: s}
}

// Lay lays the cloth for the next load of the job, within the slack; square says that it is
// laid exactly as it should be.
func (c *Cloth) Lay(j plot.Job, square bool) {
	l, s := j.Loads[len(c.lies)], c.slack
	if square {
		s = lying.Slack{}
	}
	c.lies = append(c.lies, lying.Random(c.rand, j.Grid, l.Window, l.At.Add(l.Window.Centre()), s))
}

// Find reads the points of the load that the cloth lies for, in their order: all of them, or
// as a person does, who stops as soon as the error to expect is small enough. A crossing of
// ink lies where an earlier load drew it.
func (c *Cloth) Find(j plot.Job, all bool) []cloth.Mark {
	n := len(c.lies) - 1
	load, opt := j.Loads[n].ToFind()
	var out []cloth.Mark
	for _, f := range j.Loads[n].Points {
		at := f.Place
		if !f.Thread {
			at = c.inked(j, f.Place)
		}
		out = append(out, cloth.Mark{Place: f.Place, At: lying.Read(c.rand, c.lies[n].Point(at), Noise)})
		if !all && load.Progress(cloth.NewSurveyOf(j.Grid, opt, out)).Enough() {
			break
		}
	}
	return out
}

// inked returns where on the threads the ink of a place of the drawing is.
func (c *Cloth) inked(j plot.Job, p weave.Place) weave.Place {
	best, least := 0, math.Inf(1)
	for m := range c.ink {
		for _, s := range j.Loads[m].Drawn {
			if d := off(s.Stroke, j.Grid.At(p)); d < least-1e-6 {
				best, least = m, d
			}
		}
	}
	return c.through(best, p)
}

// off returns about how far a point is from a stroke, in mm.
func off(s paths.Stroke, at paths.Point) float64 {
	if s.Bounds().Grow(1).Contains(at) {
		_, d := near(s.Flatten(0.01), at)
		return d
	}
	return 10
}

// near returns the point of a chain of lines that is nearest to at, and how far it is.
func near(pts []paths.Point, at paths.Point) (best paths.Point, d float64) {
	best, d = pts[0], pts[0].Dist(at)
	for i := 1; i < len(pts); i++ {
		a, b := pts[i-1], pts[i]
		ab := b.Sub(a)
		t := 0.
		if l := ab.Dot(ab); l > 0 {
			t = min(1, max(0, at.Sub(a).Dot(ab)/l))
		}
		if q := a.Lerp(b, t); q.Dist(at) < d {
			best, d = q, q.Dist(at)
		}
	}
	return best, d
}

// through returns where on the threads a load draws a place of the drawing.
func (c *Cloth) through(load int, p weave.Place) weave.Place {
	return c.lies[load].Place(c.maps[load].Point(p))
}

// Draw puts on the cloth what a machine drew of the load that the cloth lies for, in mm on
// the machine.
func (c *Cloth) Draw(j plot.Job, strokes []paths.Stroke) {
	n := len(c.lies) - 1
	c.maps = append(c.maps, j.Loads[n].Registration)
	var ink []paths.Stroke
	for _, s := range strokes {
		var pts []paths.Point
		for _, at := range s.Flatten(0.02) {
			pts = append(pts, j.Grid.At(c.lies[n].Place(at)))
		}
		if len(pts) == 1 {
			pts = append(pts, pts[0])
		}
		ink = append(ink, paths.Polyline(pts...))
	}
	c.ink = append(c.ink, ink)
}

// A Verdict says what is on the cloth.
type Verdict struct {
	Strokes int `json:"strokes"` // of the drawing
	// Missing is how much of the drawing no load drew, and Twice how much was drawn by two
	// beyond the laps, in mm.
	Missing float64 `json:"missing_mm"`
	Twice   float64 `json:"twice_mm"`
	// Gaps are how far aside of each other the two parts of a stroke are at each joint, in
	// channels, rising.
	Gaps []float64 `json:"joints_channels"`
	// Lost are joints at which a part was not found.
	Lost int `json:"joints_lost"`
}

// Within returns the share of joints that are closer than so many channels.
func (v Verdict) Within(channels float64) float64 {
	n, _ := slices.BinarySearch(v.Gaps, channels)
	return float64(n) / math.Max(1, float64(len(v.Gaps)))
}

// Sound reports whether the loads make one rug: nothing is missing or drawn twice, and no
// joint shows.
func (v Verdict) Sound() bool {
	return v.Missing < 0.5 && v.Twice < 0.5 && v.Lost == 0 && v.Within(plot.MostJointError) == 1
}

// String is the verdict in a sentence.
func (v Verdict) String() string {
	worst := 0.
	if n := len(v.Gaps); n > 0 {
		worst = v.Gaps[n-1]
	}
	return fmt.Sprintf("%d strokes, %.1f mm of them missing, %.1f mm drawn twice beyond the laps; %d joints, %.0f %% of them within 0.15 channels, the farthest apart by %.2f",
		v.Strokes, v.Missing, v.Twice, len(v.Gaps), 100*v.Within(0.15), worst)
}

// Judge judges the whole cloth once all loads are drawn.
func (c *Cloth) Judge(j plot.Job) Verdict {
	v := Verdict{Strokes: len(j.Drawn)}
	asked, drawn := 0., 0.
	for _, s := range j.Drawn {
		asked += s.Length()
	}
	for m, l := range j.Loads {
		for _, s := range l.Drawn {
			drawn += s.Length()
			v.Missing += c.unfound(m, s.Stroke, j)
		}
	}
	v.Missing += max(0, asked-drawn)
	v.Twice = max(0, drawn-asked-float64(len(j.Panels.Joints))*j.Settings.LapMM()*1.001)
	for _, at := range j.Panels.Joints {
		p := j.Grid.PlaceOf(at.At)
		a, okA := c.nearest(at.Loads[0]-1, p, j)
		b, okB := c.nearest(at.Loads[1]-1, p, j)
		if !okA || !okB {
			v.Lost++
			continue
		}
		v.Gaps = append(v.Gaps, aside(a, b, j.Grid.PlaceOf(at.Along)))
	}
	slices.Sort(v.Gaps)
	return v
}

// aside returns how far two places are apart across a direction, in channels: what is off
// along a line is in the lap.
func aside(a, b, along weave.Place) float64 {
	d := paths.Point{X: a.Across - b.Across, Y: a.Along - b.Along}
	return math.Abs(paths.Point{X: along.Across, Y: along.Along}.Unit().Cross(d))
}

// found is how near ink must be to where a load was to draw, in mm.
const found = 0.1

// nearest returns where on the threads the ink of a load is that was to be drawn at p.
func (c *Cloth) nearest(load int, p weave.Place, j plot.Job) (weave.Place, bool) {
	want := j.Grid.At(c.through(load, p))
	for _, s := range c.ink[load] {
		if s.Bounds().Grow(found).Contains(want) {
			if at, d := near(s.Flatten(0.01), want); d < found {
				return j.Grid.PlaceOf(at), true
			}
		}
	}
	return weave.Place{}, false
}

// unfound returns how much of a stroke that a load was to draw is not on the cloth, in mm.
func (c *Cloth) unfound(load int, s paths.Stroke, j plot.Job) float64 {
	pts := s.Flatten(0.1)
	missing := 0.
	step := s.Length() / float64(max(1, len(pts)-1))
	for i, at := range pts {
		if i > 0 && pts[i-1].Dist(at) < 1 && i < len(pts)-1 && i%5 != 0 {
			continue
		}
		if _, ok := c.nearest(load, j.Grid.PlaceOf(at), j); !ok {
			missing += max(step, 0.1)
		}
	}
	return missing
}
