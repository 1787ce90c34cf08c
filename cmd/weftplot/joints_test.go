package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/weave"
	weavecloth "weftplot/paths/weave/cloth"
	"weftplot/plot/jobfolder"
)

var (
	cloths     = flag.Int("cloths", 0, "cloths that rugs larger than the machine are drawn on, load by load; 0 is none, and one with -thorough")
	findAll    = flag.Bool("find-all", false, "find all points that are listed, also where fewer are enough")
	keepPanels = flag.String("keep-panels", "", "an SVG file for what is on the last cloth")
	firstCloth = flag.Uint64("first-cloth", 0, "the seed of the first of them")
)

const (
	readingNoise = 0.2 // mm, root mean square, each way
	sampleStep   = 0.25
	// reaches is how far, in mm, ink may end before a place that it is drawn at: a line is
	// moved along itself, too, within the error of the registration.
	reaches = 0.3
)

// An inkLine is a piece of a line on the cloth, mm.
type inkLine struct {
	a, b       paths.Point
	tipA, tipB bool // the line ends or turns there
}

// ink is what one load left on the cloth, found by place.
type ink struct {
	lines []inkLine
	cells map[[2]int][]int
}

const inkCell = 4.0 // mm

func newInk(lines [][]paths.Point) ink {
	k := ink{cells: map[[2]int][]int{}}
	for _, line := range lines {
		for i := 1; i < len(line); i++ {
			n := int(line[i].Dist(line[i-1])/2) + 1
			for j := range n {
				k.add(inkLine{line[i-1].Lerp(line[i], float64(j)/float64(n)), line[i-1].Lerp(line[i], float64(j+1)/float64(n)),
					j == 0 && isTip(line, i-1), j == n-1 && isTip(line, i)})
			}
		}
	}
	return k
}

// isTip reports whether a line ends at a point of its own or turns there by 25 degrees and
// more.
func isTip(line []paths.Point, i int) bool {
	if i == 0 || i == len(line)-1 {
		return true
	}
	a, b := line[i].Sub(line[i-1]), line[i+1].Sub(line[i])
	return a.Len() == 0 || b.Len() == 0 || a.Unit().Dot(b.Unit()) < math.Cos(25*math.Pi/180)
}

func (k *ink) add(l inkLine) {
	i := len(k.lines)
	k.lines = append(k.lines, l)
	for x := int(math.Floor(min(l.a.X, l.b.X) / inkCell)); x <= int(math.Floor(max(l.a.X, l.b.X)/inkCell)); x++ {
		for y := int(math.Floor(min(l.a.Y, l.b.Y) / inkCell)); y <= int(math.Floor(max(l.a.Y, l.b.Y)/inkCell)); y++ {
			k.cells[[2]int{x, y}] = append(k.cells[[2]int{x, y}], i)
		}
	}
}

// near calls yield with every piece within a distance of a place, and the nearest point
// of it.
func (k *ink) near(p paths.Point, within float64, yield func(l inkLine, at paths.Point)) {
	seen := map[int]bool{}
	for x := int(math.Floor((p.X - within) / inkCell)); x <= int(math.Floor((p.X+within)/inkCell)); x++ {
		for y := int(math.Floor((p.Y - within) / inkCell)); y <= int(math.Floor((p.Y+within)/inkCell)); y++ {
			for _, i := range k.cells[[2]int{x, y}] {
				if seen[i] {
					continue
				}
				seen[i] = true
				l := k.lines[i]
				d := l.b.Sub(l.a)
				t := 0.0
				if d.Len() > 0 {
					t = max(0, min(1, p.Sub(l.a).Dot(d)/d.Dot(d)))
				}
				if at := l.a.Lerp(l.b, t); at.Dist(p) <= within {
					yield(l, at)
				}
			}
		}
	}
}

