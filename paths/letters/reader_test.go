package letters

import (
	"bufio"
	"flag"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"

	"weftplot/paths"
	"weftplot/paths/weave"
)

// The outside reader of these tests is tesseract (Debian packages tesseract-ocr and
// tesseract-ocr-eng), given each word as a line of text (--psm 7). The words are of
// /usr/share/dict/american-english (Debian package wamerican, made from SCOWL, whose
// licence lets it be used, copied and changed freely with its notice). An ordinary
// font goes through the same pictures as a control.

var (
	readerWords = flag.Int("reader-words", 24, "how many words the outside reader is given; 300 is the whole test, which tries more heights than those below")
	readerKeep  = flag.String("reader-keep", "", "a folder to keep the reader's pictures in")
)

const wordList = "/usr/share/dict/american-english"

// penWidth is the width of a fine marker in mm, as in
// profiles/pens/fine-marker.toml.
const penWidth = 0.8

// margin is the white round a word's picture, in pixels; with none or a lot,
// the reader does badly with any letters.
const margin = 10

// someWords returns n words of the list, evenly spread over it: those of four to nine
// letters of the English alphabet, the first of them small or capital.
func someWords(t *testing.T, n int) []string {
	f, err := os.Open(wordList)
	if err != nil {
		t.Skipf("the word list %s is not installed (Debian package wamerican)", wordList)
	}
	defer f.Close()
	var all []string
	for lines := bufio.NewScanner(f); lines.Scan(); {
		w := lines.Text()
		rest := strings.Trim(w[1:], "abcdefghijklmnopqrstuvwxyz")
		if len(w) >= 4 && len(w) <= 9 && rest == "" && w[0] < 0x80 {
			all = append(all, w)
		}
	}
	if len(all) < 10_000 {
		t.Fatalf("%s has only %d words", wordList, len(all))
	}
	words := make([]string, n)
	for i := range words {
		words[i] = all[(2*i+1)*len(all)/(2*n)]
	}
	return words
}

// pictured draws strokes with the pen's width, at scale pixels a mm.
func pictured(strokes []paths.Stroke, scale float64) *image.Gray {
	box := paths.BoundsOf(strokes)
	w := int(math.Ceil(box.Width()*scale)) + 2*margin
	h := int(math.Ceil(box.Height()*scale)) + 2*margin
	im := image.NewGray(image.Rect(0, 0, w, h))
	draw.Draw(im, im.Bounds(), image.White, image.Point{}, draw.Src)
	half := max(penWidth*scale, 1) / 2
	for _, s := range strokes {
		pts := s.Flatten(0.05)
		for i := range pts {
			a, b := pts[max(0, i-1)], pts[i]
			ink(im, paths.Point{X: (a.X-box.Min.X)*scale + margin, Y: (box.Max.Y-a.Y)*scale + margin},
				paths.Point{X: (b.X-box.Min.X)*scale + margin, Y: (box.Max.Y-b.Y)*scale + margin}, half)
		}
	}
	return im
}

// ink darkens the pixels around the line from a to b by how much of each it
// covers.
func ink(im *image.Gray, a, b paths.Point, half float64) {
	r := paths.RectOf(a, b).Grow(half + 1)
	l := paths.Line{A: a, B: b}
	for y := int(r.Min.Y); y <= int(r.Max.Y); y++ {
		for x := int(r.Min.X); x <= int(r.Max.X); x++ {
			p := paths.Point{X: float64(x) + 0.5, Y: float64(y) + 0.5}
			t := 0.
			if d := b.Sub(a); d.Len() > 0 {
				t = min(1, max(0, p.Sub(a).Dot(d)/d.Dot(d)))
			}
			cover := min(1, max(0, half+0.5-p.Dist(l.At(t))))
			if v := uint8(255 * (1 - cover)); v < im.GrayAt(x, y).Y {
				im.SetGray(x, y, color.Gray{Y: v})
			}
		}
	}
}

// mirrored turns a picture over, left for right.
func mirrored(im *image.Gray) *image.Gray {
	out := image.NewGray(im.Bounds())
	w := im.Bounds().Dx()
	for y := range im.Bounds().Dy() {
		for x := range w {
			out.SetGray(w-1-x, y, im.GrayAt(x, y))
		}
	}
	return out
}

