package choice

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"weftplot/paths/near"
)

// randomLines draws lines that often stand close, often overlap, and often have
// equal spacings.
func randomLines(r *rand.Rand, n, width int) []Line {
	var out []Line
	x := r.Float64()
	d := 0.3 + 3*r.Float64()
	for len(out) < n {
		switch r.IntN(4) {
		case 0:
			x, d = x+r.Float64()*2, 0.3+3*r.Float64()
		case 1:
			x += 0.2 + r.Float64()
		default:
			x += d
		}
		lo := float64(r.IntN(3)) * 10
		it := Line{Extent: Extent{math.Mod(x, float64(width)), lo, lo + 3 + r.Float64()*20}}
		it.Weight = it.Hi - it.Lo
		if r.IntN(12) == 0 {
			it.Channel = int(math.Round(it.At))
			it.At, it.Fixed, it.Weight = float64(it.Channel), true, 0
		}
		out = append(out, it)
	}
	if r.IntN(4) == 0 { // squeezed between two fixed lines
		for i := range out {
			out[i].At, out[i].Fixed = 0.2+math.Mod(out[i].At, 2.6), false
			out[i].Weight = out[i].Hi - out[i].Lo
		}
		wall := Line{Extent: Extent{0, 0, 40}, Fixed: true}
		out[0] = wall
		if wall.Channel, wall.At = 3, 3; n > 1 {
			out[1] = wall
		}
	}
	return out
}

// free is what is given without ties, links or mirror.
func free(lines []Line) Problem { return Problem{Lines: lines, Tied: near.NewSets(len(lines))} }

// stated returns the problem of a chooser with the bounds and limits that all
// answers keep; the counts of rhythms come on top.
func (c *chooser) stated() *programme {
	p := *c.programme
	p.bounds, p.least, p.most = c.bounds.strongest(), c.bounds.k, c.bounds.greatest(c.programme.downwards())
	return &p
}

// even reports whether every rhythm has one count at k, within its limits.
func (c *chooser) isEven(k []int) bool {
	for _, r := range c.rhythms {
		if lo, hi, _ := c.spread(r, k); lo != hi || lo < r.least || hi > r.most {
			return false
		}
	}
	return true
}

// rowLines draws up to 30 lines: a row of equal motifs, sometimes with lines
// that belong to nothing, and between fixed lines.
func rowLines(r *rand.Rand) []Line {
	offs := []float64{0}
	for range 1 + r.IntN(4) {
		offs = append(offs, offs[len(offs)-1]+0.8+6*r.Float64())
	}
	pitch := offs[len(offs)-1] + 1 + 8*r.Float64()
	start := 3 + r.Float64()
	var out []Line
	add := func(at, lo, hi float64) {
		out = append(out, Line{Extent: Extent{at, lo, hi}, Weight: hi - lo})
	}
	n := 2 + r.IntN(26/len(offs)-1)
	for i := range n {
		for j, o := range offs {
			add(start+float64(i)*pitch+o, float64(j%2)*4, 20)
		}
	}
	end := out[len(out)-1].At
	for range r.IntN(3) {
		add(start+r.Float64()*(end-start), 12, 30)
	}
	if r.IntN(2) == 0 {
		right := int(math.Ceil(end)) + 3
		for _, k := range []int{0, right} {
			out = append(out, Line{Extent: Extent{float64(k), -5, 40}, Fixed: true, Channel: k})
		}
	}
	return out
}

// searchAll returns the least cost over every whole-number choice within reach of
// the start, trying them one after the other.
func searchAll(c *chooser, p *programme, start []int, reach int) float64 {
	best := math.Inf(1)
	k := slices.Clone(start)
	var try func(i int)
	try = func(i int) {
		if i == len(k) {
			if p.holds(k) && c.isEven(k) {
				best = min(best, p.cost(k))
			}
			return
		}
		for v := max(start[i]-reach, p.least[i]); v <= min(start[i]+reach, p.most[i]); v++ {
			k[i] = v
			try(i + 1)
		}
		k[i] = start[i]
	}
	try(0)
	return best
}

func same(a, b float64) bool { return math.Abs(a-b) <= 1e-9*(1+math.Abs(a)) }

