package dxf

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"weftplot/paths"
)

// lettering is a text in a drawing: lines of words on a plane in space. Groups and
// codes are those of the DXF reference, entities TEXT and MTEXT.
type lettering struct {
	raw      []byte
	many     bool // MTEXT: several lines, formatted by codes
	at       vec
	height   float64
	turn     float64 // degrees
	dir      vec     // of the base line, where it is given; it wins over turn
	anchor   paths.Anchor
	rise     float64 // of the base line above at, in heights; of several lines see high
	high     float64 // what of the block of several lines is above at: 0 none, 1 all
	pitch    float64 // between base lines, in heights
	mirrored bool
	normal   vec
}

func (*lettering) count() int { return 0 }

// capitalsDrop is how far the bottom of a line is below its base line, in heights:
// common practice for descenders.
const capitalsDrop = 0.3

func buildText(e *record) body {
	t := &lettering{
		raw: e.text(1), at: e.vec(10), height: e.float(40, 0), turn: e.float(50, 0), normal: normalOf(e),
		mirrored: e.whole(71, 0)&2 != 0,
	}
	if e.whole(71, 0)&4 != 0 { // upside down and not backwards is mirrored about the base line
		t.mirrored = !t.mirrored
		t.turn += 180
	}
	across, up := e.whole(72, 0), e.whole(73, 0)
	t.anchor = map[int]paths.Anchor{1: paths.AnchorMiddle, 2: paths.AnchorEnd, 4: paths.AnchorMiddle}[across]
	t.rise = map[int]float64{1: capitalsDrop, 2: -0.5, 3: -1}[up]
	if across == 4 {
		t.rise = -0.5
	}
	second := e.vec(11)
	switch {
	case across == 3 || across == 5: // between two points
		t.dir = vec{second.x - t.at.x, second.y - t.at.y, 0}
	case across != 0 || up != 0:
		t.at = second
	}
	return t
}

func buildManyLines(e *record) body {
	t := &lettering{many: true, at: e.vec(10), height: e.float(40, 0), turn: e.float(50, 0), dir: e.vec(11), normal: normalOf(e), pitch: 5. / 3}
	for _, g := range e.groups {
		if g.code == 3 || g.code == 1 {
			t.raw = append(t.raw, e.value(g)...)
		}
	}
	t.pitch *= e.float(44, 1)
	place := max(1, min(9, e.whole(71, 1))) - 1
	t.anchor = paths.Anchor(place % 3)
	t.high = []float64{0, 0.5, 1}[place/3]
	t.rise = []float64{-1, -0.5, 0}[place/3]
	return t
}

func (t *lettering) draw(d *draught, m space) {
	r, e := d.r, d.e
	lines, formatted := []string{plainOf(r.decoded(string(t.raw)))}, false
	if t.many {
		lines, formatted = linesOf(r.decoded(string(t.raw)))
	}
	turn := t.turn * math.Pi / 180
	if t.dir != (vec{}) {
		turn = math.Atan2(t.dir.y, t.dir.x)
	}
	onPage := moved(vec{z: t.at.z}).then(planeOf(t.normal)).then(m).fromAbove()
	sin, cos := math.Sincos(turn)
	for i, line := range lines {
		if line = strings.TrimSpace(line); line == "" {
			continue
		}
		up := t.height * (t.rise + t.pitch*(t.high*float64(len(lines)-1)-float64(i)))
		w := paths.Words{
			Text: line, Anchor: t.anchor, Height: t.height, Turn: turn,
			At: paths.Point{X: t.at.x - sin*up, Y: t.at.y + cos*up},
		}.Transform(onPage)
		w.Element, w.Line, w.Colour, w.Width = e.kind, e.line, d.c.colour, e.width
		if why := t.undrawable(w, onPage); why != "" {
			r.note(e, "text-not-drawn", func(n int) string {
				return fmt.Sprintf("%s not drawn: %s. The first reads %q.", are(n, e.kind), why, excerpt([]byte(line)))
			})
			return
		}
		r.kept = append(r.kept, inkedWords{w, d.c.layer})
	}
	if formatted {
		r.note(e, "size-not-applied", func(n int) string {
			return fmt.Sprintf("%s with letters of several sizes, widths or slants, and drawn in one.", are(n, e.kind))
		})
	}
}