// beside returns how far aside ink runs of a line through p in a direction, and whether
// it does: ink that is within half a channel, that runs within 25 degrees of it, and that
// reaches the place.
func (k *ink) beside(p, dir paths.Point, within, reaches float64) (paths.Point, bool) {
	best, found := paths.Point{}, false
	k.near(p, within, func(l inkLine, at paths.Point) {
		d := l.b.Sub(l.a)
		if d.Len() == 0 || math.Abs(d.Unit().Cross(dir)) > math.Sin(25*math.Pi/180) {
			return
		}
		aside := dir.Left().Mul(dir.Cross(at.Sub(p)))
		if along := math.Abs(at.Sub(p).Dot(dir)); along > reaches+.5*aside.Len() {
			return // it ends before it comes here
		}
		if !found || aside.Len() < best.Len() {
			best, found = aside, true
		}
	})
	return best, found
}

// crossing returns where lines that were drawn through a crossing of channels truly
// meet: the upright one tells the place across, the level one that along, and a corner
// of other lines both.
func (k *ink) crossing(p paths.Point, pitch paths.Point) (paths.Point, bool) {
	level, upright, end := math.Inf(1), math.Inf(1), paths.Point{X: math.Inf(1)}
	k.near(p, 1.2*pitch.X, func(l inkLine, at paths.Point) { // a person sees it farther off
		d := l.b.Sub(l.a).Unit()
		switch {
		case math.Abs(d.Y) < .15:
			if math.Abs(at.Y-p.Y) < math.Abs(level-p.Y) {
				level = at.Y
			}
		case math.Abs(d.X) < .15:
			if math.Abs(at.X-p.X) < math.Abs(upright-p.X) {
				upright = at.X
			}
		}
		if l.tipA && l.a.Dist(p) < end.Dist(p) {
			end = l.a
		}
		if l.tipB && l.b.Dist(p) < end.Dist(p) {
			end = l.b
		}
	})
	q := paths.Point{X: upright, Y: level}
	if math.IsInf(q.X, 0) {
		q.X = end.X
	}
	if math.IsInf(q.Y, 0) {
		q.Y = end.Y
	}
	return q, !math.IsInf(q.X, 0) && !math.IsInf(q.Y, 0)
}

// A sample is a place on the drawing and the direction of the line there.
type sample struct {
	at, dir paths.Point
	channel bool // the line lies in a channel
	crowded bool // another line runs so near that ink may be of either
	end     bool // the line ends or turns within half a channel
}

// crowd finds the samples beside which another line of the drawing runs, or the same one
// comes by again, within a distance and 30 degrees.
func crowd(samples [][]sample, within float64) {
	type place struct {
		line int
		far  float64 // along the line, mm
	}
	var all ink
	all.cells = map[[2]int][]int{}
	var of []place
	for i, line := range samples {
		for j, s := range line {
			half := s.dir.Mul(sampleStep / 2)
			all.add(inkLine{a: s.at.Sub(half), b: s.at.Add(half)})
			of = append(of, place{i, float64(j) * sampleStep})
		}
	}
	index := map[inkLine]place{}
	for i, l := range all.lines {
		index[l] = of[i]
	}
	for i, line := range samples {
		for j := range line {
			s := &line[j]
			all.near(s.at, within, func(l inkLine, _ paths.Point) {
				o := index[l]
				if o.line == i && math.Abs(o.far-float64(j)*sampleStep) < 8*within {
					return
				}
				if math.Abs(l.b.Sub(l.a).Unit().Cross(s.dir)) < .5 {
					s.crowded = true
				}
			})
		}
	}
}

// ends finds the samples within a distance of where their line ends or turns by more than
// 25 degrees.
func ends(samples [][]sample, within float64) {
	reach := int(within/sampleStep) + 1
	for _, line := range samples {
		for j := 0; j <= len(line); j++ {
			// The tip of a cusp is an end too: a line comes back on itself there.
			if j > 0 && j < len(line) && line[j-1].dir.Dot(line[j].dir) > math.Cos(25*math.Pi/180) {
				continue
			}
			for k := max(0, j-reach); k < min(len(line), j+reach); k++ {
				line[k].end = true
			}
		}
	}
}

