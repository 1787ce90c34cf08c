package letters

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"
)

// An alphabet's source is a text with a line for each letter:
//
//	LETTER[@LO-HI] WIDTH [KEY=VALUE ...] : PATH ; PATH ...
//
// LETTER is a character or U+ and its number in hexadecimal. @LO-HI keeps the
// drawing for heights from LO to HI rows; it is preferred to one without.
//
// WIDTH is a share of the height in mm ("0.68", made an even number of
// channels; "0.9/4" a multiple of 4), or a number of channels ("=2"). "0.6<0.5"
// is also at most half as many channels as there are rows, so that diagonals
// have room.
//
// The keys name columns: top (the axis of marks above), tail (where an ogonek
// hangs), side (where a caron at the side of the letter is). entry and exit are
// rows where a joined hand comes in at the left edge and goes out at the right
// one.
//
// A PATH is "+X", the drawing of letter X, or a list of anchors; in brackets it is
// closed. An anchor is a column and a row, each with an optional offset in channels:
//
//	lb      column l, row b
//	(lb)    the corner there is round; <lb> it is cut off diagonally
//	r/  r\  from the anchor before diagonally up or down, one hole across for each
//	        along, as far as column r
//	r=      along the row of the anchor before, to column r
//	lb>ch@k where the line from lb to ch has row k
//	lb/     the path springs from a stem there: its first or last straight part is
//	        not drawn
//	rm/u    the path is drawn only from row u, or up to it
//
// Columns: l 0, r the width, c their middle, q and Q a quarter from either side,
// digits tenths of the width, rounded alike from both sides. In a joined hand t is
// the end of the joining stroke, s that of its level part, e the middle of that, S as
// far left of l as s is right of r. Rows are those of [guideRows], and three that follow from the width: D,
// where a diagonal from column r down to column l begins when its middle is to be
// that of the letter; E, as far below the cap height as the letter is wide, and F, as
// far above the base.

// guide is a column or a row of an anchor: the name of a guide and an offset in
// channels.
type guide struct {
	name byte
	off  int
}

// corner says how a path turns at an anchor.
type corner byte

const (
	sharp corner = iota
	rounded
	cut
)

// end says how much is drawn of an end of a path.
type end byte

const (
	whole  end = iota
	spring     // drawn from where the first straight part ends
	trimmed
)

// anchor is a point of a path.
type anchor struct {
	col, row guide
	// diagonal is '/' or '\\' where the row follows from a diagonal, and '='
	// where the row is that of the anchor before.
	diagonal byte
	turn     corner
	end      end
	trim     guide
	// from and to are the ends of a line that the anchor lies on.
	from, to *anchor
}

// path is a line of anchors, or another letter's drawing.
type path struct {
	anchors []anchor
	closed  bool
	include rune
}

// drawing is one line of a source.
type drawing struct {
	lo, hi int // rows of height; 0 both for any
	share  float64
	even   int     // the width is a multiple of this
	most   float64 // the width is at most this share of the rows, in channels; 0 is any
	fixed  int     // width in channels, where share is 0
	keys   map[string]guide
	paths  []path
}

// parseSource reads an alphabet. The error names the line.
func parseSource(text string) (map[rune][]drawing, error) {
	out := map[rune][]drawing{}
	for i, line := range strings.Split(text, "\n") {
		if line = strings.TrimSpace(line); line == "" || strings.HasPrefix(line, "# ") {
			continue
		}
		r, d, err := parseDrawing(line)
		if err != nil {
			return nil, fmt.Errorf("line %d: %w", i+1, err)
		}
		out[r] = append(out[r], d)
	}
	return out, nil
}

func parseDrawing(line string) (rune, drawing, error) {
	var d drawing
	fields := strings.Fields(line)
	colon := 2
	for colon < len(fields) && fields[colon] != ":" {
		colon++
	}
	if colon >= len(fields) {
		return 0, d, fmt.Errorf("%q has no paths", line)
	}
	r, err := d.parseHead(fields[0], fields[1])
	if err != nil {
		return 0, d, err
	}
	d.keys = map[string]guide{}
	for _, f := range fields[2:colon] {
		key, value, ok := strings.Cut(f, "=")
		g, rest := parseGuide(value)
		if !ok || rest != "" {
			return 0, d, fmt.Errorf("%q is no key", f)
		}
		d.keys[key] = g
	}
	for _, text := range strings.Split(strings.Join(fields[colon+1:], " "), ";") {
		if text = strings.TrimSpace(text); text == "" {
			continue
		}
		p, err := parsePath(text)
		if err != nil {
			return 0, d, err
		}
		d.paths = append(d.paths, p)
	}
	return r, d, nil
}

