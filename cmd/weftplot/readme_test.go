package main

import (
	"bytes"
	"context"
	"flag"
	"image"
	"image/draw"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	xdraw "golang.org/x/image/draw"

	"weftplot/cmd/weftplot/arguments"
	"weftplot/cmd/weftplot/keptcloth"
	"weftplot/cmd/weftplot/terminal"
	"weftplot/paths"
	"weftplot/plot/job"
	"weftplot/plot/jobfolder"
	"weftplot/plot/proof"
	"weftplot/plot/report"
)

var update = flag.Bool("update", false, "rewrite the README's pictures, and what commands print in testdata/script")

const readmePictures = "../../testdata/readme/"

// The README's pictures are what its walk gives: the pencil drawing, the proof of the
// job made of it, and what the simulated plotter drew on its cloth.
func TestReadmePictures(t *testing.T) {
	if !*thorough && !*update {
		t.Skip("-thorough makes the pictures and compares them")
	}
	t.Parallel()
	dir, ctx := t.TempDir(), context.Background()
	pencil, err := os.ReadFile("../../testdata/scans/harbour-pencil.jpg")
	must(t, err)
	must(t, os.WriteFile(filepath.Join(dir, "harbour-pencil.jpg"), pencil, 0o666))
	for _, line := range []string{
		"scan harbour-pencil.jpg --out harbour.svg --quiet",
		"prepare harbour.svg --width 18in --border 3 --quiet",
		"send harbour-job --port sim --journal --yes --sim-speed 300 --quiet",
	} {
		if status, out, errs := command(ctx, dir, strings.Fields(line)...); status != statusDone {
			t.Fatalf("weftplot %s: exit status %d\n%s%s", line, status, out, errs)
		}
	}
	s, err := job.Settings{Design: "harbour.svg"}.With(map[string][]string{"width": {"18in"}, "border": {"3"}})
	must(t, err)
	made, err := makeJob(ctx, jobfolder.Place(dir).Read, s, &terminal.Progress{})
	must(t, err)
	drawn := report.DrawnScene(made.job, made.report)
	drawn.Notes = nil // as the proof on the page
	samePicture(t, "proof.png", scenePNG(t, drawn))

	cloth, err := keptcloth.Open(filepath.Join(dir, "harbour-job", "plot.gcode"+jobfolder.ClothExt))
	must(t, err)
	if len(cloth.Strokes()) != made.report.Strokes {
		t.Fatalf("%d strokes lie on the cloth, want %d", len(cloth.Strokes()), made.report.Strokes)
	}
	onCloth := proof.Scene{
		Title: "harbour", Side: "the back of the rug, as it lies on the simulated plotter's cloth",
		Rug: drawn.Rug, Backing: drawn.Backing, Weave: drawn.Weave, NoDirection: true,
	}
	for _, k := range cloth.Strokes() {
		onCloth.Ink = append(onCloth.Ink, inkLike(drawn.Ink[0], k))
	}
	samePicture(t, "cloth.png", scenePNG(t, onCloth))
	samePicture(t, "pencil.png", smaller(t, pencil))
}

// inkLike is a stroke in the ink of another one.
func inkLike(ink proof.Ink, k paths.Stroke) proof.Ink {
	ink.Stroke = k
	return ink
}

// wide is the width of the README's pictures, pixels.
const wide = 560

func scenePNG(t *testing.T, s proof.Scene) []byte {
	t.Helper()
	data, err := proof.PNG(s, wide)
	must(t, err)
	return data
}

// smaller is a photograph as a grey PNG of the README's width.
func smaller(t *testing.T, data []byte) []byte {
	t.Helper()
	img, err := jpeg.Decode(bytes.NewReader(data))
	must(t, err)
	small := image.NewGray(image.Rect(0, 0, wide, wide*img.Bounds().Dy()/img.Bounds().Dx()))
	xdraw.CatmullRom.Scale(small, small.Bounds(), img, img.Bounds(), draw.Src, nil)
	var b bytes.Buffer
	must(t, png.Encode(&b, small))
	return b.Bytes()
}

// samePicture holds a picture of the README to what was made now.
func samePicture(t *testing.T, name string, got []byte) {
	t.Helper()
	if *update {
		must(t, os.WriteFile(readmePictures+name, got, 0o666))
	}
	want, err := os.ReadFile(readmePictures + name)
	must(t, err)
	if d := difference(t, got, want); d > 2 { // an order that differs moves arrowheads
		t.Errorf("%s differs by %.2f of 255 a pixel; look at it and rewrite it with -update", name, d)
	}
}

