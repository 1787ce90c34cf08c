package job

import (
	"fmt"
	"slices"
	"strings"

	"weftplot/paths"
	"weftplot/paths/letters"
	"weftplot/paths/weave/cloth/models"
	"weftplot/plot/paper"
	"weftplot/profiles"
)

// Kind is what the text of a setting holds.
type Kind int

// The kinds of settings.
const (
	Text   Kind = iota
	Whole       // a whole number
	Number      // a number
	Switch      // true or false
	List        // several texts
)

// A Key is one setting that a person may give as text: one row says all there is
// to it.
type Key struct {
	// Name is the key in job.toml.
	Name string
	Kind Kind
	// Names reports that the setting names files, or profiles that may be files.
	Names Naming
	// Usage says in one line what it is for, with the word for its value in
	// backquotes.
	Usage string

	set func(s *Settings, texts []string) error
}

// Naming says how a setting names files.
type Naming int

// The ways in which settings name files.
const (
	NoFile      Naming = iota
	AFile              // a file
	AProfile           // a built-in profile, or a file
	FamilyFiles        // a list of FILE or FAMILY=FILE
)

// keys are all settings that can be given as text, in the order in which a list
// of them is read.
var keys = []Key{
	{"units", Text, NoFile, "what the design is drawn in, where its file does not say or is wrong (DXF): " + strings.Join(Units, ", "),
		text(func(s *Settings) *string { return &s.Units })},
	{"width", Text, NoFile, "finished `LENGTH` across, outer line to outer line; the height follows",
		rugSize(func(s *Settings) (*paths.Length, *int) { return &s.Width, &s.WidthRows })},
	{"height", Text, NoFile, "finished `LENGTH` along; the width follows",
		rugSize(func(s *Settings) (*paths.Length, *int) { return &s.Height, &s.HeightRows })},
	{"craft", Text, NoFile, "punch-needle (worked from the back) or hooking (from the front)",
		text(func(s *Settings) *Craft { return &s.Craft })},
	{"transfer", Text, NoFile, "direct (on the backing), tracing (paper under it) or iron-on (paper that the iron turns over)",
		text(func(s *Settings) *Transfer { return &s.Transfer })},
	{"backing", Text, AProfile, "`NAME` of the backing, or a file of its profile",
		text(func(s *Settings) *string { return &s.Backing })},
	{"count", Text, NoFile, "channels counted on the stretched backing, such as `12x13/in`",
		text(func(s *Settings) *string { return &s.Count })},
	{"margin", Text, NoFile, "`LENGTH` of backing left round the finished rug",
		text(func(s *Settings) *string { return &s.Margin })},
	{"border", Text, NoFile, "edge, or `ROWS` of holes left empty before each further line, such as 4 or 4,2",
		text(func(s *Settings) *string { return &s.Border })},
	{"clearance", Text, NoFile, "`ROWS` of holes kept free between the innermost border line and the artwork", setClearance},
	{"repeat", Text, NoFile, "`LAYER` whose drawing is a motif: it is repeated along all four sides, inside the border, each side facing inward",
		text(func(s *Settings) *string { return &s.Repeat })},
	{"repeat-height", Text, NoFile, "height of the motif, in rows of holes or as a `LENGTH`, such as 12rows; as drawn, if nothing is said",
		text(func(s *Settings) *string { return &s.RepeatHeight })},
	{"repeat-gap", Text, NoFile, "`ROWS` of holes left empty between motifs",
		text(func(s *Settings) *string { return &s.RepeatGap })},
	{"repeat-give", Text, NoFile, "what gives so that all sides close in whole rows: gap, motif (its width) or size (of the rug)",
		text(func(s *Settings) *string { return &s.RepeatGive })},
	{"repeat-corner", Text, NoFile, "what stands in the corners: empty, mitre (the row goes on, cut along the corner's slanting line), or a `LAYER` that is another motif",
		text(func(s *Settings) *string { return &s.RepeatCorner })},
	{"ticks", Switch, NoFile, "draw ticks outside the edge at the middle and the quarters of each side, as the layer ticks",
		toggle(func(s *Settings) *bool { return &s.Ticks })},
	{"hem", Text, NoFile, "draw the line of the hem so many `ROWS` of holes outside the edge, or margin, as the layer hem",
		text(func(s *Settings) *string { return &s.Hem })},
	{"fold", Text, NoFile, "draw the line to fold along so many `ROWS` of holes outside the edge, or margin, as the layer fold",
		text(func(s *Settings) *string { return &s.Fold })},
	{"cut", Text, NoFile, "draw the line to cut along so many `ROWS` of holes outside the edge, or margin, as the layer cut",
		text(func(s *Settings) *string { return &s.Cut })},
	{"snap", Number, NoFile, "lines within so many `DEGREES` of the weave go into a channel", setSnap},
	{"no-snap", Switch, NoFile, "leave every line where the design has it",
		toggle(func(s *Settings) *bool { return &s.NoSnap })},
	{"stripes", Text, NoFile, "even: spacings that repeat get one count of rows wherever there is room; nearest: every line goes where it is nearest",
		text(func(s *Settings) *string { return &s.Stripes })},
	{"gauge", Text, NoFile, "room that a row of loops takes, for what is said of detail, in rows of holes, loops a length or a length, such as `2rows`, 6/in or 4mm",
		text(func(s *Settings) *string { return &s.Gauge })},
	{"stripes-for", List, NoFile, "`LAYER=WAY`: even or nearest for one layer; may be repeated", addStripesFor},
	{"diagonals", Text, NoFile, "on: slanting lines meant at one over one, one over two and such go from hole to hole, their ends where channels cross; off: they follow what is round them",
		text(func(s *Settings) *string { return &s.Diagonals })},
	{"channel", List, NoFile, "`LAYER=AXIS:CHANNEL`: the line of a layer lies in this channel, such as horizon=along:96 or post=across:40, counted from the rug's lower left corner as drawn; may be repeated",
		func(s *Settings, texts []string) error { s.Channel = texts; return nil }},
	{"snap-for", List, NoFile, "`LAYER=DEGREES` or LAYER=off: another angle for one layer; may be repeated", addSnapFor},
	{"dashes", Switch, NoFile, "draw dashed lines as dashes, not whole",
		toggle(func(s *Settings) *bool { return &s.Dashes })},
	{"unite", Switch, NoFile, "draw filled shapes as the edges that are seen, overlapping ones of a colour as one",
		toggle(func(s *Settings) *bool { return &s.Unite })},
	{"font", List, FamilyFiles, "`FILE` of a font to draw text with, the family of one that is installed, or FAMILY=FILE; may be repeated",
		func(s *Settings, texts []string) error { s.Font = texts; return nil }},
	{"alphabet", Text, NoFile, "`NAME` of the single-line letters of words without a font: " + strings.Join(letters.Names(), ", "),
		text(func(s *Settings) *string { return &s.Alphabet })},
	{"words", Text, NoFile, "`TEXT` of a line of words inside the border",
		text(func(s *Settings) *string { return &s.Words })},
	{"words-at", Text, NoFile, "where they stand: bottom, top, or top,bottom",
		text(func(s *Settings) *string { return &s.WordsAt })},
	{"words-height", Text, NoFile, "height of their capitals, in rows of holes or as a `LENGTH`, such as 9rows",
		text(func(s *Settings) *string { return &s.WordsHeight })},
	{"words-shift", Text, NoFile, "`RIGHT,UP`: rows of holes that they are moved by from there, such as 4,0 or 0,-1",
		text(func(s *Settings) *string { return &s.WordsShift })},
	{"skip", List, NoFile, "`LAYER` that is not drawn; may be repeated",
		func(s *Settings, texts []string) error { s.Skip = texts; return nil }},
	{"marks", Text, AFile, "`FILE` of the registration of this piece of backing",
		text(func(s *Settings) *string { return &s.Marks })},
	{"fit", Text, NoFile, "how the marks are fitted: " + strings.Join(models.Names, ", "),
		text(func(s *Settings) *string { return &s.Fit })},
	{"at", Text, NoFile, "`LENGTH,LENGTH` from the machine's 0,0 to the rug's lower left corner as drawn", setAt},
	{"lay", Text, NoFile, "how the cloth lies on the machine: upright, or turned by a quarter, the drawing's top to the left",
		text(func(s *Settings) *string { return &s.Lay })},
	{"machine", Text, AProfile, "`NAME` of the machine, a file of its profile, or none for no program",
		text(func(s *Settings) *string { return &s.Machine })},
	{"language", Text, NoFile, "gcode, hpgl or hpgl2, where the machine reads another than its profile says",
		text(func(s *Settings) *profiles.Language { return &s.Language })},
	{"pen", Text, AProfile, "`NAME` of the pen, or a file of its profile",
		text(func(s *Settings) *string { return &s.Pen })},
	{"pen-for", List, NoFile, "`LAYER=NAME`: another pen for one layer; may be repeated", addPenFor},
	{"tolerance", Text, NoFile, "greatest `LENGTH` between the drawn line and the true one",
		size(func(s *Settings) *paths.Length { return &s.Tolerance })},
	{"print", Text, NoFile, "`PAPER` to print the pattern on at full size: " + strings.Join(paper.SizeNames(), ", "),
		text(func(s *Settings) *string { return &s.Print })},
	{"print-margin", Text, NoFile, "`LENGTH` that the printer leaves blank along the edges of the paper",
		text(func(s *Settings) *string { return &s.PrintMargin })},
	{"printer-scale", Text, NoFile, "`PERCENT` that the printer makes of a length, such as 100.4%, or across and along 100.4%x99.8%",
		text(func(s *Settings) *string { return &s.PrinterScale })},
	{"overlap", Text, NoFile, "`LENGTH` that neighbouring sheets have in common",
		size(func(s *Settings) *paths.Length { return &s.Overlap })},
	{"print-line", Text, NoFile, "`WIDTH` of the printed lines, such as 1mm; thick cloth over a light table needs more",
		size(func(s *Settings) *paths.Length { return &s.PrintLine })},
	{"print-grey", Number, NoFile, "how pale lines are printed, in `PERCENT` of white", setGrey},
	{"border-on", Text, NoFile, "machine, or cloth to leave the border to be drawn by hand along its channels",
		text(func(s *Settings) *string { return &s.BorderOn })},
	{"iron", Text, NoFile, "`AxB`, the sides of the iron's sole, such as 4x8in; none for no map of its places",
		text(func(s *Settings) *string { return &s.Iron })},
	{"copies", Whole, NoFile, "how many `COPIES` are drawn on one cloth, to be cut apart", setCopies},
	{"names", Text, AFile, "`FILE` of whom the copies are for, a name on each line; after a comma a width in channels, where it differs",
		text(func(s *Settings) *string { return &s.Names })},
	{"cloth", Text, NoFile, "`WIDTH` of the cloth for copies, between its selvedges, or WIDTHxLENGTH, such as 60inx5yd",
		text(func(s *Settings) *string { return &s.Cloth })},
	{"gap", Text, NoFile, "`LENGTH` of cloth between two finished rugs",
		text(func(s *Settings) *string { return &s.Gap })},
	{"turn", Switch, NoFile, "let copies stand turned by a quarter where that saves cloth",
		toggle(func(s *Settings) *bool { return &s.Turn })},
	{"panels", Switch, NoFile, "draw a rug that is larger than the machine in several loads, the cloth moved in between",
		toggle(func(s *Settings) *bool { return &s.Panels })},
	{"lap", Text, NoFile, "`LENGTH` by which the two parts of a line that is cut between two loads go past each other",
		size(func(s *Settings) *paths.Length { return &s.Lap })},
	{"marks-for", List, FamilyFiles, "`LOAD=FILE`: the registration of the cloth as it lies for one load; may be repeated", addMarksFor},
	{"first", List, NoFile, "`LAYER` that is drawn first, before the border; may be repeated, in the order of drawing",
		func(s *Settings, texts []string) error { s.First = texts; return nil }},
	{"effort", Text, NoFile, "quick, normal or thorough: how long to look for a shorter order",
		text(func(s *Settings) *string { return &s.Effort })},
	{"least", Text, NoFile, "what the order keeps small: travel or time",
		text(func(s *Settings) *string { return &s.Least })},
	{"keep-doubles", Switch, NoFile, "draw lines that stand twice in the design twice",
		toggle(func(s *Settings) *bool { return &s.KeepDoubles })},
	{"through-crossings", Switch, NoFile, "let the pen turn off where lines of a layer cross, for fewer lifts; a soft pen may leave a blot there",
		toggle(func(s *Settings) *bool { return &s.ThroughCrossings })},
	{"really", Switch, NoFile, "go on where the job looks wrong: a blade on backing, a pen that does not suit the transfer, words left out",
		toggle(func(s *Settings) *bool { return &s.Really })},
}

// Keys lists the settings that can be given as text.
func Keys() []Key { return slices.Clone(keys) }

// Rebase returns texts of the setting with the names of files among them as
// abs gives them: for settings that name files from another folder. The error is
// that of abs.
func (k Key) Rebase(texts []string, abs func(name string) (string, error)) ([]string, error) {
	out := slices.Clone(texts)
	for i, text := range texts {
		family, file := "", text
		switch k.Names {
		case NoFile:
			continue
		case AProfile:
			if !IsFile(text) {
				continue
			}
		case FamilyFiles:
			family, file = familyOf(text)
		}
		name, err := abs(file)
		if err != nil {
			return nil, fmt.Errorf("[%s]: %w", k.Name, err)
		}
		if out[i] = name; family != "" {
			out[i] = family + "=" + name
		}
	}
	return out, nil
}

// familyOf parts FAMILY=FILE; the family is empty where only a file is named.
func familyOf(text string) (family, file string) {
	if family, file, ok := strings.Cut(text, "="); ok {
		return family, file
	}
	return "", text
}