// undrawable says why words are not drawn, "" where they are.
func (t *lettering) undrawable(w paths.Words, m paths.Affine) string {
	switch {
	case (m.Det() < 0) != t.mirrored:
		return "it stands mirrored; write it so that it reads right: the job mirrors words with all else where the craft asks for it"
	case !(w.Height > 0) || math.IsInf(w.Height, 0) || !w.At.IsFinite() || max(math.Abs(w.At.X), math.Abs(w.At.Y), w.Height) > farthest:
		return "it has no height, or no place, that can be drawn"
	}
	return ""
}

// inkedWords are words with the layer that they are on.
type inkedWords struct {
	paths.Words
	layer string
}

// plainOf returns the text of a TEXT without its codes.
func plainOf(s string) string {
	var b strings.Builder
	for s != "" {
		r, n := code(s)
		if n == 0 {
			n = strings.IndexAny(s[1:], `%\`) + 1
			if n == 0 {
				n = len(s)
			}
			r = s[:n]
		}
		b.WriteString(r)
		s = s[n:]
	}
	return b.String()
}

// code returns the character that a code at the front of s stands for, and the
// code's length; 0 where there is none.
func code(s string) (string, int) {
	if len(s) >= 7 && s[:3] == `\U+` {
		if v, err := strconv.ParseUint(s[3:7], 16, 16); err == nil {
			return string(rune(v)), 7
		}
	}
	if len(s) < 3 || s[:2] != "%%" {
		return "", 0
	}
	if len(s) >= 5 {
		if v, err := strconv.Atoi(s[2:5]); err == nil && v >= 32 {
			return string(rune(v)), 5
		}
	}
	switch s[2] {
	case 'd', 'D':
		return "°", 3
	case 'p', 'P':
		return "±", 3
	case 'c', 'C':
		return "Ø", 3
	case '%':
		return "%", 3
	case 'u', 'U', 'o', 'O', 'k', 'K': // lines under, over and through it
		return "", 3
	}
	return "", 0
}

// linesOf returns the lines of an MTEXT without its codes, and whether they ask
// for other sizes or slants.
func linesOf(s string) (lines []string, formatted bool) {
	var b strings.Builder
	for s != "" {
		if r, n := code(s); n > 0 {
			b.WriteString(r)
			s = s[n:]
			continue
		}
		c := s[0]
		switch {
		case c == '{' || c == '}':
			s = s[1:]
		case strings.HasPrefix(s, "^I"):
			b.WriteByte(' ')
			s = s[2:]
		case strings.HasPrefix(s, "^J") || strings.HasPrefix(s, `\P`) || strings.HasPrefix(s, `\X`):
			lines = append(lines, b.String())
			b.Reset()
			s = s[2:]
		case c == '\\' && len(s) > 1:
			text, n := command(s)
			formatted = formatted || strings.ContainsRune("HWQT", rune(s[1]))
			b.WriteString(text)
			s = s[n:]
		default:
			b.WriteByte(c)
			s = s[1:]
		}
	}
	return append(lines, b.String()), formatted
}

// command returns what a command of an MTEXT at the front of s writes, and its
// length.
func command(s string) (text string, n int) {
	switch s[1] {
	case '\\', '{', '}':
		return s[1:2], 2
	case '~':
		return "\u00a0", 2
	case 'L', 'l', 'O', 'o', 'K', 'k', 'N':
		return "", 2
	}
	end := strings.IndexByte(s, ';')
	if end < 0 {
		end = len(s) - 1
	}
	if s[1] == 'S' { // a fraction, over one another
		return strings.NewReplacer("^", "/", "#", "/").Replace(strings.TrimSuffix(s[2:end+1], ";")), end + 1
	}
	return "", end + 1
}
