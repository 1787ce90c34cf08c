package hpgl

import (
	"math"
	"slices"
	"strings"

	"weftplot/paths"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// onlyTwo are instructions that HP-GL/2 has and HP-GL has not.
var onlyTwo = map[string]bool{"AT": true, "BP": true, "BR": true, "BZ": true, "EC": true, "MG": true, "NP": true, "PC": true, "PE": true, "PS": true, "PW": true, "RT": true, "WU": true}

// quiet are instructions that change nothing of what is drawn.
var quiet = map[string]bool{"AP": true, "AS": true, "BP": true, "CT": true, "IM": true, "QL": true, "VA": true, "VN": true}

// ofLooks are instructions that are not followed and that say only how labels,
// fillings or a raster's lines look, so that a pen draws the same without them.
// Labels and fillings themselves are doubts.
var ofLooks = func() map[string]bool {
	all := map[string]bool{}
	for _, name := range strings.Fields("AC AD CA CF CM CR CS DI DR DS DV ES FI FN FT IV LA LM LO MC NP PC PP PT PW RF SA SB SD SI SL SR SS SV TD TL TR WU") {
		all[name] = true
	}
	return all
}()

// notDrawn are instructions that are not followed here, and what they are about.
var notDrawn = map[string]string{
	"AC": "where a filling is anchored", "AD": "another font", "CA": "a character set", "CF": "the look of characters", "CM": "a character set",
	"CP": "a move by characters", "CR": "the range of colours", "CS": "a character set", "DC": "digitising", "DI": "the direction of labels",
	"DP": "digitising", "DR": "the direction of labels", "DS": "a character set", "DV": "the direction of labels", "EC": "a cut of the paper", "ES": "the space of characters",
	"FI": "a font", "FN": "a font", "FR": "a new frame", "FT": "a kind of filling", "IV": "a character set", "LA": "the ends of lines",
	"LM": "a character set", "LO": "where labels stand", "MC": "how colours mix", "NP": "the number of pens", "OA": "a question", "OC": "a question",
	"OD": "a question", "OE": "a question", "OF": "a question", "OG": "a question", "OH": "a question", "OI": "a question", "OK": "a question",
	"OL": "a question", "OO": "a question", "OP": "a question", "OS": "a question", "OT": "a question", "OW": "a question",
	"PB": "a label that is kept", "PC": "the colour of a pen", "PG": "a new page", "PP": "where points of pixels lie", "PS": "the size of the plot", "PT": "the thickness of a pen",
	"PW": "the width of a pen", "RF": "a pattern of filling", "RP": "a copy", "SA": "a character set", "SB": "the kind of characters",
	"SD": "a font", "SI": "the size of labels", "SL": "the slant of labels", "SR": "the size of labels", "SS": "a character set",
	"SV": "a screen of filling", "TD": "how labels are read", "TL": "the length of ticks", "TR": "transparency", "UC": "a drawn character",
	"UL": "a kind of line", "WU": "the unit of pen widths", "XT": "a tick", "YT": "a tick",
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
		if r.symbol() {
			r.doubt("not-drawn", "symbols at the points are not drawn")
		}
	case "PE":
		r.encoded()
	case "BL", "CO", "MG", "WD":
		r.notes.Add("not-drawn", r.startLine, "the text of %s is not drawn", name)
		r.skipText(name)
	case "BP":
		r.skipText(name)
	default:
		p := r.numbers()
		if do, ok := instructions[name]; ok {
			do(r, p)
		} else {
			r.noteUnused(name)
		}
	}
	r.endBlocks(first)
}

