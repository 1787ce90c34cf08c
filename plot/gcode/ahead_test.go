package gcode

import (
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"reflect"
	"runtime"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/plot/program"
	"weftplot/plot/program/programtest"
	"weftplot/profiles"
)

// many is a program of strokes in all manners: upright ones in a channel, whose coordinate
// stays as it was first rounded, slanting ones, arcs, cubics, dots, strokes that meet, feeds
// that a feed in force is near enough to, curves that spare some of their tolerance, waits,
// pauses, remarks and pens.
func many(seed uint64, n int) program.Program {
	rnd := rand.New(rand.NewPCG(seed, 3))
	p := program.Program{Tolerance: []float64{0, 0.01, 0.05}[seed%3]}
	at, feed := paths.Point{}, 30.0
	add := func(b program.Block) { p.Blocks = append(p.Blocks, b) }
	anywhere := func() paths.Point { return paths.Point{X: 20 + 100*rnd.Float64(), Y: 20 + 100*rnd.Float64()} }
	for range n {
		switch rnd.IntN(40) {
		case 0:
			add(program.Block{Kind: program.Dwell, Seconds: rnd.Float64()})
		case 1:
			add(program.Block{Kind: program.Pen, Number: 1 + rnd.IntN(3)})
		case 2:
			add(program.Block{Kind: program.Pause, Text: "look"})
		case 3:
			add(program.Block{Kind: program.Remark, Text: "layer (2); a"})
		}
		if to := anywhere(); rnd.IntN(5) > 0 {
			if rnd.IntN(2) == 0 {
				to.X = 20 + 5.3333*float64(rnd.IntN(3))
			}
			add(program.Block{Kind: program.Travel, Curve: paths.Line{A: at, B: to}, Feed: float64(rnd.IntN(2) * 20)})
			at = to
		}
		add(program.Block{Kind: program.PenDown})
		for range rnd.IntN(12) {
			if rnd.IntN(4) == 0 {
				feed = 20 + 20*rnd.Float64()
			}
			var c paths.Curve
			switch to := anywhere(); rnd.IntN(6) {
			case 0, 1:
				c = paths.Line{A: at, B: paths.Point{X: at.X, Y: to.Y}}
			case 2:
				centre := at.Add(paths.Point{X: 1 + 4*rnd.Float64(), Y: rnd.Float64()})
				sweep := 6*rnd.Float64() - 3
				c = paths.Arc{From: at, Centre: centre, Sweep: sweep, To: paths.Rotate(sweep).Apply(at.Sub(centre)).Add(centre)}
			case 3:
				c = paths.Cubic{A: at, B: at.Add(paths.Point{X: 1, Y: 2}), C: at.Add(paths.Point{X: 3 * rnd.Float64()}), D: at.Add(paths.Point{X: 2, Y: rnd.Float64()})}
			case 4:
				c = paths.Line{A: at, B: at.Add(paths.Point{X: 0.001 * rnd.Float64()})}
			default:
				c = paths.Line{A: at, B: to}
			}
			add(program.Block{Kind: program.Draw, Curve: c, Feed: feed, Spare: max(0, 0.04*rnd.Float64()-0.02)})
			at = c.End()
		}
		if rnd.IntN(8) > 0 {
			add(program.Block{Kind: program.PenUp})
		}
	}
	return p
}

// procs runs a function with another number of cores.
func procs(n int, f func()) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(n))
	f()
}

// The bytes, and the error, are those of writing one block after the other, wherever a
// stretch that is written ahead begins.
func TestStretchesAreWrittenInTurn(t *testing.T) {
	ctx := context.Background()
	kept, all := 0, 0
	for seed := range uint64(4) {
		for _, m := range machines(t) {
			p := many(seed, 20)
			if seed == 3 { // which cannot be written from a place on
				p.Blocks[len(p.Blocks)/2].Kind = 99
			}
			want, wrong := write(ctx, p, m, len(p.Blocks), nil)
			for _, stretch := range []int{9, 40} {
				n := []int{2, 5}[seed%2]
				procs(n, func() {
					told, of := 0, 0
					got, err := write(ctx, p, m, stretch, func(done, total int) {
						if of = total; done <= told {
							t.Errorf("%d blocks are told after %d", done, told)
						}
						told = done
					})
					if err == nil && (told == 0 || told != of) {
						t.Errorf("%d of %d blocks are told at last", told, of)
					}
					if fmt.Sprint(err) != fmt.Sprint(wrong) || !bytes.Equal(got, want) {
						t.Fatalf("program %d for %s in stretches of %d on %d cores: %v, %d bytes; in turn %v, %d bytes",
							seed, m.Name, stretch, n, err, len(got), wrong, len(want))
					}
				})
			}
			k, n := foreseen(p, m, 40)
			kept, all = kept+k, all+n
		}
	}
	if t.Logf("of %d stretches the state was foreseen of %d", all, kept); 2*kept < all {
		t.Errorf("of %d stretches the state was foreseen of %d only", all, kept)
	}
}

// foreseen counts the stretches of a program, and those of which the few blocks before tell
// the state in which they begin.
func foreseen(p program.Program, m profiles.Machine, stretch int) (kept, all int) {
	ctx := context.Background()
	w, ahead := newWriter(p, m), newWriter(p, m)
	for i := 0; i+stretch <= len(p.Blocks); i += stretch {
		if i > 0 {
			last := ahead.written
			if all++; ahead.lead(ctx, p.Blocks, i) && ahead.written == w.written {
				kept++
			}
			ahead.written = last
		}
		if w.run(ctx, p.Blocks, i, i+stretch) != nil {
			break
		}
		if i == 0 {
			ahead.written = w.written
		}
	}
	return kept, all
}

