package scan

import (
	"bytes"
	"flag"
	"fmt"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"sync"
	"testing"

	"weftplot/paths"
	"weftplot/paths/scan/papers"
	"weftplot/paths/scan/raster"
	"weftplot/paths/svg"
)

var (
	paperPages  = flag.Int("papers", 0, "trace this `number` of A4 pages of each kind of paper, with the seeds from 1 on, and print how well the lines are found")
	paperKinds  = flag.String("papers-kind", "", "only the kinds of paper whose name this `expression` matches")
	paperUnseen = flag.Uint64("papers-unseen", 0, "take the seeds of pages nobody has looked at, drawn from this `number`")
	paperSeeds  = flag.String("papers-seeds", "", "only the pages of these seeds, divided by commas")
	paperKeep   = flag.String("papers-keep", "", "a `folder` for the pictures of the pages and the lines found on them")
)

// tracedPaper is what came of one page.
type tracedPaper struct {
	papers.Verdict
	seed   uint64
	doubts int
	err    error
}

// tracePaper hands the picture of a page over as a file, as a person does, and
// traces it.
func tracePaper(p papers.Page) (tracedPaper, error) {
	t := tracedPaper{seed: p.Seed}
	file, opt, err := handedOver(p)
	if err != nil {
		return t, err
	}
	found, listed, err := linesOf(file, opt)
	if err != nil {
		// What cannot be read has no lines: all of the drawing is missing.
		t.err = err
	}
	t.Verdict = p.Judge(found, listed)
	t.doubts = len(listed)
	return t, keepPaper(p, file, found, listed, t.Verdict)
}

// handedOver returns the file of a page, and what a person says of it.
func handedOver(p papers.Page) ([]byte, raster.Options, error) {
	var file bytes.Buffer
	if p.Sheet[0] > 0 {
		err := jpeg.Encode(&file, p.Picture, &jpeg.Options{Quality: 88})
		return file.Bytes(), raster.Options{Sheet: raster.Sheet{W: p.Sheet[0], H: p.Sheet[1]}}, err
	}
	err := (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(&file, p.Picture)
	return file.Bytes(), raster.Options{DPI: [2]float64{papers.DPI, papers.DPI}}, err
}

// traceOf traces a page, handed over as a file.
func traceOf(p papers.Page) (Tracing, error) {
	file, opt, err := handedOver(p)
	if err != nil {
		return Tracing{}, err
	}
	return traceFile(file, opt)
}

// linesOf reads and traces a picture, and returns the places a person is told to
// check.
func linesOf(file []byte, opt raster.Options) (found []paths.Stroke, listed []paths.Point, err error) {
	t, err := traceFile(file, opt)
	if err != nil {
		return nil, nil, err
	}
	for _, f := range t.Finds {
		if f.Kind == Doubtful {
			listed = append(listed, f.At)
		}
	}
	return t.Strokes, listed, nil
}

// traceFile reads and traces a picture.
func traceFile(file []byte, opt raster.Options) (Tracing, error) {
	page, _, err := raster.Decode("page", file, opt)
	if err != nil {
		return Tracing{}, err
	}
	return Trace(page, Options{})
}

// keepPaper writes the picture, the lines found, and of a scan both over each other,
// where a folder was given.
func keepPaper(p papers.Page, picture []byte, found []paths.Stroke, listed []paths.Point, v papers.Verdict) error {
	if *paperKeep == "" {
		return nil
	}
	name := filepath.Join(*paperKeep, fmt.Sprintf("%s-%d", strings.ReplaceAll(p.Kind, " ", "-"), p.Seed))
	layer := paths.Layer{Name: "found"}
	for _, s := range found {
		layer.Strokes = append(layer.Strokes, paths.DesignStroke{Stroke: s})
	}
	d := paths.Design{Page: paths.BoundsOf(p.Drawn).Grow(10), Layers: []paths.Layer{layer}}
	if err := os.WriteFile(name+".svg", svg.Write(d), 0o644); err != nil {
		return err
	}
	ext := ".png"
	if p.Sheet[0] > 0 {
		ext = ".jpg"
	} else if err := writeOverlay(name+"-over.png", p, found, listed, v); err != nil {
		return err
	}
	return os.WriteFile(name+ext, picture, 0o644)
}

// TestPapers traces pages in many media, by an author of their own. Without a
// flag it takes two small ones, on which nothing may be lost.
func TestPapers(t *testing.T) {
	if *paperPages == 0 && *paperSeeds == "" {
		for _, k := range []papers.Kind{papers.Kinds()[0], papers.Kinds()[2]} {
			got, err := tracePaper(k.Make(1, 60, 50))
			if err != nil || got.err != nil {
				t.Fatal(err, got.err)
			}
			t.Logf("%s: %v", k.Name, got.Score)
			if got.Missing > 1 || got.Spurious > 1 || got.P95 > 0.25 || got.Regions == 0 {
				t.Errorf("%s: %v, %d regions", k.Name, got.Score, got.Regions)
			}
		}
		return
	}
	only := regexp.MustCompile(*paperKinds)
	seeds := seedsOf(t)
	fmt.Printf("%-14s %5s %10s %10s %11s %7s %7s %7s %8s %8s %7s\n", "paper", "pages", "95% mm", "worst page", "missing %", "worst", "spur. %", "worst", "pieces", "open", "unlisted/regions, doubts a page")
	for _, k := range papers.Kinds() {
		if only.MatchString(k.Name) {
			printPapers(t, k, tracePapers(t, k, seeds))
		}
	}
}

// seedsOf returns the seeds of the pages that the flags ask for.
func seedsOf(t *testing.T) []uint64 {
	if *paperUnseen != 0 {
		return papers.Unseen(*paperUnseen, *paperPages)
	}
	var seeds []uint64
	for i := range *paperPages {
		seeds = append(seeds, uint64(i+1))
	}
	if *paperSeeds == "" {
		return seeds
	}
	seeds = nil
	for word := range strings.SplitSeq(*paperSeeds, ",") {
		seed, err := strconv.ParseUint(word, 10, 64)
		if err != nil {
			t.Fatal(err)
		}
		seeds = append(seeds, seed)
	}
	return seeds
}

// tracePapers traces the pages of a kind, one on each processor.
func tracePapers(t *testing.T, k papers.Kind, seeds []uint64) []tracedPaper {
	out := make([]tracedPaper, len(seeds))
	next := make(chan int)
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for i := range next {
				var err error
				if out[i], err = tracePaper(k.Make(seeds[i], 210, 297)); err != nil {
					t.Errorf("%s, seed %d: %v", k.Name, seeds[i], err)
				}
			}
		})
	}
	for i := range seeds {
		next <- i
	}
	close(next)
	wait.Wait()
	return out
}