// samplesOf returns places along lines, one list a line.
func samplesOf(lines [][]paths.Point) [][]sample {
	out := make([][]sample, len(lines))
	for i, line := range lines {
		for j := 1; j < len(line); j++ {
			d := line[j].Sub(line[j-1])
			if d.Len() == 0 {
				continue
			}
			n := int(d.Len()/sampleStep) + 1
			u := d.Unit()
			for s := range n {
				out[i] = append(out[i], sample{at: line[j-1].Add(d.Mul((float64(s) + .5) / float64(n))), dir: u,
					channel: d.Len() > 3 && (math.Abs(u.X) < 1e-4 || math.Abs(u.Y) < 1e-4)})
			}
		}
	}
	return out
}

// loadsReport is what is read of a report.
type loadsReport struct {
	Loads            []loadOfReport
	FinishedMM       [2]float64 `json:"finished_mm"`
	FinishedChannels [2]float64 `json:"finished_channels"`
}

type loadOfReport struct {
	N          int
	Files      []string
	NeedsMarks bool       `json:"needs_marks"`
	At         [2]float64 `json:"at_mm"`
	Points     []struct {
		Name          string
		Across, Along float64
	}
	Expected float64 `json:"expected_error_channels"`
}

// findPointsOf finds the points of a load in their order, till the program says that it is
// enough.
func findPointsOf(t *testing.T, dir string, load loadOfReport, read func(across, along float64, what string) paths.Point) []weavecloth.Mark {
	t.Helper()
	l, err := jobfolder.Place(dir).ReadLoad("job", load.N)
	if err != nil {
		t.Fatal(err)
	}
	const first = 8 // fewer are never enough
	var marks []weavecloth.Mark
	for _, p := range load.Points {
		marks = append(marks, weavecloth.Mark{Place: weave.Place{Across: p.Across, Along: p.Along}, At: read(p.Across, p.Along, p.Name)})
		if !*findAll && len(marks) >= first && len(marks)%2 == 0 && l.Progress(weavecloth.NewSurveyOf(l.Grid, l.Fit, marks)).Enough() {
			break
		}
	}
	return marks
}

func readLoads(t *testing.T, dir string) loadsReport {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, "report.json"))
	if err != nil {
		t.Fatal(err)
	}
	var r loadsReport
	if err := json.Unmarshal(data, &r); err != nil {
		t.Fatal(err)
	}
	return r
}

// A jointTally is what came of a rug.
type jointTally struct {
	joints         []float64 // channels, the greatest of each
	straights      []float64 // channels that lines on the weave lie off their channel
	missing, twice float64   // mm
	gaps           []paths.Point
	laps           []string
	points         []int // found for each load
	told           []float64
	refused        string
}