func readme(t *testing.T) string {
	t.Helper()
	data, err := os.ReadFile("../../README.md")
	must(t, err)
	return string(data)
}

// The walk of the README, from a drawing on paper to the simulated plotter's cloth, can
// be gone as it is written; lines for a port of one's own are left out.
func TestReadmeWalk(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	pencil, err := os.ReadFile("../../testdata/scans/harbour-pencil.jpg")
	must(t, err)
	must(t, os.WriteFile(filepath.Join(dir, "drawing.jpg"), pencil, 0o666))
	_, walk, _ := strings.Cut(readme(t), "## From a drawing to a drawn cloth")
	walk, _, _ = strings.Cut(walk, "\n## ")
	gone := map[string]bool{}
	for _, l := range regexp.MustCompile(`(?m)^\$ weftplot ([^#\n]*)`).FindAllStringSubmatch(walk, -1) {
		words := strings.Fields(l[1])
		if strings.Contains(l[1], "PORT") {
			continue
		}
		if words[0] == "send" {
			words = append(words, "--sim-speed", "300")
		}
		if status, out, errs := command(context.Background(), dir, words...); status != statusDone {
			t.Fatalf("weftplot %s: exit status %d\n%s%s", l[1], status, out, errs)
		}
		gone[words[0]] = true
	}
	for _, c := range []string{"scan", "check", "profiles", "prepare", "send", "ports"} {
		if !gone[c] {
			t.Errorf("the walk does not use %s", c)
		}
	}
}

// Every line of the README that begins with weftplot names commands and flags that
// there are.
func TestReadmeLinesCanBeTyped(t *testing.T) {
	lines := regexp.MustCompile(`(?m)^(?:\$ |> )?(weftplot .*)$`).FindAllStringSubmatch(readme(t), -1)
	if len(lines) < 15 {
		t.Fatalf("only %d lines are found", len(lines))
	}
	app := newApp(terminal.Streams{})
	for _, l := range lines {
		line, _, _ := strings.Cut(l[1], " #")
		line, _, _ = strings.Cut(line, " >")
		words := strings.Fields(line)
		if app.Command(words[1]) == nil && !strings.HasPrefix(words[1], "-") {
			t.Errorf("%s: no such command", line)
		}
		if _, err := arguments.Arrange(app, words); err != nil {
			t.Errorf("%s: %v", line, err)
		}
	}
}

// Every file that the README shows or points at is there, every flag it names is one of
// some command, and it is written for the person at the frame: words of the machine
// room are in DEVELOPERS.md.
func TestReadmeIsTrue(t *testing.T) {
	text := readme(t)
	for _, m := range regexp.MustCompile(`\]\(([^)#]+)\)`).FindAllStringSubmatch(text, -1) {
		if strings.Contains(m[1], "://") {
			continue
		}
		if _, err := os.Stat(filepath.Join("../..", m[1])); err != nil {
			t.Errorf("%s is not there", m[1])
		}
	}
	_, pages := manualPages(t)
	known := []string{"--version", "--help"}
	for _, g := range pages {
		for _, f := range g.Flags {
			known = append(known, "--"+f.Names[0])
		}
	}
	for _, f := range regexp.MustCompile("--[a-z][a-z-]+").FindAllString(text, -1) {
		if !slices.Contains(known, f) {
			t.Errorf("no command has the flag %s", f)
		}
	}
	for _, word := range []string{"pseudo-terminal", "goroutine", "stdout", "mutex"} {
		if strings.Contains(text, word) {
			t.Errorf("the README says %q", word)
		}
	}
	if !strings.HasPrefix(text, "# weftplot\n\nA rug maker who teaches has a design") {
		t.Error("the README does not open with the job")
	}
}

// difference returns the mean difference of two pictures' values, of 255.
func difference(t *testing.T, a, b []byte) float64 {
	var img [2]image.Image
	for i, data := range [][]byte{a, b} {
		var err error
		if img[i], err = png.Decode(bytes.NewReader(data)); err != nil {
			t.Fatal(err)
		}
	}
	r := img[0].Bounds()
	if r != img[1].Bounds() {
		t.Fatalf("the pictures are %v and %v", r, img[1].Bounds())
	}
	var sum float64
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			r0, g0, b0, _ := img[0].At(x, y).RGBA()
			r1, g1, b1, _ := img[1].At(x, y).RGBA()
			for _, v := range [][2]uint32{{r0, r1}, {g0, g1}, {b0, b1}} {
				d := float64(v[0]) - float64(v[1])
				sum += max(d, -d) / 257
			}
		}
	}
	return sum / float64(3*r.Dx()*r.Dy())
}