// printPapers prints each page and the row of the kind.
func printPapers(t *testing.T, k papers.Kind, pages []tracedPaper) {
	var p95, missing, spurious, pieces sums
	open, unlisted, regions, doubts := 0, 0, 0, 0
	for _, p := range pages {
		t.Logf("%s %d: %v  open %d, unlisted %d of %d regions  doubts %d", k.Name, p.seed, p.Score, p.Open, p.Unlisted, p.Regions, p.doubts)
		if p.err != nil {
			t.Logf("%s %d: %v", k.Name, p.seed, p.err)
		}
		if len(p.Lost) > 0 {
			t.Logf("%s %d: unlisted at %.1f", k.Name, p.seed, p.Lost)
		}
		p95.add(p.P95)
		missing.add(p.Missing)
		spurious.add(p.Spurious)
		pieces.add(float64(p.Strokes) / float64(p.TrueStrokes))
		open, unlisted, regions, doubts = open+p.Open, unlisted+p.Unlisted, regions+p.Regions, doubts+p.doubts
	}
	fmt.Printf("%-14s %5d %10.3f %10.3f %11.2f %7.2f %7.2f %7.1f %8.2f %8d %4d/%d, %.1f\n", k.Name, len(pages),
		p95.mean(), p95.most, missing.mean(), missing.most, spurious.mean(), spurious.most, pieces.mean(), open, unlisted, regions, float64(doubts)/float64(len(pages)))
}

// sums are the mean and the greatest of what is added.
type sums struct {
	n           int
	total, most float64
}

func (s *sums) add(v float64) { s.n, s.total, s.most = s.n+1, s.total+v, max(s.most, v) }

func (s sums) mean() float64 { return s.total / float64(max(1, s.n)) }