func TestOptimumAgainstExhaustiveSearch(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	tied, crowded := 0, 0
	const cases = 4000
	for n := range cases {
		lines := randomLines(r, 1+r.IntN(6), 6)
		g := free(lines)
		if n%3 == 0 { // the left half of a symmetric design
			twice := int(2*lines[0].At) + r.IntN(3)
			for _, it := range lines {
				twice = max(twice, int(2*it.At)+1+n%2)
			}
			g.centre = &twice
		}
		c := pose(g)
		answer := c.solve()
		k, p := answer.best, c.stated()
		if !p.holds(k) || !c.isEven(k) {
			t.Fatalf("case %d: the answer %v breaks a bound", n, k)
		}
		if !answer.proved {
			t.Fatalf("case %d: six lines are not proved", n)
		}
		reach := 3
		if len(k) > 5 {
			reach = 2
		}
		if got, want := p.cost(k), searchAll(c, p, k, reach); !same(got, want) {
			t.Fatalf("case %d: cost %v, the search finds %v\nitems %+v\nanswer %v", n, got, want, lines, k)
		}
		tied += len(c.rhythms)
		crowded += len(c.answer.Crowded)
	}
	t.Logf("%d cases, %d sizes that recur, %d pairs without room", cases, tied, crowded)
	if tied == 0 || crowded == 0 {
		t.Error("the cases have no ties, or none is crowded: they prove less than they should")
	}
}

// The bounds found by the sweep mean the same as the promise said plainly, pair
// by pair: order kept between lines that come near each other, a channel between
// lines that overlap more than half a channel apart.
func TestBoundsMeanThePromise(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for n := range 300 {
		lines := randomLines(r, 5, 5)
		for i := range lines {
			lines[i].Fixed = false
		}
		c := &chooser{Problem: Problem{Lines: lines}}
		c.bundle = make([]int, len(lines))
		c.settled = make([]bool, len(lines))
		k, least, most := make([]int, len(lines)), make([]int, len(lines)), make([]int, len(lines))
		for i := range lines {
			c.bundle[i], c.first = i, append(c.first, i)
			least[i], most[i] = -20, 20
		}
		c.bounds = newBoundSet(least, most)
		seen, apart := Neighbours(c.extents(0), Apart)
		c.order(seen)
		c.separate(apart)
		near, _ := Neighbours(c.extents(Reach), Apart)
		c.order(near)
		p := &programme{work: new(int), bounds: c.bounds.all, least: least, most: most}
		for range 400 {
			for i := range lines {
				k[i] = int(math.Round(lines[i].At)) + r.IntN(3) - 1
			}
			if got, want := p.holds(k), promised(lines, k); got != want {
				t.Fatalf("case %d: %v: the bounds say %v, the promise %v\n%+v", n, k, got, want, lines)
			}
		}
	}
}

// Symmetric designs, against every symmetric choice, priced and checked on the
// whole design.
func TestSymmetricOptimum(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	done := 0
	for n := range 1500 {
		centre := 6 + r.Float64()*3
		var lines []Line
		for range 1 + r.IntN(3) {
			lo := float64(r.IntN(2)) * 12
			it := Line{Extent: Extent{centre - 5*r.Float64(), lo, lo + 4 + float64(r.IntN(12))}}
			it.Weight = it.Hi - it.Lo
			image := it
			image.At = 2*centre - it.At
			lines = append(lines, it, image)
		}
		if r.IntN(3) == 0 {
			lines = append(lines, Line{Extent: Extent{centre, 0, 8}, Weight: 8})
		}
		sym, ok := symmetryOf(lines)
		if !ok || math.Abs(sym.centre-centre) > 1e-9 {
			t.Fatalf("case %d: the symmetry about %g is not seen: %+v", n, centre, sym)
		}
		got, _, ok := sym.chooseSymmetric(free(lines))
		if !ok {
			t.Fatalf("case %d: no symmetric choice", n)
		}
		for i, p := range sym.partner {
			if got.Channel[i]+got.Channel[p] != got.Channel[0]+got.Channel[sym.partner[0]] {
				t.Fatalf("case %d: %v is not symmetric", n, got.Channel)
			}
		}
		if !promised(lines, got.Channel) {
			t.Fatalf("case %d: %v breaks the promise: %+v", n, got.Channel, lines)
		}
		twice := 2 * int(math.Round(sym.centre))
		half, _, ok := sym.half(free(lines), twice)
		if c := pose(half); !ok || len(c.first) < len(half.Lines) || len(c.rhythms)+len(c.answer.Recurring) > 0 {
			continue // priced otherwise: lines shared, spacings tied
		}
		want := searchSymmetric(lines, sym)
		if math.Abs(got.Cost-want) > 1e-3*(1+want) { // places are rounded to 1/65536 channel
			t.Fatalf("case %d: cost %g, the search finds %g: %v %+v", n, got.Cost, want, got.Channel, lines)
		}
		done++
	}
	t.Logf("%d cases", done)
	if done < 500 {
		t.Error("too few cases were compared")
	}
}