// instructions are those that are followed and have numbers for parameters.
var instructions = map[string]func(r *reader, p []float64){
	"IN": func(r *reader, _ []float64) { r.defaults(true) },
	"DF": func(r *reader, _ []float64) { r.defaults(false) },
	"SP": (*reader).selectPen,
	"PU": func(r *reader, p []float64) { r.penTo(false, p) },
	"PD": func(r *reader, p []float64) { r.penTo(true, p) },
	"PA": func(r *reader, p []float64) { r.count(false, p) },
	"PR": func(r *reader, p []float64) { r.count(true, p) },
	"AA": func(r *reader, p []float64) { r.arc(false, p) },
	"AR": func(r *reader, p []float64) { r.arc(true, p) },
	"AT": func(r *reader, p []float64) { r.arcThrough(false, p) },
	"RT": func(r *reader, p []float64) { r.arcThrough(true, p) },
	"BZ": func(r *reader, p []float64) { r.bezier(false, p) },
	"BR": func(r *reader, p []float64) { r.bezier(true, p) },
	"CI": (*reader).circle,
	"EA": func(r *reader, p []float64) { r.rectangle(false, false, p) },
	"ER": func(r *reader, p []float64) { r.rectangle(false, true, p) },
	"RA": func(r *reader, p []float64) { r.rectangle(true, false, p) },
	"RR": func(r *reader, p []float64) { r.rectangle(true, true, p) },
	"EW": func(r *reader, p []float64) { r.wedge(false, p) },
	"WG": func(r *reader, p []float64) { r.wedge(true, p) },
	"PM": (*reader).polygonMode,
	"EP": func(r *reader, _ []float64) { r.edges(false) },
	"FP": func(r *reader, _ []float64) { r.edges(true) },
	"LT": (*reader).lineType,
	"VS": (*reader).speed,
	"FS": (*reader).force,
	"IP": (*reader).scalingPoints,
	"IR": (*reader).relativePoints,
	"RO": (*reader).rotate,
	"SC": (*reader).scaling,
	"IW": (*reader).setWindow,
	"NR": func(r *reader, _ []float64) { r.add(program.Block{Kind: program.Pause, Text: pauseText}) },
}

// pauseText is what a pause is for, which the language cannot say.
const pauseText = "the program waits here, by NR"

// IsInstruction reports whether two letters, large or small, are the name of an
// instruction of HP-GL or HP-GL/2, followed by [Read] or not.
func IsInstruction(name string) bool {
	name = strings.ToUpper(name)
	_, followed := instructions[name]
	_, known := notDrawn[name]
	return followed || known || quiet[name] || slices.Contains(withText, name)
}

// withText are the instructions whose parameters are not all numbers.
var withText = []string{"BL", "BP", "CO", "DT", "LB", "MG", "PE", "SM", "WD"}

// noteUnused notes an instruction that is not followed, if that has a bearing on
// what is drawn, or that there is no such instruction.
func (r *reader) noteUnused(name string) {
	if what, ok := notDrawn[name]; ok && ofLooks[name] {
		r.notes.Add("not-drawn", r.startLine, "%s, %s, is not followed", name, what)
	} else if ok {
		r.doubt("not-drawn", "%s, %s, is not followed", name, what)
	} else if !quiet[name] {
		r.known--
		r.strays++
		if r.firstStray == 0 {
			r.firstStray = r.startLine
		}
		r.doubt("unknown-word", "%s is no instruction that is known", name)
	}
}

// penTo does PU and PD: the pen, and then the moves.
func (r *reader) penTo(down bool, p []float64) {
	r.lift(down)
	r.coordinates(p)
}

// count does PA and PR: how coordinates count from then on, and then the moves.
func (r *reader) count(relative bool, p []float64) {
	r.relative = relative
	r.coordinates(p)
}

// lineType notes LT with a pattern.
func (r *reader) lineType(p []float64) {
	if len(p) > 0 {
		r.doubt("line-type", "lines that LT breaks into dashes are shown whole")
	}
}

// defaults sets what IN and DF do: 7470A, 2-9.
func (r *reader) defaults(all bool) {
	r.endPolygon()
	r.polygon = polygon{}
	r.relative, r.terminator = false, etx
	r.scaled, r.user, r.window = false, paths.Identity(), paths.EmptyRect()
	if all {
		r.lift(false)
		r.feed = 0
		r.rotate(nil)
		r.frame = r.frame.reset()
	}
}

func (r *reader) selectPen(p []float64) {
	n := 0
	if len(p) > 0 && p[0] >= 0 && p[0] < 1000 {
		n = int(p[0])
	} else if len(p) > 0 {
		r.doubt("out-of-range", "there is no pen %g", p[0])
	}
	r.lift(false)
	r.add(program.Block{Kind: program.Pen, Number: n})
}

// force does FS, the pen force in the plotter's own steps, directly after a pen is
// taken. Anywhere else it is not followed.
func (r *reader) force(p []float64) {
	n := len(r.out.Blocks)
	switch {
	case len(p) == 0:
		return
	case n == 0 || r.out.Blocks[n-1].Kind != program.Pen || len(p) > 1:
		r.doubt("force", "a pen force is followed only directly after the pen is taken")
		return
	case !(p[0] >= 0 && p[0] <= profiles.MaxForce):
		r.doubt("out-of-range", "a pen force of %g is none", p[0])
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
		r.doubt("out-of-range", "a speed of %g cm/s is none", p[0])
	default:
		if len(p) > 1 {
			r.doubt("speed-of-a-pen", "a speed for one pen alone is taken for all")
		}
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
		r.doubt("odd-coordinates", "a coordinate has no partner and is left out")
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
