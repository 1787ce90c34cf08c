package hpgl

import (
	"math"

	"weftplot/paths"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// onlyTwo are instructions that HP-GL/2 has and HP-GL has not.
var onlyTwo = map[string]bool{"AT": true, "BP": true, "BR": true, "BZ": true, "EC": true, "MG": true, "NP": true, "PC": true, "PE": true, "PS": true, "PW": true, "RT": true, "WU": true}

// quiet are instructions without a bearing on what is drawn where.
var quiet = map[string]bool{"AP": true, "AS": true, "BP": true, "CT": true, "IM": true, "PS": true, "QL": true, "VA": true, "VN": true}

// notDrawn are instructions that draw or mean something which is not followed
// here.
var notDrawn = map[string]string{
	"AC": "where a filling is anchored", "AD": "another font", "CA": "a character set", "CF": "the look of characters", "CM": "a character set",
	"CP": "a move by characters", "CR": "the range of colours", "CS": "a character set", "DC": "digitising", "DI": "the direction of labels",
	"DP": "digitising", "DR": "the direction of labels", "DS": "a character set", "DV": "the direction of labels", "EC": "a cut of the paper", "ES": "the space of characters",
	"FI": "a font", "FN": "a font", "FR": "a new frame", "FT": "a kind of filling", "IV": "a character set", "LA": "the ends of lines",
	"LM": "a character set", "LO": "where labels stand", "MC": "how colours mix", "NP": "the number of pens", "OA": "a question", "OC": "a question",
	"OD": "a question", "OE": "a question", "OF": "a question", "OG": "a question", "OH": "a question", "OI": "a question", "OK": "a question",
	"OL": "a question", "OO": "a question", "OP": "a question", "OS": "a question", "OT": "a question", "OW": "a question",
	"PB": "a label that is kept", "PC": "the colour of a pen", "PG": "a new page", "PP": "where points of pixels lie", "PT": "the thickness of a pen",
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
		r.symbol()
	case "PE":
		r.encoded()
	case "BL", "CO", "MG", "WD":
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
	case "AT", "RT":
		r.arcThrough(name == "RT", p)
	case "BZ", "BR":
		r.bezier(name == "BR", p)
	case "CI":
		r.circle(p)
	case "EA", "ER", "RA", "RR":
		r.rectangle(name, p)
	case "EW", "WG":
		r.wedge(name == "WG", p)
	case "PM":
		r.polygonMode(p)
	case "EP", "FP":
		r.edges(name == "FP")
	case "LT":
		if len(p) > 0 {
			r.notes.Once("line-type", r.startLine, "lines that LT breaks into dashes are shown whole")
		}
	case "VS":
		r.speed(p)
	case "FS":
		r.force(p)
	case "IP":
		r.scalingPoints(p)
	case "IR":
		r.relativePoints(p)
	case "RO":
		r.rotate(p)
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
