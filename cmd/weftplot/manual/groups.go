package manual

import "slices"

// What the settings of a job are about, as a maker thinks of them.
const (
	theRug     = "the rug"
	theDesign  = "the design and its words"
	theCloth   = "the cloth"
	theMachine = "the machine and its pens"
	theOrder   = "the order of the lines"
	onPaper    = "on paper"
	theOutput  = "what comes out"
)

// MostUsed are the flags that most jobs are made with.
var MostUsed = []string{"width", "border", "craft", "transfer", "backing", "count", "margin", "machine", "pen", "out"}

// grouped has the settings and flags of each group, in the order in which they are
// listed.
var grouped = []struct {
	group string
	names []string
}{
	{theRug, []string{"width", "height", "border", "clearance", "repeat", "repeat-height", "repeat-gap", "repeat-give", "repeat-corner", "craft", "transfer", "ticks", "hem", "fold", "cut", "copies", "names", "gauge"}},
	{theCloth, []string{"backing", "count", "margin", "marks", "marks-for", "fit", "snap", "no-snap", "snap-for", "stripes", "stripes-for", "diagonals", "channel", "cloth", "gap", "turn"}},
	{theMachine, []string{"machine", "language", "pen", "pen-for", "at", "lay", "panels", "lap"}},
	{theDesign, []string{"units", "skip", "dashes", "unite", "font", "alphabet", "words", "words-at", "words-height", "words-shift"}},
	{theOrder, []string{"first", "effort", "least", "tolerance", "keep-doubles", "through-crossings"}},
	{onPaper, []string{"print", "print-margin", "printer-scale", "overlap", "print-line", "print-grey", "border-on", "iron"}},
	{theOutput, []string{"out", "pixels", "replace", "really", "json", "quiet"}},
}

// otherwise is the group of flags that are in no other one.
const otherwise = "more"

// Group puts a page's flags in groups, the most used ones marked.
func Group(flags []Flag) []Flag {
	var out []Flag
	for _, g := range grouped {
		for _, name := range g.names {
			if i := slices.IndexFunc(flags, func(f Flag) bool { return f.Names[0] == name }); i >= 0 {
				f := flags[i]
				f.Group, f.First = g.group, slices.Contains(MostUsed, name)
				out = append(out, f)
			}
		}
	}
	for _, f := range flags {
		if !slices.ContainsFunc(out, func(o Flag) bool { return o.Names[0] == f.Names[0] }) {
			f.Group = otherwise
			out = append(out, f)
		}
	}
	return out
}