// read returns the text that the reader finds in pictures of one line each.
func read(t *testing.T, name string, pictures []*image.Gray) []string {
	dir := t.TempDir()
	if *readerKeep != "" {
		dir = filepath.Join(*readerKeep, name)
		if err := os.MkdirAll(dir, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	var list strings.Builder
	for i, im := range pictures {
		file := filepath.Join(dir, fmt.Sprintf("%03d.png", i))
		f, err := os.Create(file)
		if err == nil {
			err = png.Encode(f, im)
		}
		if err == nil {
			err = f.Close()
		}
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintln(&list, file)
	}
	names := filepath.Join(dir, "list.txt")
	if err := os.WriteFile(names, []byte(list.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("tesseract", names, "stdout", "--psm", "7")
	cmd.Env = append(os.Environ(), "OMP_THREAD_LIMIT=1")
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("tesseract: %v", err)
	}
	pages := strings.Split(string(out), "\f")
	if len(pages) < len(pictures) {
		t.Fatalf("the reader was given %d pictures and answered %d", len(pictures), len(pages))
	}
	for i := range pages {
		pages[i] = strings.TrimSpace(pages[i])
	}
	return pages[:len(pictures)]
}

// right returns the share of letters that were read right: 1 - edits/letters.
func right(t *testing.T, words, answers []string) float64 {
	edits, letters := 0, 0
	var wrong []string
	for i, w := range words {
		e := distance(w, answers[i])
		edits += min(e, len(w))
		letters += len(w)
		if e > 0 {
			wrong = append(wrong, fmt.Sprintf("%s->%q", w, answers[i]))
		}
	}
	t.Logf("wrong: %s", strings.Join(wrong, " "))
	return 1 - float64(edits)/float64(letters)
}

// distance is the least number of letters to insert, delete or change
// (Levenshtein).
func distance(a, b string) int {
	p, q := []rune(a), []rune(b)
	row := make([]int, len(q)+1)
	for j := range row {
		row[j] = j
	}
	for i := range p {
		before := row[0]
		row[0] = i + 1
		for j := range q {
			change := before
			if p[i] != q[j] {
				change++
			}
			before = row[j+1]
			row[j+1] = min(change, row[j]+1, before+1)
		}
	}
	return row[len(q)]
}

// typeset draws a word in an ordinary font, its small letters xHeight pixels high.
func typeset(t *testing.T, word string, xHeight float64) *image.Gray {
	f, err := opentype.Parse(goregular.TTF)
	if err != nil {
		t.Fatal(err)
	}
	face, err := opentype.NewFace(f, &opentype.FaceOptions{Size: xHeight / 0.53, DPI: 72})
	if err != nil {
		t.Fatal(err)
	}
	m := face.Metrics()
	d := font.Drawer{Src: image.Black, Face: face}
	im := image.NewGray(image.Rect(0, 0, d.MeasureString(word).Ceil()+2*margin, (m.Ascent+m.Descent).Ceil()+2*margin))
	draw.Draw(im, im.Bounds(), image.White, image.Point{}, draw.Src)
	d.Dst, d.Dot = im, fixed.P(margin, margin+m.Ascent.Ceil())
	d.DrawString(word)
	return im
}

// TestOutsideReader has words read by a program that knows nothing of weaves.
func TestOutsideReader(t *testing.T) {
	if _, err := exec.LookPath("tesseract"); err != nil {
		t.Skip("tesseract, which reads the words, is not installed (Debian packages tesseract-ocr and tesseract-ocr-eng)")
	}
	words := someWords(t, *readerWords)
	const small = 20 // height of small letters in pixels, and of capitals where there are no others
	grid := weave.Grid{Across: paths.MMPerInch / 12, Along: paths.MMPerInch / 13}
	t.Run("control", func(t *testing.T) {
		var pictures []*image.Gray
		for _, w := range words {
			pictures = append(pictures, typeset(t, w, small))
		}
		if got := right(t, words, read(t, "control", pictures)); got < 0.98 {
			t.Fatalf("of an ordinary font %.1f %% was read: the test does not judge letters", 100*got)
		}
	})
	type reading struct {
		alphabet string
		height   int
		least    float64
	}
	all := []reading{{"plain", 12, 0.98}}
	if *thorough || *readerWords >= 300 {
		all = append(all, reading{"counted", 9, 0.95})
	}
	if *readerWords >= 300 {
		all = append(all, []reading{
			{"plain", 7, 0.97}, {"plain", 9, 0.98}, {"plain", 20, 0.98},
			{"counted", 5, 0.97}, {"counted", 7, 0.97}, {"counted", 12, 0.97}, {"counted", 20, 0.97},
			{"round", 12, 0.8}, // a joined hand is not what the reader was taught
		}...)
	}
	for _, c := range all {
		t.Run(fmt.Sprintf("%s-%d", c.alphabet, c.height), func(t *testing.T) {
			a, err := Named(c.alphabet)
			if err != nil {
				t.Fatal(err)
			}
			rows := float64(guideRows(c.height, a.small)['x'])
			asked := make([]string, len(words))
			var pictures, turned []*image.Gray
			for i, w := range words {
				if asked[i] = w; a.capitals {
					asked[i] = strings.ToUpper(w)
				}
				text, err := Set(w, Options{Alphabet: a, Height: c.height, Grid: grid})
				if err != nil {
					t.Fatal(err)
				}
				im := pictured(text.Strokes, small/(rows*grid.Along))
				pictures, turned = append(pictures, im), append(turned, mirrored(im))
			}
			name := fmt.Sprintf("%s-%d", c.alphabet, c.height)
			got, back := right(t, asked, read(t, name, pictures)), right(t, asked, read(t, name+"-mirrored", turned))
			t.Logf("%d words: %.1f %% of the letters read right, %.1f %% mirrored", len(words), 100*got, 100*back)
			if got < c.least {
				t.Errorf("%.1f %% of the letters were read right, want %.0f", 100*got, 100*c.least)
			}
			if back > 0.3 {
				t.Errorf("mirrored, %.1f %% of the letters were read", 100*back)
			}
		})
	}
}
