// Package tint tells the inks of a page by their colour.
//
// [Of] gives each pixel a [Tint], and [Divide] cuts the strokes that were found on the
// page where the tint under them changes, and says which ink each is drawn with. An
// ink is called by a plain colour word, so two blue pens are one ink.
//
// It is not for pictures without colour: their one ink is "black" or "grey".
package tint

import "math"

// Tint is the colour of a pixel: how its ink absorbs light, whatever its strength.
type Tint uint8

const (
	// None is that of paper, and of what is too pale to tell.
	None Tint = iota
	// Plain is that of an ink without colour: graphite, black.
	Plain
	// first is the first of the tints with a hue: two for each, clear and dull.
	first
)

// hues is how many hues are told apart round the circle.
const hues = 72

// A pixel is ink from an absorption of inked on, and coloured where it differs from
// grey by least and by a share of its absorption. It is dull, as brown is, where it
// absorbs in all channels from this share of the most.
const (
	inked = 0.17
	least = 0.12
	share = 0.16
	dull  = 0.2
	// most is what counts of an absorption: beyond it is hardly light to tell by.
	most = 2.5
)

// Of returns the tint of a pixel that absorbs red, green and blue light so: the natural
// logarithms of what paper reflects over what it does.
func Of(a [3]float64) Tint {
	for c := range a {
		a[c] = min(most, a[c])
	}
	sum := a[0] + a[1] + a[2]
	size := math.Sqrt(a[0]*a[0] + a[1]*a[1] + a[2]*a[2])
	if size < inked {
		return None
	}
	chroma := math.Sqrt(max(0, size*size-sum*sum/3))
	if chroma < least || chroma < share*size {
		return Plain
	}
	angle := math.Atan2(math.Sqrt(3)*(a[1]-a[2]), 2*a[0]-a[1]-a[2])
	hue := (int(math.Floor(angle/(2*math.Pi)*hues)) + hues) % hues
	t := first + Tint(2*hue)
	if min(a[0], a[1], a[2]) > dull*max(a[0], a[1], a[2]) {
		t++
	}
	return t
}

// hue returns the number of a tint's hue, from 0 to hues-1. It must have one.
func (t Tint) hue() int { return int(t-first) / 2 }

func (t Tint) isDull() bool { return t >= first && (t-first)%2 == 1 }

// apart returns how many hues lie between two.
func apart(a, b int) int {
	d := (a - b + hues) % hues
	return min(d, hues-d)
}

// word is a colour word and the hue up to which it is used, in degrees. The colour of a
// pixel that absorbs red only is at 0, green only at 120, blue only at 240.
type word struct {
	name string
	upTo float64
}

// words are where people put the boundaries of colours (from memory of usual pens and
// pencils; there is no standard).
var words = []word{
	{"turquoise", 15}, {"blue", 75}, {"purple", 126}, {"pink", 150}, {"red", 200},
	{"orange", 230}, {"yellow", 264}, {"green", 345}, {"turquoise", 360},
}

// nameOf returns the colour word of a hue. Dull orange is brown, and so is dull red
// that is nearly orange.
func nameOf(hue int, isDull bool) string {
	deg := (float64(hue) + 0.5) * 360 / hues
	if isDull && deg > 186 && deg < 232 {
		return "brown"
	}
	for _, w := range words {
		if deg < w.upTo {
			return w.name
		}
	}
	return words[0].name
}

// Colours are the colours in which inks are shown, by name.
var colours = map[string]string{
	"black": "#000000", "grey": "#777777", "red": "#cc1111", "orange": "#e87400", "yellow": "#d9b500", "green": "#178a2c",
	"turquoise": "#0097a7", "blue": "#1f4fc0", "purple": "#7b2fa8", "pink": "#d6409a", "brown": "#7a4a1e",
}

// Colour returns the colour in which an ink is shown, such as "#cc1111"; black for a
// name that is none.
func Colour(name string) string {
	if c, ok := colours[name]; ok {
		return c
	}
	return colours["black"]
}
