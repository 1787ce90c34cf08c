package codec

import (
	"bytes"
	"errors"
	"image"
	"image/color"
	"image/gif"
	"io"
	"os"
	"path/filepath"
	"testing"

	"golang.org/x/image/bmp"
)

// samples are pictures of a letter F by other programs: cwebp 1.2.4, Ghostscript
// 10.0 (BMP).
func samples(t testing.TB) map[string][]byte {
	files, err := filepath.Glob("testdata/samples/*")
	if err != nil || len(files) < 7 {
		t.Fatalf("the samples: %v %v", files, err)
	}
	out := map[string][]byte{}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		out[filepath.Base(f)] = data
	}
	return out
}

func dark(img image.Image, x, y float64) bool {
	b := img.Bounds()
	r, _, _, a := img.At(b.Min.X+int(x*float64(b.Dx())), b.Min.Y+int(y*float64(b.Dy()))).RGBA()
	return a > 0x8000 && r < 0x8000
}

// isF reports whether a picture shows the letter: its stem and its two arms are
// dark, and what lies beside them is not.
func isF(img image.Image) bool {
	return dark(img, 0.13, 0.6) && dark(img, 0.5, 0.16) && dark(img, 0.35, 0.5) && !dark(img, 0.7, 0.5) && !dark(img, 0.5, 0.8) && !dark(img, 0.02, 0.02)
}

func TestSamples(t *testing.T) {
	for name, data := range samples(t) {
		p, err := Open(data, 1)
		if err != nil || p == nil {
			t.Errorf("%s: %v %v", name, p, err)
			continue
		}
		img, err := p.Decode()
		if err != nil || img.Bounds().Dx() != p.W || img.Bounds().Dy() != p.H || p.Pages != 1 || !isF(img) {
			t.Errorf("%s: %d x %d, %d pages, %v", name, p.W, p.H, p.Pages, err)
		}
		if p.Format == "BMP" && (p.PerInch[0] < 99 || p.PerInch[0] > 101) {
			t.Errorf("%s: %v pixels an inch, want 100", name, p.PerInch)
		}
		if _, err := Open(data, 2); !errors.Is(err, ErrNoPage) {
			t.Errorf("%s: page 2: %v", name, err)
		}
	}
}

func TestCutOff(t *testing.T) {
	for _, data := range samples(t) {
		for n := range len(data) - 1 {
			if p, err := Open(data[:n], 1); err == nil && p != nil {
				_, _ = p.Decode() // no panic
			}
		}
	}
}

// frames is a GIF of pictures in which one more column is black each time.
func frames(t testing.TB, n int) []byte {
	g := gif.GIF{}
	for i := range n {
		img := image.NewPaletted(image.Rect(0, 0, 20, 16), color.Palette{color.White, color.Black})
		for y := range 16 {
			for x := range i + 1 {
				img.SetColorIndex(x, y, 1)
			}
		}
		g.Image = append(g.Image, img)
		g.Delay = append(g.Delay, 10)
	}
	var b bytes.Buffer
	if err := gif.EncodeAll(&b, &g); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestGIFPages(t *testing.T) {
	data := frames(t, 3)
	for page := 1; page <= 3; page++ {
		p, err := Open(data, page)
		if err != nil || p.Pages != 3 || p.W != 20 || p.H != 16 {
			t.Fatalf("page %d: %+v, %v", page, p, err)
		}
		img, err := p.Decode()
		if err != nil || !dark(img, (float64(page)-0.5)/20, 0.5) || dark(img, (float64(page)+0.5)/20, 0.5) {
			t.Errorf("page %d shows another picture: %v", page, err)
		}
	}
	if _, err := Open(data, 4); !errors.Is(err, ErrNoPage) {
		t.Errorf("page 4: %v", err)
	}
}

// TestLyingSizes states sizes that the files cannot hold.
func TestLyingSizes(t *testing.T) {
	g := frames(t, 1)
	at := bytes.IndexByte(g[13+tableBytes(g[10]):], ',') + 13 + tableBytes(g[10])
	copy(g[at+5:], []byte{0xff, 0xff, 0xff, 0xff})
	var b bytes.Buffer
	if err := bmp.Encode(&b, image.NewGray(image.Rect(0, 0, 16, 16))); err != nil {
		t.Fatal(err)
	}
	m := b.Bytes()
	copy(m[18:], []byte{0, 0x40, 0, 0, 0, 0x40, 0, 0})
	for name, data := range map[string][]byte{"gif": g, "bmp": m} {
		if _, err := Open(data, 1); !errors.Is(err, io.ErrUnexpectedEOF) {
			t.Errorf("%s: %v", name, err)
		}
	}
	moving := append([]byte("RIFF\x12\x00\x00\x00WEBPANIM\x06\x00\x00\x00"), make([]byte, 6)...)
	if _, err := Open(moving, 1); !errors.Is(err, ErrMoving) {
		t.Errorf("a moving WebP: %v", err)
	}
}

// fuzz holds a format to what Open promises: a picture has the size that it said.
func fuzz(f *testing.F, is func([]byte) bool, more ...[]byte) {
	for _, data := range samples(f) {
		if is(data) {
			more = append(more, data)
		}
	}
	for _, data := range more {
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		if !is(data) {
			return
		}
		p, err := Open(data, 1)
		if err != nil || p.W*p.H > 1<<20 {
			return
		}
		if img, err := p.Decode(); err == nil && (img.Bounds().Dx() != p.W || img.Bounds().Dy() != p.H) {
			t.Fatalf("%v, want %d x %d", img.Bounds(), p.W, p.H)
		}
	})
}

func FuzzGIF(f *testing.F)  { fuzz(f, isGIF, frames(f, 1), frames(f, 3)) }
func FuzzBMP(f *testing.F)  { fuzz(f, isBMP) }
func FuzzWebP(f *testing.F) { fuzz(f, isWebP) }
