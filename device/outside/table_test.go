package outside

import (
	"flag"
	"fmt"
	"math"
	"path"
	"slices"
	"strconv"
	"strings"
	"testing"
)

var (
	runs   = flag.Int("outside", 0, "runs of machines with faults; 0 is about eighty")
	which  = flag.String("case", "", "MACHINE/FAULT/SEED to replay")
	wire   = flag.Bool("wire", false, "with -case: print what goes over the wire")
	strict = flag.Bool("strict", false, "known breaches fail, too")
	from   = flag.Uint64("from", 0, "the first seed")
	only   = flag.String("only", "*/*", "MACHINE/FAULT pattern of the cases to run")
)

// row is a line of the table.
type row struct {
	runs, errs, missing0, lies int
	far, twice, rest           float64
	broken                     map[string]int
}

func (w *row) add(d judged) {
	w.runs++
	if d.first.err != nil {
		w.errs++
	}
	w.far = math.Max(w.far, math.Max(d.atFirst.farthest, d.final.farthest))
	w.twice = math.Max(w.twice, d.final.twice)
	w.rest = math.Max(w.rest, d.first.rest)
	letters := lettersOf(d.broken)
	for l := range letters {
		w.broken[l]++
	}
	if letters["a"] || letters["u"] {
		w.missing0++
	}
	if letters["c"] {
		w.lies++
	}
}

func lettersOf(b []breach) map[string]bool {
	m := map[string]bool{}
	for _, x := range b {
		m[x.letter] = true
	}
	return m
}

// found is the first run of a kind that broke a promise.
type found struct {
	rig, kind string
	seed      uint64
	breach    breach
	times     int
}

// all runs n cases, spread over machines and faults, and gives each to see.
func all(t *testing.T, n int, see func(r rig, kind string, seed uint64, d judged)) {
	b := newBench(t)
	for i, seed := 0, *from; i < n; seed++ {
		had := i
		for m, r := range rigs(t) {
			for q, k := range faultKinds {
				kind := k.name
				// Every sixth case a time, so that a short run sees all machines and all faults.
				if i >= n || *runs == 0 && (q+int(seed)+m)%6 != 0 {
					continue
				}
				if ok, _ := path.Match(*only, r.name+"/"+kind); !ok {
					continue
				}
				see(r, kind, seed, b.run(r, kind, seed, nil))
				i++
			}
		}
		if i == had {
			t.Fatalf("no case fits %q", *only)
		}
	}
}

// wanted is how many cases are run.
func wanted() int {
	if *runs > 0 {
		return *runs
	}
	return 82
}

// TestTable prints what came of the runs; it judges nothing.
func TestTable(t *testing.T) {
	if !testing.Verbose() {
		t.Skip("the table is for reading: run it with -v")
	}
	rows := map[string]*row{}
	var order []string
	first := map[string]*found{}
	all(t, wanted(), func(r rig, kind string, seed uint64, d judged) {
		for _, name := range []string{fmt.Sprintf("%-26s %s", r.name, kind), fmt.Sprintf("%-26s %s", "= all machines", kind), fmt.Sprintf("%-26s %s", r.name, "= all faults")} {
			if rows[name] == nil {
				rows[name] = &row{broken: map[string]int{}}
				order = append(order, name)
			}
			rows[name].add(d)
		}
		for _, x := range d.broken {
			key := r.name + "/" + kind + "/" + x.letter
			if first[key] == nil {
				first[key] = &found{r.name, kind, seed, x, 0}
			}
			first[key].times++
		}
	})
	slices.Sort(order)
	fmt.Printf("%-46s %5s %6s %8s %9s %8s %7s %5s  %s\n", "machine, fault", "runs", "errors", "0missing", "stray mm", "twice mm", "rest s", "lies", "broken promises")
	for _, name := range order {
		w := rows[name]
		fmt.Printf("%-46s %5d %6d %8d %9.1f %8.1f %7.1f %5d  %s\n", name, w.runs, w.errs, w.missing0, w.far, w.twice, w.rest, w.lies, letters(w.broken))
	}
	printFound(first)
}

func letters(m map[string]int) string {
	var s []string
	for l, n := range m {
		s = append(s, l+strconv.Itoa(n))
	}
	slices.Sort(s)
	return strings.Join(s, " ")
}

func printFound(first map[string]*found) {
	var keys []string
	for k := range first {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(a, b string) int {
		x, y := first[a], first[b]
		return strings.Compare(x.breach.letter+x.kind+x.rig, y.breach.letter+y.kind+y.rig)
	})
	for _, k := range keys {
		f := first[k]
		fmt.Printf("%s %3d times: %s/%s/%d: %s\n", f.breach.letter, f.times, f.rig, f.kind, f.seed, f.breach.what)
	}
}

// TestReplay runs one case, with what goes over the wire:
//
//	go test ./device/outside -run Replay -v -case z/byte-lost-out/3 -wire
func TestReplay(t *testing.T) {
	if *which == "" {
		t.Skip("name a case with -case MACHINE/FAULT/SEED")
	}
	p := strings.Split(*which, "/")
	if len(p) != 3 {
		t.Fatal("a case is MACHINE/FAULT/SEED")
	}
	seed, err := strconv.ParseUint(p[2], 10, 64)
	if err != nil {
		t.Fatal(err)
	}
	var trace func(float64, string)
	if *wire {
		trace = func(at float64, what string) { fmt.Printf("%9.4f %s\n", at, what) }
	}
	d := newBench(t).run(rigNamed(t, p[0]), p[1], seed, trace)
	for i, l := range []*leg{&d.first, d.resumed, d.last} {
		if l == nil {
			continue
		}
		fmt.Printf("leg %d: %.2f s, predicted %.2f; killed %v; pen up at return %v, later %v; %.1f mm drawn after the return; place lost %v; rest %.1f s; buffer overrun %v\n", i+1, l.seconds, l.out.Predicted, l.killed, l.upAtReturn, l.upLater, l.inkLater, l.lost, l.rest, l.over)
		if l.err != nil {
			fmt.Println("   ", told(l.err))
		}
	}
	fmt.Printf("journal: %d strokes drawn, %d to be drawn again (known %v), must be brought home %v\n", d.claimed, d.announced, d.known, d.needsHome)
	fmt.Printf("after the first leg %+v\nin the end %+v\n", d.atFirst, d.final)
	for _, x := range d.broken {
		t.Errorf("%s: %s", x.letter, x.what)
	}
}