// drawLoads draws a rug load by load on a cloth that lies otherwise each time, each load
// found by its points, and judges what is on the cloth in the end.
func drawLoads(t *testing.T, design string, settings []string, seed uint64) (tally jointTally) {
	t.Helper()
	dir := t.TempDir()
	file, err := filepath.Abs(filepath.Join("../../testdata/designs", design))
	if err != nil {
		t.Fatal(err)
	}
	prepare := func(args ...string) (int, string) {
		status, _, errs := command(t.Context(), dir, append([]string{"prepare"}, args...)...)
		return status, errs
	}
	// The whole drawing, on a machine that has room for all.
	whole := append([]string{file, "--machine", wideMachine(t, dir), "--at", "100mm,100mm", "--effort", "quick", "--out", "whole"}, settings...)
	if status, errs := prepare(whole...); status != 0 {
		t.Fatal(status, errs)
	}
	reference := drawnFrom(t, dir, "whole/plot.gcode", func(p paths.Point) paths.Point { return p.Sub(paths.Point{X: 100, Y: 100}) })
	if status, errs := prepare(append([]string{file, "--panels", "--effort", "quick", "--out", "job"}, settings...)...); status != 0 {
		t.Fatal(status, errs)
	}
	r := rand.New(rand.NewPCG(seed, 18))
	report := readLoads(t, filepath.Join(dir, "job"))
	pitch := paths.Point{X: report.FinishedMM[0] / report.FinishedChannels[0], Y: report.FinishedMM[1] / report.FinishedChannels[1]}
	var done []ink
	for i := range report.Loads {
		load := report.Loads[i]
		cloth := laidCloth{at: paths.Point{X: load.At[0], Y: load.At[1]}, half: paths.Point{X: 1, Y: 1}}
		if load.NeedsMarks {
			cloth = layCloth(r, cloth.at, paths.Point{X: 600, Y: 900})
			name := fmt.Sprintf("marks-%d.toml", load.N)
			found := findPointsOf(t, dir, load, func(across, along float64, what string) paths.Point {
				place := paths.Point{X: across * pitch.X, Y: along * pitch.Y}
				if !strings.Contains(what, "thread") {
					place = findInk(t, done, place, pitch, what)
				}
				return cloth.on(place).Add(paths.Point{X: r.NormFloat64(), Y: r.NormFloat64()}.Mul(readingNoise))
			})
			if err := os.WriteFile(filepath.Join(dir, name), weavecloth.FormatMarks(found), 0o644); err != nil {
				t.Fatal(err)
			}
			if status, errs := prepare("job/job.toml", "--marks-for", fmt.Sprintf("%d=%s", load.N, name), "--out", "job"); status != 0 {
				tally.refused = fmt.Sprintf("load %d: %d %s", load.N, status, errs)
				return tally
			}
			tally.points = append(tally.points, len(found))
			report = readLoads(t, filepath.Join(dir, "job"))
			load = report.Loads[i]
			tally.told = append(tally.told, load.Expected)
		}
		var lines [][]paths.Point
		for _, f := range load.Files {
			if strings.HasSuffix(f, ".gcode") {
				lines = append(lines, drawnFrom(t, dir, filepath.Join("job", f), cloth.under)...)
			}
		}
		if len(lines) == 0 {
			t.Fatalf("load %d draws nothing: %v", load.N, load.Files)
		}
		done = append(done, newInk(lines))
	}
	tally.judge(t, samplesOf(reference), done, pitch)
	if *keepPanels != "" {
		keepPicture(t, reference, done)
	}
	return tally
}

// wideMachine writes a machine that has room for any rug, and returns its file.
func wideMachine(t *testing.T, dir string) string {
	t.Helper()
	status, out, errs := command(t.Context(), dir, "profiles", "show", "practice")
	if status != 0 {
		t.Fatal(errs)
	}
	out = strings.Replace(out, `["600mm", "900mm"]`, `["4000mm", "4000mm"]`, 1)
	out = strings.Replace(out, `name = "practice"`, `name = "wide"`, 1)
	if err := os.WriteFile(filepath.Join(dir, "wide.toml"), []byte(out), 0o644); err != nil {
		t.Fatal(err)
	}
	return "wide.toml"
}

// drawnFrom returns what a program draws, each point mapped.
func drawnFrom(t *testing.T, dir, program string, to func(paths.Point) paths.Point) [][]paths.Point {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, program))
	if err != nil {
		t.Fatal(err)
	}
	lines, err := drawnByGcode(string(data))
	if err != nil {
		t.Fatal(program, err)
	}
	for i, line := range lines {
		var fine []paths.Point
		for j, p := range line {
			if j > 0 {
				// A straight way of the pen may be bent on the cloth.
				n := int(p.Dist(line[j-1])/4) + 1
				for k := 1; k < n; k++ {
					fine = append(fine, to(line[j-1].Lerp(p, float64(k)/float64(n))))
				}
			}
			fine = append(fine, to(p))
		}
		lines[i] = fine
	}
	return lines
}