func searchSymmetric(lines []Line, sym symmetry) float64 {
	p := &programme{terms: make([][]wanted, len(lines)), work: new(int)}
	var s []Extent
	for i, it := range lines {
		p.terms[i] = []wanted{parts(it.Weight, it.At)}
		s = append(s, it.Extent)
	}
	seen, _ := Neighbours(s, Apart)
	for _, q := range seen {
		p.spacings = append(p.spacings, spacing{q.A, q.B, parts(q.Length, lines[q.B].At-lines[q.A].At)})
	}
	best := math.Inf(1)
	k := make([]int, len(lines))
	low := int(math.Floor(2 * sym.centre))
	var try func(i, twice int)
	try = func(i, twice int) {
		if i == len(lines) {
			if promised(lines, k) {
				best = min(best, p.cost(k))
			}
			return
		}
		if j := sym.partner[i]; j < i {
			k[i] = twice - k[j]
			try(i+1, twice)
			return
		} else if j == i {
			if twice%2 == 0 {
				k[i] = twice / 2
				try(i+1, twice)
			}
			return
		}
		for d := -3; d <= 3; d++ {
			k[i] = int(math.Round(lines[i].At)) + d
			try(i+1, twice)
		}
	}
	for twice := low - 1; twice <= low+2; twice++ {
		try(0, twice)
	}
	return best
}

func promised(lines []Line, k []int) bool {
	for i, a := range lines {
		for j, b := range lines {
			if a.At > b.At || a.At == b.At && i >= j {
				continue
			}
			gap := max(a.Lo, b.Lo) - min(a.Hi, b.Hi)
			if gap <= 2*Reach && k[i] > k[j] {
				return false
			}
			if gap <= 0 && b.At-a.At > Apart && k[j] < k[i]+1 {
				return false
			}
		}
	}
	return true
}

// The seen pairs and lengths, against the definition on every elementary strip.
func TestNeighboursAgainstStrips(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for n := range 300 {
		lines := randomLines(r, 8, 12)
		var s []Extent
		var cuts []float64
		for _, it := range lines {
			s = append(s, it.Extent)
			cuts = append(cuts, it.Lo, it.Hi)
		}
		slices.Sort(cuts)
		want := map[[2]int]float64{}
		for i := 1; i < len(cuts); i++ {
			mid := (cuts[i-1] + cuts[i]) / 2
			var abreast []int
			for j, x := range s {
				if x.Lo < mid && mid < x.Hi {
					abreast = append(abreast, j)
				}
			}
			slices.SortStableFunc(abreast, func(a, b int) int {
				if s[a].At < s[b].At {
					return -1
				}
				return 1
			})
			for j := 1; j < len(abreast); j++ {
				want[[2]int{abreast[j-1], abreast[j]}] += cuts[i] - cuts[i-1]
			}
		}
		got, _ := Neighbours(s, Apart)
		for _, p := range got {
			if w := want[[2]int{p.A, p.B}]; math.Abs(p.Length-w) > 1e-9 {
				t.Fatalf("case %d: %v see each other over %g, want %g", n, p, p.Length, w)
			}
			delete(want, [2]int{p.A, p.B})
		}
		for p, w := range want {
			if w > 1e-9 {
				t.Fatalf("case %d: %v see each other over %g, not found", n, p, w)
			}
		}
	}
}

var programmes = flag.Int("programmes", 20, "how many cases are compared with a solver of integer programmes")

// A general solver of integer programmes, run on up to 30 lines, finds nothing
// better: GLPK's glpsol, https://www.gnu.org/software/glpk.
func TestOptimumAgainstIntegerProgramming(t *testing.T) {
	glpsol, err := exec.LookPath("glpsol")
	if err != nil {
		t.Skip("glpsol is not installed (Debian package glpk-utils)")
	}
	r := rand.New(rand.NewPCG(7, 8))
	rhythms, unproved, worst, open, looked, work := 0, 0, 0., 0, 0, 0
	for n := range *programmes {
		lines := randomLines(r, 5+r.IntN(26), 40)
		if n%2 == 0 {
			lines = rowLines(r)
		}
		c := pose(free(lines))
		answer := c.solve()
		got, want, ok := solveLP(t, glpsol, c, answer.best)
		rhythms += len(c.rhythms)
		looked, work = looked+answer.looked, work+*c.programme.work
		if !ok {
			open++
			continue
		}
		if !answer.proved {
			unproved++
			worst = max(worst, got/want-1)
			continue
		}
		if math.Abs(got-want) > 1e-6*(1+got) {
			t.Errorf("case %d: cost %.9g, the integer programme's %.9g", n, got, want)
		}
	}
	t.Logf("%d cases, %d sizes that recur, %d without proof, at most %g dearer; %d beyond the outside solver's time; %d nodes, %d work", *programmes, rhythms, unproved, worst, open, looked, work)
	if open*10 > *programmes {
		t.Error("too few cases were compared")
	}
}

