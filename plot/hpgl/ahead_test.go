package hpgl

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

// many is a program of strokes in all manners: lines, arcs, cubics, dots, strokes that meet,
// speeds, pens with forces, pauses and remarks.
func many(seed uint64, n int) program.Program {
	rnd := rand.New(rand.NewPCG(seed, 3))
	p := program.Program{Tolerance: []float64{0, 0.03, 0.1}[seed%3]}
	at := paths.Point{}
	add := func(b program.Block) { p.Blocks = append(p.Blocks, b) }
	for range n {
		switch rnd.IntN(40) {
		case 0:
			add(program.Block{Kind: program.Pen, Number: 1 + rnd.IntN(3), Force: rnd.IntN(3)})
		case 1:
			add(program.Block{Kind: program.Pause})
		case 2:
			add(program.Block{Kind: program.Remark, Text: "layer"})
		}
		if rnd.IntN(5) > 0 {
			to := paths.Point{X: 20 + 100*rnd.Float64(), Y: 20 + 100*rnd.Float64()}
			add(program.Block{Kind: program.Travel, Curve: paths.Line{A: at, B: to}})
			at = to
		}
		add(program.Block{Kind: program.PenDown})
		for range rnd.IntN(12) {
			to := at.Add(paths.Point{X: 16*rnd.Float64() - 8, Y: 16*rnd.Float64() - 8})
			var c paths.Curve = paths.Line{A: at, B: to}
			switch rnd.IntN(6) {
			case 0:
				centre := at.Add(paths.Point{X: 1 + 4*rnd.Float64()})
				c = paths.Arc{From: at, Centre: centre, Sweep: 2, To: paths.Rotate(2).Apply(at.Sub(centre)).Add(centre)}
			case 1:
				c = paths.Cubic{A: at, B: at.Add(paths.Point{X: 4}), C: to.Add(paths.Point{Y: 4}), D: to}
			case 2:
				c = paths.Line{A: at, B: at.Add(paths.Point{X: 0.01 * rnd.Float64()})}
			}
			add(program.Block{Kind: program.Draw, Curve: c, Feed: []float64{30, 30, 30, 20}[rnd.IntN(4)]})
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
// stretch that is written ahead begins; and the stroke before a stretch tells the state in
// which it begins.
func TestStretchesAreWrittenInTurn(t *testing.T) {
	ctx := context.Background()
	kept, all := 0, 0
	for seed := range uint64(4) {
		for _, m := range machines(t) {
			p := many(seed, 30)
			if seed == 2 { // which ends in a way
				for p.Blocks[len(p.Blocks)-1].Kind != program.Draw {
					p.Blocks = p.Blocks[:len(p.Blocks)-1]
				}
			}
			if seed == 3 { // which cannot be written from a place on
				p.Blocks[len(p.Blocks)/2].Kind = program.Dwell
			}
			want, wrong := write(ctx, p, m, 1<<20, nil)
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
			k, n := foreseen(p, newWriter(p, m), newWriter(p, m))
			kept, all = kept+k, all+n
		}
	}
	if t.Logf("of %d stretches the state was foreseen of %d", all, kept); 2*kept < all || all < 40 {
		t.Errorf("of %d stretches the state was foreseen of %d only", all, kept)
	}
}

// foreseen counts the strokes of a program, and those of which the blocks before tell the
// state in which they begin.
func foreseen(p program.Program, w, ahead *writer) (kept, all int) {
	ctx := context.Background()
	for i := range p.Blocks {
		if i > 20 && p.Blocks[i].Kind == program.Travel && p.Blocks[i-1].Kind != program.Draw {
			last := ahead.written
			if all++; ahead.lead(ctx, p.Blocks, i) && ahead.written == w.written {
				kept++
			}
			ahead.written = last
		}
		if w.run(ctx, p.Blocks, i, i+1) != nil {
			break
		}
		if i == 20 {
			ahead.written = w.written
		}
	}
	return kept, all
}

// readInParts reads a text by itself, in parts of about so many bytes, and returns all that
// was found.
func readInParts(text string, m *profiles.Machine, size int) *reader {
	r := newReader(text, m)
	if err := r.share(context.Background(), m, size); err != nil {
		panic(err) // of a context that never ends
	}
	r.notes.Put(&r.out)
	return r
}

// What is read is what reading one instruction after the other finds, wherever a part that
// is read ahead begins: of programs of ours, and of such with instructions of others among
// theirs.
func TestPartsAreReadInTurn(t *testing.T) {
	odd := []string{"IN;", "DF;", "SC0,100,0,100;", "RO90;", "IW0,0,3000,3000;", "PM0;PU10,10;PD20,10,20,20;PM2;", "EP;", "FP;", "DT*;", "LBa;\nPUPA1,1;\n\x03", "LBa*", "FS3;", "SP2;", "PR;", "PA;", "VS3;",
		"?", "XX;", "CI100;", "PE7<=?x;", "PE>A<=AA;", "PD;", "PU;", "PU1,2,3;", "\x1b.(", "\x1bE", "\x1b%0B", "IP;", "NR;", "WDx;", "PU99999999,1;", "PE"}
	for seed := range uint64(3) {
		for _, m := range machines(t) {
			text, err := write(context.Background(), many(seed, 40), m, 1<<20, nil)
			if err != nil {
				t.Fatal(err)
			}
			rnd := rand.New(rand.NewPCG(seed, 9))
			lines := strings.Split(string(text), "\n")
			for range []int{0, 1, 12}[seed] {
				lines[rnd.IntN(len(lines))] = odd[rnd.IntN(len(odd))]
			}
			partsInTurn(t, strings.Join(lines, "\n"), &m)
			partsInTurn(t, strings.Join(lines, "\n"), nil)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		line := rapid.OneOf(rapid.SampledFrom(odd), rapid.StringMatching(`PUPA[0-9]{1,3},[0-9]{1,3};`), rapid.StringMatching(`PD[0-9]{1,3},[0-9]{1,3};`))
		partsInTurn(t, strings.Join(rapid.SliceOfN(line, 0, 100).Draw(t, "lines"), "\n"), nil)
	})
}

// partsInTurn compares reading in parts with reading in turn.
func partsInTurn(t rapid.TB, text string, m *profiles.Machine) {
	var want *reader
	procs(1, func() { want = readInParts(text, m, 1) })
	for n, size := range map[int]int{2: 200, 5: 24} {
		procs(n, func() {
			got := readInParts(text, m, size)
			if got.reached() != want.reached() || got.known != want.known || got.strays != want.strays || got.firstStray != want.firstStray || got.steps != want.steps || got.full != want.full {
				t.Fatalf("in parts of %d bytes on %d cores: %+v, in turn %+v, of %q", size, n, got.reached(), want.reached(), text)
			}
			if !reflect.DeepEqual(got.out, want.out) || !reflect.DeepEqual(got.polygon, want.polygon) {
				t.Fatalf("in parts of %d bytes on %d cores: %+v, in turn %+v, of %q", size, n, got.out, want.out, text)
			}
		})
	}
}

// Of programs of ours the stroke before a part tells the state in which it begins, and few
// parts are read twice.
func TestPartsAreForeseen(t *testing.T) {
	for _, m := range machines(t) {
		var strokes []paths.Stroke
		for i := range 1500 {
			a := paths.Point{X: 20 + float64(i%40), Y: 20 + float64(i/40)}
			strokes = append(strokes, paths.Polyline(a, a.Add(paths.Point{X: 0.7}), a.Add(paths.Point{X: 0.7, Y: 0.9}), a.Add(paths.Point{Y: 0.8})))
		}
		data, err := Write(context.Background(), program.Program{Blocks: programtest.Blocks(30, strokes...)}, m)
		if err != nil {
			t.Fatal(err)
		}
		text := string(data)
		r, a := newReader(text, &m), newReader(text, &m)
		kept, parts := 0, partsOf(text, 0, 4<<10)
		for k, p := range parts {
			if k > 0 {
				from := r.reached()
				from.pos, from.line = p.leadIn, p.line-strings.Count(text[p.leadIn:p.pos], "\n")
				if a.begin(from, 0); a.readTo(context.Background(), p.pos) == nil && a.reached() == r.reached() {
					kept++
				}
			}
			if err := r.readTo(context.Background(), p.to); err != nil {
				t.Fatal(err)
			}
		}
		if len(parts) < 6 || kept < len(parts)-1 {
			t.Errorf("%s: of %d parts %d are foreseen", m.Name, len(parts), kept)
		}
	}
}
