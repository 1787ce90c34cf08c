package svg

import (
	"fmt"
	"math/rand/v2"
	"os"
	"reflect"
	"runtime"
	"strings"
	"testing"

	"weftplot/paths"
)

// readOn reads a file on a number of cores, with batches of a size, and returns also how
// many shapes were taken that were drawn ahead.
func readOn(cores, batch int, data []byte, opt Options) (d paths.Design, sketched int, err error) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
	r := &reader{name: "t.svg", opt: opt.withDefaults(), batchSize: batch}
	d, err = r.read(data)
	return d, r.sketched, err
}

// sameOnAllCores checks that the design, its notes and the fault of a file are the same
// on 1, 2 and 5 cores. It returns how many shapes were taken that were drawn ahead.
func sameOnAllCores(t *testing.T, name string, data []byte, opt Options) (sketched int) {
	t.Helper()
	want, alone, fault := readOn(1, 1, data, opt)
	if alone > 0 {
		t.Errorf("%s: %d shapes were drawn ahead on one core", name, alone)
	}
	for _, how := range []struct{ cores, batch int }{{2, 1}, {5, 1000}} {
		got, n, err := readOn(how.cores, how.batch, data, opt)
		if sketched += n; !reflect.DeepEqual(err, fault) {
			t.Errorf("%s: on %d cores the fault %v, on one %v", name, how.cores, err, fault)
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s: another design on %d cores than on one: %.300v, want %.300v", name, how.cores, got, want)
		}
	}
	return sketched
}

// What is read is the same for any number of cores.
func TestSameOnAllCores(t *testing.T) {
	sketched := 0
	all := Options{Dashes: true, Words: true}
	for _, file := range designs(t) {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		sketched += sameOnAllCores(t, file, data, Options{Words: true})
	}
	for _, list := range [][]struct{ name, body string }{features, dashed, filled, clippedFills, maskedFills} {
		for _, tt := range list {
			sketched += sameOnAllCores(t, tt.name, []byte(inPage(tt.body)), all)
		}
	}
	if sketched < 300 {
		t.Errorf("only %d shapes were drawn ahead", sketched)
	}
}

// So is a file that asks for too much, or that holds nothing.
func TestHostileFilesOnAllCores(t *testing.T) {
	for _, tt := range hostile(t) {
		if len(tt.file) < 1<<14 || *thorough {
			sameOnAllCores(t, tt.name, []byte(tt.file), tight)
		}
	}
}

// styledShapes are shapes and groups that the walk sees otherwise than their attributes
// tell, each beside one that it does not.
var styledShapes = []string{
	`<path d="M%d 3l4 5z"/>`, `<rect x="%d" width="9" height="4" rx="50%%"/>`, `<circle cx="%d" r="2em"/>`, `<ellipse cx="%d" rx="3" ry="2"/>`,
	`<line x1="%d" x2="9mm" y2="4"/>`, `<polygon points="%d 0 4 5 6"/>`, `<path class="d" d="M%d 0h3"/>`, `<path class="m" d="M%d 0q3 4 5 5"/>`,
	`<rect class="x" x="%d" width="3" height="5"/>`, `<path transform="rotate(%d) skewX(20)" d="M0 0a5 4 3 0 1 6 6"/>`, `<path transform="spin(%d)" d="M0 0h4"/>`,
	`<path transform-origin="5px" transform="rotate(%d)" d="M0 0h4"/>`, `<path style="d:path('M%d 1h8')" d="M0 0h4"/>`, `<path d="M%d 0h1e9h1"/>`, `<path d="M%d 0h1x"/>`,
	`<path style="display:none" d="M%d 0h3"/>`, `<path opacity="0" d="M%d 0h3"/>`, `<path fill="none" stroke="none" d="M%d 0h3"/>`, `<use x="%d" href="#u"/>`,
	`<path clip-path="url(#c)" d="M%d 3l40 50"/>`, `<path fill="red" d="M%d 3l40 50v9"/>`, `<title>%d</title>`, `<path id="u" d="M%d 0h2"/>`,
}

var styledGroups = []string{
	`<g>`, `<g transform="translate(3 4)">`, `<g class="m">`, `<g class="g">`, `<g display="none">`, `<g font-size="5">`, `<svg x="3" width="50" height="60">`,
	`<a>`, `<switch>`, `<defs>`, `<symbol>`, `<clipPath id="c">`, `<mask>`, `<g transform="scale(-1 2)" transform-origin="4px 5px">`, `<g style="transform:scale(2)">`, `<text>`, `<unknown>`,
}

// Documents of all that may be foreseen wrongly are the same on all cores.
func TestRandomDocumentsOnAllCores(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 8))
	sketched := 0
	for k := range 60 {
		var b strings.Builder
		var open []string
		for i := range 60 {
			switch {
			case rnd.IntN(5) == 0:
				tag := styledGroups[rnd.IntN(len(styledGroups))]
				b.WriteString(tag)
				name, _, _ := strings.Cut(strings.Trim(tag, "<>"), " ")
				open = append(open, name)
			case len(open) > 0 && rnd.IntN(5) == 0:
				b.WriteString("</" + open[len(open)-1] + ">")
				open = open[:len(open)-1]
			default:
				shape := styledShapes[rnd.IntN(len(styledShapes))]
				if !strings.Contains(shape, "%d") {
					t.Fatal(shape)
				}
				fmt.Fprintf(&b, shape, i)
			}
		}
		for len(open) > 0 {
			b.WriteString("</" + open[len(open)-1] + ">")
			open = open[:len(open)-1]
		}
		b.WriteString(`<style>.d{d:path("M1 1h9")}.m{transform:rotate(30deg)}.x{x:7px}.g{display:none}</style>`)
		opt := Options{MaxCurves: 20 + 50*k, Words: k%2 == 0, Dashes: true}
		name := fmt.Sprintf("document %d, %s", k, b.String())
		sketched += sameOnAllCores(t, name, []byte(fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d 90" stroke="red">%s</svg>`, 50+k, b.String())), opt)
	}
	if sketched < 300 {
		t.Errorf("only %d shapes were drawn ahead", sketched)
	}
}