// findInk returns where the ink of a crossing truly is on the cloth.
func findInk(t *testing.T, done []ink, place, pitch paths.Point, name string) paths.Point {
	t.Helper()
	for i := range done {
		if at, ok := done[i].crossing(place, pitch); ok {
			return at
		}
	}
	t.Fatalf("the point %q at %.1f, %.1f mm has no ink on it", name, place.X, place.Y)
	return paths.Point{}
}

// judge compares what is on the cloth with the drawing.
func (y *jointTally) judge(t *testing.T, reference [][]sample, done []ink, pitch paths.Point) {
	t.Helper()
	within := .5 * min(pitch.X, pitch.Y)
	ends(reference, within)
	crowd(reference, 2*within)
	off := func(p paths.Point) float64 { return math.Hypot(p.X/pitch.X, p.Y/pitch.Y) }
	for _, line := range reference {
		var before []paths.Point // the displacement in each load at the sample before, NaN for none
		lap, worst := 0.0, 0.0
		var at paths.Point
		finish := func() {
			if lap > 0 {
				y.joints = append(y.joints, worst)
				const most = 2 + 2*reaches + 1.7 // the lap, and what lines are moved along themselves
				if y.twice += max(0, lap-most); lap > most {
					y.laps = append(y.laps, fmt.Sprintf("%.1f mm before %.0f", lap, at))
				}
			}
			lap, worst = 0, 0
		}
		for _, s := range line {
			at = s.at
			now, here := make([]paths.Point, len(done)), 0
			for k := range done {
				end := reaches
				if s.end {
					end = within // as far as it may lie aside
				}
				aside, ok := done[k].beside(s.at, s.dir, within, end)
				if !ok {
					now[k] = paths.Point{X: math.NaN()}
					continue
				}
				here++
				now[k] = aside
				if s.channel && !s.crowded {
					y.straights = append(y.straights, off(now[k]))
				}
			}
			switch {
			case here == 0:
				y.missing += sampleStep
				y.gaps = append(y.gaps, s.at)
				finish()
			case s.crowded: // drawn, and by what cannot be told
				lap, worst, now = 0, 0, nil
			case here == 1:
				if before != nil && lap == 0 {
					if gap, changed := change(before, now); changed {
						y.joints = append(y.joints, off(gap))
					}
				}
				finish()
			default:
				lap += sampleStep
				for a := range now {
					for b := range a {
						if d := off(now[a].Sub(now[b])); d > worst {
							worst = d
						}
					}
				}
			}
			before = now
		}
		finish()
	}
}

// change returns how much the ink steps aside where one load ends and another begins.
func change(before, now []paths.Point) (paths.Point, bool) {
	only := func(of []paths.Point) int {
		n, at := 0, -1
		for k, p := range of {
			if !math.IsNaN(p.X) {
				n, at = n+1, k
			}
		}
		if n != 1 {
			return -1
		}
		return at
	}
	a, b := only(before), only(now)
	if a < 0 || b < 0 || a == b {
		return paths.Point{}, false
	}
	return now[b].Sub(before[a]), true
}