var widthForm = regexp.MustCompile(`^(?:=(\d+)|([0-9.]+)(?:/(\d))?(?:<([0-9.]+))?)$`)

// parseHead reads the letter, its heights and its width.
func (d *drawing) parseHead(letter, width string) (rune, error) {
	name, heights, some := strings.Cut(letter, "@")
	if some {
		if _, err := fmt.Sscanf(heights, "%d-%d", &d.lo, &d.hi); err != nil {
			return 0, fmt.Errorf("%q names no heights", letter)
		}
	}
	r, size := utf8.DecodeRuneInString(name)
	if hex, ok := strings.CutPrefix(name, "U+"); ok && hex != "" {
		v, err := strconv.ParseUint(hex, 16, 21)
		if err != nil {
			return 0, fmt.Errorf("%q is no character", name)
		}
		r, size = rune(v), len(name)
	}
	if size != len(name) || size == 0 {
		return 0, fmt.Errorf("%q is not one character", name)
	}
	m := widthForm.FindStringSubmatch(width)
	if m == nil {
		return 0, fmt.Errorf("%q is no width", width)
	}
	d.even = 2
	if m[3] != "" {
		d.even = int(m[3][0] - '0')
	}
	if m[1] != "" {
		d.fixed, _ = strconv.Atoi(m[1])
		return r, nil
	}
	var err error
	if m[4] != "" {
		if d.most, err = strconv.ParseFloat(m[4], 64); err != nil {
			return 0, err
		}
	}
	d.share, err = strconv.ParseFloat(m[2], 64)
	return r, err
}

func parsePath(text string) (path, error) {
	var p path
	if name, ok := strings.CutPrefix(text, "+"); ok {
		r, size := utf8.DecodeRuneInString(name)
		if size != len(name) {
			return p, fmt.Errorf("%q includes no letter", text)
		}
		p.include = r
		return p, nil
	}
	if inner, ok := strings.CutPrefix(text, "["); ok {
		p.closed = true
		if text, ok = strings.CutSuffix(inner, "]"); !ok {
			return p, fmt.Errorf("%q is not closed", text)
		}
	}
	for _, f := range strings.Fields(text) {
		a, err := parseAnchor(f)
		if err != nil {
			return p, err
		}
		p.anchors = append(p.anchors, a)
	}
	if len(p.anchors) < 2 {
		return p, fmt.Errorf("%q has fewer than two anchors", text)
	}
	return p, nil
}

func parseAnchor(text string) (anchor, error) {
	bad := fmt.Errorf("%q is no anchor", text)
	if line, row, ok := strings.Cut(text, "@"); ok {
		return parseOnLine(line, row, bad)
	}
	var a anchor
	s := text
	if inner, ok := strings.CutPrefix(s, "("); ok {
		if s, ok = strings.CutSuffix(inner, ")"); !ok {
			return a, bad
		}
		a.turn = rounded
	} else if inner, ok := strings.CutPrefix(s, "<"); ok {
		if s, ok = strings.CutSuffix(inner, ">"); !ok {
			return a, bad
		}
		a.turn = cut
	}
	a.col, s = parseGuide(s)
	if a.col.name == 0 || s == "" {
		return a, bad
	}
	if strings.ContainsRune(`/\=`, rune(s[0])) {
		a.diagonal, s = s[0], s[1:]
	} else if a.row, s = parseGuide(s); a.row.name == 0 {
		return a, bad
	}
	if rest, ok := strings.CutPrefix(s, "/"); ok {
		a.end, s = spring, rest
		if rest != "" {
			a.end = trimmed
			a.trim, s = parseGuide(rest)
		}
	}
	if s != "" {
		return a, bad
	}
	return a, nil
}

func parseOnLine(line, row string, bad error) (anchor, error) {
	from, to, ok := strings.Cut(line, ">")
	if !ok {
		return anchor{}, bad
	}
	a, errA := parseAnchor(from)
	b, errB := parseAnchor(to)
	g, rest := parseGuide(row)
	if errA != nil || errB != nil || g.name == 0 || rest != "" {
		return anchor{}, bad
	}
	return anchor{from: &a, to: &b, row: g}, nil
}

// parseGuide reads a guide's name and offset from the front of s and returns the
// rest. The name is 0 where there is none.
func parseGuide(s string) (guide, string) {
	if s == "" || !isName(s[0]) {
		return guide{}, s
	}
	g := guide{name: s[0]}
	s = s[1:]
	if s == "" || s[0] != '+' && s[0] != '-' {
		return g, s
	}
	n := 1
	for n < len(s) && s[n] >= '0' && s[n] <= '9' {
		n++
	}
	off, err := strconv.Atoi(s[:n])
	if err != nil {
		return guide{}, s
	}
	g.off = off
	return g, s[n:]
}

func isName(c byte) bool {
	return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9'
}
