package hpgl

import (
	"math"

	"weftplot/paths"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// onlyTwo are instructions that HP-GL/2 has and HP-GL has not.
var onlyTwo = map[string]bool{"PE": true, "PW": true, "WU": true, "AT": true, "RO": true, "BP": true, "NP": true, "PC": true, "MG": true, "EC": true, "RT": true, "BZ": true, "BR": true, "PS": true}

// quiet are instructions without a bearing on what is drawn where.
var quiet = map[string]bool{"AS": true, "BP": true, "PS": true, "LT": true}

// notDrawn are instructions that draw or mean something which is not followed
// here.
var notDrawn = map[string]string{
	"BL": "a label", "CO": "a remark", "CS": "a character set", "DI": "the direction of labels", "DR": "the direction of labels",
	"FT": "a kind of filling", "PT": "the thickness of a pen", "SI": "the size of labels", "SR": "the size of labels",
	"SL": "the slant of labels", "TL": "the length of ticks", "XT": "a tick", "YT": "a tick", "WG": "a filled wedge", "EW": "the edge of a wedge",
	"PM": "a polygon", "FP": "a filled polygon", "EP": "the edge of a polygon", "PW": "the width of a pen", "WU": "the unit of pen widths",
	"AT": "an arc through three points", "RT": "an arc through three points", "BZ": "a curve", "BR": "a curve", "RO": "a turn of the axes",
	"CA": "a character set", "SA": "a character set", "SS": "a character set", "CP": "a move by characters", "UC": "a drawn character",
	"NP": "the number of pens", "PC": "the colour of a pen", "MG": "a message", "EC": "a cut of the paper", "RP": "a copy", "PG": "a new page",
	"OA": "a question", "OC": "a question", "OD": "a question", "OE": "a question", "OF": "a question", "OH": "a question", "OI": "a question",
	"OO": "a question", "OP": "a question", "OS": "a question", "OW": "a question", "DP": "digitising", "DC": "digitising", "IM": "the error mask",
	"VA": "adaptive speed", "VN": "plain speed", "AP": "automatic pen lifting", "TR": "transparency", "UL": "a kind of line", "LA": "line ends",
}

// instruction does one instruction, its name already read.
func (r *reader) instruction(name string) {
	first := len(r.out.Blocks)
	r.known++
	r.two = r.two || onlyTwo[name]
	switch name {
	case "LB":
		r.label()
	case "DT":
		r.labelEnd()
	case "SM":
		r.symbol()
	case "PE":
		r.encoded()
	case "CO", "MG", "BL", "WD":
		r.words(name)
	default:
		r.params = r.numbers(r.params[:0])
		r.plain(name, r.params)
	}
	r.endBlocks(first)
}

// plain does an instruction that has numbers for its parameters.
func (r *reader) plain(name string, p []float64) {
	switch name {
	case "IN", "DF":
		r.defaults(name == "IN")
	case "SP":
		r.selectPen(p)
	case "PU", "PD":
		r.lift(name == "PD")
		r.coordinates(p)
	case "PA", "PR":
		r.relative = name == "PR"
		r.coordinates(p)
	case "AA", "AR":
		r.arc(name == "AR", p)
	case "CI":
		r.circle(p)
	case "EA", "ER", "RA", "RR":
		r.rectangle(name, p)
	case "VS":
		r.speed(p)
	case "FS":
		r.force(p)
	case "IP":
		r.scalingPoints(p)
	case "SC":
		r.scaling(p)
	case "IW":
		r.setWindow(p)
	case "NR":
		r.add(program.Block{Kind: program.Pause})
	default:
		if what, ok := notDrawn[name]; ok {
			r.notes.Add("not-drawn", r.startLine, "%s, %s, is not followed", name, what)
		} else if !quiet[name] {
			r.known--
			r.strays++
			if r.firstStray == 0 {
				r.firstStray = r.startLine
			}
			r.notes.Add("unknown-word", r.startLine, "%s is no instruction that is known", name)
		}
	}
}

// defaults sets what IN and DF do: 7470A, 2-9.
func (r *reader) defaults(all bool) {
	r.relative, r.terminator = false, etx
	r.scaled, r.user, r.window = false, paths.Identity(), paths.EmptyRect()
	if all {
		r.lift(false)
		r.feed = 0
		r.frame = r.frame.reset()
	}
}

func (r *reader) selectPen(p []float64) {
	n := 0
	if len(p) > 0 && p[0] >= 0 && p[0] < 1000 {
		n = int(p[0])
	}
	r.lift(false)
	r.add(program.Block{Kind: program.Pen, Number: n})
}

// force takes FS, the pen force in the plotter's own steps, for the pen that was
// taken just before. Elsewhere it has no bearing on what is drawn where.
func (r *reader) force(p []float64) {
	n := len(r.out.Blocks)
	if n == 0 || len(p) == 0 || r.out.Blocks[n-1].Kind != program.Pen || !(p[0] >= 0 && p[0] <= profiles.MaxForce) {
		return
	}
	r.out.Blocks[n-1].Force = int(p[0])
}

// speed takes VS, in cm/s; 0 acts as the slowest, 0.38: 7470A, 3-3.
func (r *reader) speed(p []float64) {
	switch {
	case len(p) == 0:
		r.feed = 0
	case p[0] < 0 || p[0] >= 128:
		r.notes.Add("out-of-range", r.startLine, "a speed of %g cm/s is none", p[0])
	default:
		r.feed = max(p[0], minSpeed(p[0])) * 10 * r.slow
	}
}

func minSpeed(v float64) float64 {
	if v == 0 {
		return 0.38
	}
	return 0
}

// coordinates goes to each pair in turn. An odd one at the end is an error, but
// the pairs before it count: 7470A, 3-2.
func (r *reader) coordinates(p []float64) {
	if len(p)%2 == 1 {
		r.notes.Add("odd-coordinates", r.startLine, "a coordinate has no partner and is left out")
	}
	for i := 0; i+1 < len(p); i += 2 {
		r.lineTo(r.place(p[i], p[i+1], r.relative))
	}
}

// place returns the position of a pair of parameters, in plotter units. Without
// scaling an HP-GL plotter cuts a number to the whole unit below: 7470A, 3-4.
func (r *reader) place(x, y float64, relative bool) paths.Point {
	q := paths.Point{X: x, Y: y}
	if r.scaled {
		p := r.user.Apply(q)
		if relative {
			return r.at.Add(p.Sub(r.user.Apply(paths.Point{})))
		}
		return p
	}
	if !r.two {
		q = paths.Point{X: math.Floor(x), Y: math.Floor(y)}
	}
	if relative {
		return r.at.Add(q)
	}
	return q
}

// arc does AA and AR: 7470A, 3-17 and 3-20. The sweep is in degrees,
// counter-clockwise above 0.
func (r *reader) arc(relative bool, p []float64) {
	if len(p) < 3 {
		r.notes.Add("missing-parameters", r.startLine, "an arc needs its centre and its angle")
		return
	}
	centre := r.place(p[0], p[1], relative)
	sweep := max(-360, min(360, p[2])) * math.Pi / 180
	if sweep == 0 || centre == r.at {
		return
	}
	r.turn(centre, sweep)
	r.noteChords(p[3:], r.at.Dist(centre))
}

// turn draws or travels from where the pen is about a centre. With uneven
// scaling the circle is one of user units: PCL 5, 20-10.
func (r *reader) turn(centre paths.Point, sweep float64) {
	inv, ok := r.user.Inverse()
	if !r.scaled || !ok {
		r.along(arcFrom(r.at, centre, sweep))
		return
	}
	pieces := arcFrom(inv.Apply(r.at), inv.Apply(centre), sweep).Transform(r.user)
	start := r.at
	for i, c := range pieces {
		end := c.End()
		if i == len(pieces)-1 && math.Abs(sweep) >= 2*math.Pi {
			end = start
		}
		r.along(between(c, r.at, end))
	}
}

// arcFrom returns the arc from a point about a centre. Its end is rounded to a
// millionth, so that quarter turns of whole numbers are whole.
func arcFrom(from, centre paths.Point, sweep float64) paths.Arc {
	d := from.Sub(centre)
	a := paths.ArcAround(centre, d.Len(), d.Angle(), sweep)
	a.From = from
	if math.Abs(sweep) >= 2*math.Pi {
		a.To = from
	} else {
		a.To = paths.Point{X: math.Round(a.To.X*1e6) / 1e6, Y: math.Round(a.To.Y*1e6) / 1e6}
	}
	return a
}

// between returns c with its ends put exactly where they belong; they miss it by
// rounding at most.
func between(c paths.Curve, from, to paths.Point) paths.Curve {
	switch c := c.(type) {
	case paths.Arc:
		c.From, c.To = from, to
		return c
	case paths.Cubic:
		c.A, c.D = from, to
		return c
	}
	return c
}

// noteChords tells when the plotter's own chords, five degrees unless given,
// stand off the arc by more than a twentieth of a mm.
func (r *reader) noteChords(p []float64, radius float64) {
	chord := 5.0
	if len(p) > 0 && p[0] != 0 {
		chord = min(180, math.Abs(p[0]))
	}
	if off := radius * r.unit.MeanScale() * (1 - math.Cos(chord*math.Pi/360)); off > 0.05 {
		r.notes.Once("coarse-arc", r.startLine, "the plotter draws this arc in chords of %g degrees, up to %.2f mm off", chord, off)
	}
}

// circle does CI: the pen is at the centre, and returns there as it was; the
// sign of the radius picks the side it starts on: 7470A, 3-12.
func (r *reader) circle(p []float64) {
	if len(p) == 0 || p[0] == 0 {
		return
	}
	centre, down := r.at, r.down
	start := r.place(p[0], 0, true)
	r.lift(false)
	r.lineTo(start)
	if r.at != start {
		return // it cannot be numbered
	}
	r.lift(true)
	r.turn(centre, 2*math.Pi)
	r.noteChords(p[1:], start.Dist(centre))
	r.lift(false)
	r.lineTo(centre)
	r.lift(down)
}

// rectangle does the four of them: EA and ER draw the edge, RA and RR fill, of
// which the edge is shown. The pen returns to where it was, as it was.
func (r *reader) rectangle(name string, p []float64) {
	if len(p) < 2 {
		r.notes.Add("missing-parameters", r.startLine, "a rectangle needs its corner")
		return
	}
	if name[0] == 'R' {
		r.notes.Once("filled", r.startLine, "filled areas are shown by their edge")
	}
	a, down := r.at, r.down
	b := r.place(p[0], p[1], name[1] == 'R')
	r.lift(true)
	r.lineTo(paths.Point{X: b.X, Y: a.Y})
	r.lineTo(b)
	r.lineTo(paths.Point{X: a.X, Y: b.Y})
	r.lineTo(a)
	r.lift(down)
}

// label skips a label, which ends at its terminator only: 7470A, 5-6.
func (r *reader) label() {
	r.notes.Add("label", r.startLine, "a label is not drawn")
	if !r.through(r.terminator) {
		r.notes.Add("unterminated-label", r.startLine, "the label does not end, and takes in the rest of the program")
	}
}

// labelEnd takes the terminator that DT sets; NUL, ESC, LF, CR, ENQ and the
// semicolon cannot be one: 7470A, 5-7.
func (r *reader) labelEnd() {
	r.terminator = etx
	if r.pos >= len(r.text) {
		return
	}
	switch c := r.text[r.pos]; c {
	case ';':
	case 0, 5, '\n', '\r', esc:
	default:
		r.terminator = c
		r.pos++
	}
	r.params = r.numbers(r.params[:0])
}

// symbol skips the character that SM puts at each point.
func (r *reader) symbol() {
	if r.pos < len(r.text) && r.text[r.pos] != ';' {
		r.notes.Add("not-drawn", r.startLine, "symbols at the points are not drawn")
		r.step()
	}
	r.params = r.numbers(r.params[:0])
}

// words skips an instruction with text in quotes or up to its semicolon.
func (r *reader) words(name string) {
	r.notes.Add("not-drawn", r.startLine, "the text of %s is not drawn", name)
	if r.skipSpace(); r.pos < len(r.text) && r.text[r.pos] == '"' {
		r.pos++
		r.through('"')
		return
	}
	r.through(';')
}