// Over cloths that lie otherwise for every load, every line of a rug larger than the
// machine is drawn, once but for its laps; 95 of 100 joints are within 0.15 channel and
// all within 0.3; straights stay in their channels.
func TestRugsLargerThanTheMachine(t *testing.T) {
	if *cloths == 0 {
		if !*thorough {
			t.Skip("-thorough draws one, -cloths 1 too")
		}
		*cloths = 1
	}
	rugs := []struct {
		design   string
		settings []string
	}{
		{"stair-runner.svg", []string{"--width", "600mm"}},
		{"net-loft-carpet.svg", []string{"--width", "900mm"}},
		{"gull-runner.dxf", []string{"--width", "1100mm"}},
		{"rosette.svg", []string{"--width", "1000mm"}},
	}
	var all jointTally
	refused := 0
	for n := range *cloths {
		seed := *firstCloth + uint64(n)
		rug := rugs[seed%uint64(len(rugs))]
		y := drawLoads(t, rug.design, rug.settings, seed)
		if y.refused != "" {
			refused++
			t.Logf("cloth %d, %s: refused: %s", seed, rug.design, y.refused)
			continue
		}
		t.Logf("cloth %d, %s: %d joints, 95 of 100 within %.3f, all %.3f; straights 95 of 100 within %.3f, all %.3f; missing %.1f mm, twice %.1f mm; points %v, told %.3f",
			seed, rug.design, len(y.joints), share(y.joints, .95), share(y.joints, 1), share(y.straights, .95), share(y.straights, 1), y.missing, y.twice, y.points, y.told)
		if y.missing > 0 || y.twice > 0 {
			t.Errorf("cloth %d, %s: missing %.2f mm at %.0f, twice beyond the lap %.2f mm: %v", seed, rug.design, y.missing, y.gaps[:min(len(y.gaps), 20)], y.twice, y.laps)
		}
		all.joints = append(all.joints, y.joints...)
		all.straights = append(all.straights, share(y.straights, 1))
		all.points = append(all.points, y.points...)
	}
	if len(all.joints) == 0 {
		t.Fatal("no joint was drawn")
	}
	t.Logf("%d cloths, %d refused: %d joints, 95 of 100 within %.3f channel, all within %.3f; straights within %.3f", *cloths, refused, len(all.joints), share(all.joints, .95), share(all.joints, 1), share(all.straights, 1))
	const enough = 300 // joints to judge 95 of 100 by
	if len(all.joints) >= enough && share(all.joints, .95) > .15 || share(all.joints, 1) > .3 {
		t.Errorf("of %d joints 95 of 100 are within %.3f channel, all within %.3f; wanted 0.15 and 0.3", len(all.joints), share(all.joints, .95), share(all.joints, 1))
	}
	if refused*20 > *cloths {
		t.Errorf("%d of %d cloths were refused", refused, *cloths)
	}
}

// share returns what a share of values is at most.
func share(values []float64, of float64) float64 {
	if len(values) == 0 {
		return 0
	}
	sorted := slices.Sorted(slices.Values(values))
	return sorted[min(len(sorted)-1, int(math.Ceil(of*float64(len(sorted))))-1)]
}