// readInParts reads a text by itself, in parts of about so many bytes, and returns all that
// was found.
func readInParts(text string, m *profiles.Machine, size int) (r *reader, err error) {
	p := penOf(m)
	r = newReader(m)
	r.pen, r.rule, r.most = p, p.rule(), mostSteps(len(text))
	err = r.share(context.Background(), "it", text, m, size)
	return r, err
}

// sameReading returns in what two readings differ, "" for nothing.
func sameReading(a, b *reader) string {
	a.notes.Put(&a.out)
	b.notes.Put(&b.out)
	a.vars, b.vars = nil, nil
	switch {
	case a.state != b.state:
		return fmt.Sprintf("the states are %+v and %+v", a.state, b.state)
	case a.moves != b.moves:
		return fmt.Sprintf("the surveys are %+v and %+v", a.moves, b.moves)
	case a.legal != b.legal || a.illegal != b.illegal || a.badLine != b.badLine || a.ownUp != b.ownUp || a.ownDown != b.ownDown || a.full != b.full:
		return "what was counted differs"
	case !reflect.DeepEqual(a.out, b.out):
		for i := range min(len(a.out.Blocks), len(b.out.Blocks)) {
			if a.out.Blocks[i] != b.out.Blocks[i] {
				return fmt.Sprintf("block %d is %+v and %+v", i+1, a.out.Blocks[i], b.out.Blocks[i])
			}
		}
		return fmt.Sprintf("%d and %d blocks, %v and %v, %v and %v", len(a.out.Blocks), len(b.out.Blocks), a.out.Notes, b.out.Notes, a.out.Doubts, b.out.Doubts)
	}
	return ""
}

// What is read is what reading one line after the other finds, wherever a part that is read
// ahead begins: of programs of ours, and of such with lines of others among theirs.
func TestPartsAreReadInTurn(t *testing.T) {
	odd := []string{"G91", "G90", "G20", "G21", "%", "M2", "#5=3", "G1 X#5 Y2", "(MSG, look)", "M0", "T2 M6", "G92 X3 Y4", "G55", "N12 X3 Y4 M8", "garbage", "G0 X1 Y2 Z1", "F30", "G81 X4 Y4 Z-1",
		"(weftplot:1 machine other)", "(pen 3)", "G17", "G2 X3 Y4 I1", "G0 X9e9Y1", "/G1 X1 Y1", "M3 S1000", "M5", "G4 P1", "", "; so"}
	for seed := range uint64(4) {
		for _, m := range machines(t) {
			text, err := write(context.Background(), many(seed, 40), m, 1<<20, nil)
			if err != nil {
				t.Fatal(err)
			}
			rnd := rand.New(rand.NewPCG(seed, 9))
			lines := strings.Split(string(text), "\n")
			for range []int{0, 0, 1, 12}[seed] {
				lines[rnd.IntN(len(lines))] = odd[rnd.IntN(len(odd))]
			}
			partsInTurn(t, strings.Join(lines, "\n"), &m)
			partsInTurn(t, strings.Join(lines, "\n"), nil)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		line := rapid.OneOf(rapid.SampledFrom(odd), rapid.StringMatching(`(G[01] ?)?X[0-9]{1,2}Y-?[0-9](F9)?`), rapid.StringMatching(`[XYZ]-?[0-9]`))
		partsInTurn(t, strings.Join(rapid.SliceOfN(line, 0, 200).Draw(t, "lines"), "\n"), nil)
	})
}

// partsInTurn compares reading in parts with reading in turn.
func partsInTurn(t rapid.TB, text string, m *profiles.Machine) {
	var want *reader
	var wrong error
	procs(1, func() { want, wrong = readInParts(text, m, 1) })
	for n, sizes := range map[int][]int{2: {200}, 5: {16, 1000}} {
		for _, size := range sizes {
			procs(n, func() {
				got, err := readInParts(text, m, size)
				if fmt.Sprint(err) != fmt.Sprint(wrong) {
					t.Fatalf("in parts of %d bytes on %d cores: %v; in turn: %v", size, n, err, wrong)
				}
				if not := sameReading(got, want); not != "" {
					t.Fatalf("in parts of %d bytes on %d cores: %s in %q", size, n, not, text)
				}
			})
		}
	}
}

// Of programs of ours the lines before a part tell the state in which it begins, and few
// parts are read twice.
func TestPartsAreForeseen(t *testing.T) {
	for _, m := range machines(t) {
		var strokes []paths.Stroke
		for i := range 1500 {
			a := paths.Point{X: 20 + float64(i%40), Y: 20 + float64(i/40)}
			strokes = append(strokes, paths.Polyline(a, a.Add(paths.Point{X: 0.7}), a.Add(paths.Point{X: 0.7, Y: 0.9}), a.Add(paths.Point{Y: 0.8})))
		}
		text, err := Write(context.Background(), program.Program{Blocks: programtest.Blocks(30, strokes...)}, m)
		if err != nil {
			t.Fatal(err)
		}
		r, a := newReader(&m), newReader(&m)
		r.pen, r.rule, r.most = penOf(&m), penOf(&m).rule(), 1<<20
		a.pen, a.rule, a.most = r.pen, r.rule, r.most
		kept, parts := 0, partsOf(string(text), 0, 4<<10)
		for k, p := range parts {
			a.begin(r.state, 0)
			if k > 0 && a.lead(context.Background(), string(text), p) && a.state == r.state {
				kept++
			}
			if err := r.readTo(context.Background(), "it", string(text), p.to); err != nil {
				t.Fatal(err)
			}
		}
		if len(parts) < 6 || kept < len(parts)-1 {
			t.Errorf("%s: of %d parts %d are foreseen", m.Name, len(parts), kept)
		}
	}
}