// solveLP writes the problem as an integer programme with a yes-or-no variable
// for each value of each number and of each spacing, and a whole number for each
// size that recurs, and returns the cost of the answer and the least. It is not ok
// where the solver finds no optimum in its time.
func solveLP(t *testing.T, glpsol string, c *chooser, answer []int) (got, least float64, ok bool) {
	const reach = 5
	p := c.stated()
	var cost, rows, binary, whole, within bytes.Buffer
	value := func(name string, lo, hi int, price func(int) float64) string {
		var sum, one strings.Builder
		for v := lo; v <= hi; v++ {
			b := fmt.Sprintf("%s_%d", name, v-lo)
			if w := price(v); w != 0 {
				fmt.Fprintf(&cost, " + %.12g %s\n", w, b)
			}
			fmt.Fprintf(&sum, " %+d %s", v-around0(lo, hi), b)
			fmt.Fprintf(&one, " + %s", b)
			fmt.Fprintf(&binary, " %s\n", b)
		}
		fmt.Fprintf(&rows, "%s = 1\n", one.String())
		return sum.String()
	}
	k := make([]string, len(p.terms))
	base := make([]int, len(p.terms))
	for i, ts := range p.terms {
		lo, hi := max(answer[i]-reach, p.least[i]), min(answer[i]+reach, p.most[i])
		base[i] = around0(lo, hi)
		k[i] = value(fmt.Sprintf("k%d", i), lo, hi, func(v int) (sum float64) {
			for _, t := range ts {
				sum += t.cost(v)
			}
			return
		})
	}
	negate := strings.NewReplacer("+", "-", "-", "+")
	for i, s := range p.spacings {
		d := answer[s.v] - answer[s.u]
		x := value(fmt.Sprintf("s%d", i), d-2*reach, d+2*reach, s.cost)
		fmt.Fprintf(&rows, "%s %s %s = %d\n", k[s.v], negate.Replace(k[s.u]), negate.Replace(x), d-(base[s.v]-base[s.u]))
	}
	for _, b := range p.bounds {
		fmt.Fprintf(&rows, "%s %s >= %d\n", k[b.v], negate.Replace(k[b.u]), b.least-(base[b.v]-base[b.u]))
	}
	for i, r := range c.rhythms {
		fmt.Fprintf(&within, "%d <= q%d <= %d\n", r.least, i, r.most)
		fmt.Fprintf(&whole, " q%d\n", i)
		for _, t := range r.places {
			fmt.Fprintf(&rows, "%s %s - q%d = %d\n", k[t.v], negate.Replace(k[t.u]), i, base[t.u]-base[t.v])
		}
	}
	text := "Minimize\n" + cost.String() + "Subject To\n" + rows.String() +
		"Bounds\n" + within.String() + "General\n" + whole.String() + "Binary\n" + binary.String() + "End\n"
	least, ok = runLP(t, glpsol, text)
	return p.cost(answer), least, ok
}

// runLP returns the optimum that the solver finds for an integer programme, if it
// does in its time.
func runLP(t *testing.T, glpsol, text string) (least float64, ok bool) {
	dir := t.TempDir()
	lp, sol := filepath.Join(dir, "p.lp"), filepath.Join(dir, "p.txt")
	if err := os.WriteFile(lp, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command(glpsol, "--lp", lp, "-w", sol, "--tmlim", "60").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	data, err := os.ReadFile(sol)
	if err != nil {
		t.Fatal(err)
	}
	// The solution line: "s mip rows columns status objective", status o optimal.
	m := regexp.MustCompile(`(?m)^s mip \d+ \d+ (\w) (\S+)$`).FindSubmatch(data)
	if m == nil || string(m[1]) == "n" {
		t.Fatalf("no answer in %.300s", data)
	}
	v, err := strconv.ParseFloat(string(m[2]), 64)
	if err != nil {
		t.Fatal(err)
	}
	return v, string(m[1]) == "o"
}

func around0(lo, hi int) int { return (lo + hi) / 2 }

// holds reports whether k keeps every limit and bound.
func (p *programme) holds(k []int) bool {
	for i, v := range k {
		if v < p.least[i] || v > p.most[i] {
			return false
		}
	}
	for _, b := range p.bounds {
		if k[b.v]-k[b.u] < b.least {
			return false
		}
	}
	return true
}