// The judge sees what it is there to see: a line left out, drawn twice, and beside itself.
func TestTheJudgeOfJoints(t *testing.T) {
	pitch := paths.Point{X: 2, Y: 2}
	line := func(x0, x1, y float64) [][]paths.Point { return [][]paths.Point{{{X: x0, Y: y}, {X: x1, Y: y}}} }
	ring := func(from, to float64) [][]paths.Point {
		var out []paths.Point
		for a := from; a <= to; a += .01 {
			out = append(out, paths.Point{X: 40 * math.Cos(a), Y: 40 * math.Sin(a)})
		}
		return [][]paths.Point{out}
	}
	tests := []struct {
		name           string
		reference      [][]paths.Point
		loads          [][][]paths.Point
		joints         int
		worst          float64
		missing, twice float64
	}{
		{"one load", line(0, 100, 20), [][][]paths.Point{line(0, 100, 20)}, 0, 0, 0, 0},
		{"a lap of two", line(0, 100, 20), [][][]paths.Point{line(0, 51, 20), line(49, 100, 20)}, 1, 0, 0, 0},
		{"beside itself", line(0, 100, 20), [][][]paths.Point{line(0, 51, 20), line(49, 100, 20.4)}, 1, .2, 0, 0},
		{"end to end, beside itself", line(0, 100, 20), [][][]paths.Point{line(0, 50, 20), line(50, 100, 20.4)}, 1, .2, 0, 0},
		{"a cusp drawn short", [][]paths.Point{{{X: 0, Y: 0}, {X: 0, Y: 40}, {X: .1, Y: 0}}}, [][][]paths.Point{{{{X: 0, Y: 0}, {X: 0, Y: 39.1}, {X: .1, Y: 0}}}}, 0, 0, 0, 0},
		{"a gap", line(0, 100, 20), [][][]paths.Point{line(0, 49, 20), line(51, 100, 20)}, 0, 0, 1.75, 0},
		{"twice", line(0, 100, 20), [][][]paths.Point{line(0, 60, 20), line(40, 100, 20)}, 1, 0, 0, 16.4},
		{"a ring in halves", ring(0, 6.28), [][][]paths.Point{ring(0, 3.15), ring(3.13, 6.28)}, 1, 0, 0, 0},
	}
	for _, test := range tests {
		var y jointTally
		var done []ink
		for _, l := range test.loads {
			done = append(done, newInk(l))
		}
		y.judge(t, samplesOf(test.reference), done, pitch)
		if len(y.joints) != test.joints || math.Abs(share(y.joints, 1)-test.worst) > .01 || math.Abs(y.missing-test.missing) > .7 || math.Abs(y.twice-test.twice) > .5 {
			t.Errorf("%s: %d joints, worst %.3f, missing %.2f, twice %.2f", test.name, len(y.joints), share(y.joints, 1), y.missing, y.twice)
		}
	}
	cloth := layCloth(rand.New(rand.NewPCG(1, 1)), paths.Point{X: 10, Y: -700}, paths.Point{X: 600, Y: 900})
	for _, p := range []paths.Point{{X: 0, Y: 700}, {X: 300, Y: 1200}, {X: 580, Y: 1590}} {
		if d := cloth.under(cloth.on(p)).Dist(p); d > .001 {
			t.Errorf("%v comes back %.4f mm off", p, d)
		}
	}
	got, err := drawnByGcode("G21 G90\nG0 Z5\nX10Y0\nG1Z0F600\nG3X10Y0I-10J0\nG0Z5\nX0Y0\nG1Z0\nX5\nG2X10Y5R5\nG0 Z5")
	if err != nil || len(got) != 2 {
		t.Fatal(len(got), err)
	}
	for _, p := range got[0] {
		if math.Abs(p.Len()-10) > 1e-9 {
			t.Errorf("%v is not on the circle", p)
		}
	}
	if p := got[1][len(got[1])/2]; math.Abs(p.Dist(paths.Point{X: 10, Y: 0})-5) > 1e-6 && math.Abs(p.Dist(paths.Point{X: 5, Y: 5})-5) > 1e-6 {
		t.Errorf("%v is not on the arc", p)
	}
}

// keepPicture writes what each load left on the cloth, beside the drawing.
func keepPicture(t *testing.T, reference [][]paths.Point, done []ink) {
	t.Helper()
	var b strings.Builder
	box := paths.EmptyRect()
	path := func(line []paths.Point) {
		for i, p := range line {
			box = box.Include(p)
			fmt.Fprintf(&b, "%c%.2f %.2f", "ML"[min(i, 1)], p.X, -p.Y)
		}
	}
	b.WriteString(`<g fill="none" stroke-width=".4"><path stroke="#bbb" stroke-width="1.5" d="`)
	for _, line := range reference {
		path(line)
	}
	for i, k := range done {
		fmt.Fprintf(&b, `"/><path stroke="%s" d="`, [...]string{"#c33", "#36c", "#383", "#a3a", "#c80", "#088"}[i%6])
		for _, l := range k.lines {
			path([]paths.Point{l.a, l.b})
		}
	}
	svg := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="%.0f %.0f %.0f %.0f">%s"/></g></svg>`, box.Min.X-10, -box.Max.Y-10, box.Width()+20, box.Height()+20, b.String())
	if err := os.WriteFile(*keepPanels, []byte(svg), 0o644); err != nil {
		t.Fatal(err)
	}
}
