package text_test

import (
	"fmt"

	"golang.org/x/image/font/gofont/goregular"

	"weftplot/paths"
	"weftplot/paths/svg/text"
)

// sign is a text of one span.
type sign struct{ look text.Look }

func (s sign) Look(int) text.Look      { return s.look }
func (s sign) Missing(_ int, r rune)   { fmt.Printf("no letter for %q\n", r) }
func (s sign) Failed(_ int, err error) { fmt.Println(err) }

// bounds is a pen that only records how far it goes.
type bounds struct{ paths.Rect }

func (b *bounds) MoveTo(p paths.Point)        { b.Rect = b.Include(p) }
func (b *bounds) LineTo(p paths.Point)        { b.Rect = b.Include(p) }
func (b *bounds) QuadTo(_, p paths.Point)     { b.Rect = b.Include(p) }
func (b *bounds) CubicTo(_, _, p paths.Point) { b.Rect = b.Include(p) }
func (b *bounds) Close()                      {}

func ExampleLayOut() {
	fonts, bad := text.Load([]text.Font{{File: "goregular.ttf", Data: goregular.TTF}})
	if bad != nil {
		fmt.Println(bad)
		return
	}
	face, _ := fonts.For("Twine, serif", false, false)
	var chars []text.Char
	for _, r := range "HI" {
		chars = append(chars, text.Char{Rune: r})
	}
	chars[0].X, chars[0].Y, chars[0].HasX, chars[0].HasY = 50, 20, true, true
	l := text.LayOut(chars, sign{text.Look{Face: face, Size: 10, Anchor: text.Middle}})
	for _, g := range l.Glyphs {
		box := bounds{paths.EmptyRect()}
		g.Outline(&box)
		m := g.Map()
		at := m.Apply(box.Min)
		fmt.Printf("a letter from x = %.2f, %.2f high\n", at.X, at.Y-m.Apply(box.Max).Y)
	}
	// Output:
	// a letter from x = 45.20, 7.23 high
	// a letter from x = 52.22, 7.23 high
}
