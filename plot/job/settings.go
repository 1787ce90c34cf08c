package job

import (
	"strings"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/order"
	"weftplot/profiles"
)

// Units are those that a design may be said to be drawn in.
var Units = []string{"mm", "cm", "m", "in", "ft"}

// Settings are everything that decides a job beside what its inputs hold. They
// are the keys of job.toml.
//
// The zero value of every field means its default, so that the zero Settings say
// the same as [Defaults]. Where 0 is a choice of its own it has a name:
// [NoClearance] for Clearance, and NoSnap for Snap.
type Settings struct {
	// Design is the file of the design. Name is the job's name; "" is the
	// design's name without its extension.
	Design string `toml:"design"`
	Name   string `toml:"name"`

	// How the design is read. Dashes draws dashed lines as dashes, else they are
	// drawn whole. Units says what a design without a unit is drawn in, one of
	// [Units]. Unite draws overlapping fills as what is seen of them. Font lists
	// files of fonts for text, or FAMILY=FILE. Skip lists layers that are not
	// drawn.
	Dashes bool     `toml:"dashes,omitempty"`
	Units  string   `toml:"units,omitempty"`
	Unite  bool     `toml:"unite,omitempty"`
	Font   []string `toml:"font,omitempty"`
	Skip   []string `toml:"skip,omitempty"`

	// Alphabet is the one of package letters that draws the design's text for want
	// of a font, and Words; "" is plain.
	Alphabet string `toml:"alphabet,omitempty"`
	// Words is a line of words inside the border. WordsAt is "bottom" (also when
	// empty), "top", or both with a comma between; WordsHeight is the height of a
	// capital, in rows or as a length: "" is [WordsHeight]. WordsShift moves them from
	// there, in channels to the right and up as the front shows them, such as "0,-2".
	Words       string `toml:"words,omitempty"`
	WordsAt     string `toml:"words-at,omitempty"`
	WordsHeight string `toml:"words-height,omitempty"`
	WordsShift  string `toml:"words-shift,omitempty"`

	// Width and Height are the finished size in mm, outer line to outer line; 0
	// follows from the other one, or from the design when both are 0.
	Width  paths.Length `toml:"width,omitempty"`
	Height paths.Length `toml:"height,omitempty"`
	// WidthRows and HeightRows are the same in rows of holes, where a person says it
	// so; 0 is none. [Settings.WithRows] turns them into lengths.
	WidthRows  int `toml:"-"`
	HeightRows int `toml:"-"`
	// Said is the system in which a person said the lengths of this job: what refuses it
	// says them so too. A job file holds mm only, so it is not kept there.
	Said paths.System `toml:"-"`

	Craft    Craft    `toml:"craft"`    // "" is PunchNeedle
	Transfer Transfer `toml:"transfer"` // "" is Direct

	// Backing is a profile by name or by file; "" is "monks-cloth". Count is what
	// was counted on it, such as "12x13/in", and Margin what is left round the rug,
	// such as "4in"; "" takes them from the profile.
	Backing string `toml:"backing"`
	Count   string `toml:"count,omitempty"`
	Margin  string `toml:"margin,omitempty"`

	// Border is "" or "none", "edge", or the rows of holes left empty before each
	// further line, such as "4,2". Clearance is how many rows stay free between
	// the innermost line and the artwork: 0 is the default of 2.
	Border    string `toml:"border,omitempty"`
	Clearance int    `toml:"clearance"`

	// Repeat is the layer whose drawing is a motif that is repeated along all sides, inside
	// the border; "" is none. RepeatHeight is how high it is, in rows or as a length; "" is
	// as drawn. RepeatGap are the rows of holes left empty between motifs; "" is
	// [RepeatGap]. RepeatGive is what gives so that all sides close: [GiveGap] (also when
	// empty), [GiveMotif] or [GiveSize]. RepeatCorner is what stands in the corners:
	// [CornerEmpty] (also when empty), [CornerMitre], or a layer that is another motif.
	Repeat       string `toml:"repeat,omitempty"`
	RepeatHeight string `toml:"repeat-height,omitempty"`
	RepeatGap    string `toml:"repeat-gap,omitempty"`
	RepeatGive   string `toml:"repeat-give,omitempty"`
	RepeatCorner string `toml:"repeat-corner,omitempty"`

	// Ticks draws short lines outwards from the edge at the middle and the quarters of
	// each side. Hem, Fold and Cut are lines round the rug, at so many rows of holes
	// outside its edge, or "margin"; "" is none. See [Settings.MakingUp].
	Ticks bool   `toml:"ticks,omitempty"`
	Hem   string `toml:"hem,omitempty"`
	Fold  string `toml:"fold,omitempty"`
	Cut   string `toml:"cut,omitempty"`

	// Snap is the greatest angle in degrees between the weave and a line that
	// goes into a channel: 0 is the default of 3. NoSnap leaves every line where
	// the design has it.
	// SnapFor has the angle of layers that want another one, or "off".
	Snap    float64           `toml:"snap"`
	NoSnap  bool              `toml:"no-snap"`
	SnapFor map[string]string `toml:"snap-for,omitempty"`

	// Diagonals says whether slanting lines that are meant at one over one, one over two
	// and such go through holes: [DiagonalsOn] (also when empty) or [DiagonalsOff].
	Diagonals string `toml:"diagonals,omitempty"`

	// Channel puts lines into channels by name, each "LAYER=across:40" or
	// "LAYER=along:12", counted from the rug's lower left corner as drawn. See
	// [Settings.NamedLines].
	Channel []string `toml:"channel,omitempty"`

	// Stripes says whether spacings that repeat stay equal: [StripesEven] (also when
	// empty) or [StripesNearest]. StripesFor has it for layers that want it otherwise.
	Stripes    string            `toml:"stripes,omitempty"`
	StripesFor map[string]string `toml:"stripes-for,omitempty"`

	// Gauge is the room that a row of loops takes, for what is said of detail: rows of
	// holes, loops a length or a length, such as "2rows", "6/in" or "4mm"; "" is
	// [DefaultGauge].
	Gauge string `toml:"gauge,omitempty"`

	// Marks is the file of the registration and Fit how it is fitted, one of
	// models.Names; "" chooses. At is the machine's place of the rug's lower left
	// corner as drawn, x and y in mm, where there are no marks; none is the middle
	// of the machine.
	Marks string         `toml:"marks,omitempty"`
	Fit   string         `toml:"fit,omitempty"`
	At    []paths.Length `toml:"at,omitempty"`
	// Lay is how the cloth lies on the machine where there are no marks: [Upright]
	// (also when empty) or [LaidTurned].
	Lay string `toml:"lay,omitempty"`

	// Machine and Pen are profiles by name or by file; "" is "practice" and
	// "fine-marker". [NoMachine] makes no program. Language is what the machine reads; "" is what its profile
	// says. PenFor has the pens of layers that are drawn with another one.
	Machine  string            `toml:"machine"`
	Language profiles.Language `toml:"language,omitempty"`
	Pen      string            `toml:"pen"`
	PenFor   map[string]string `toml:"pen-for,omitempty"`

	// Tolerance is the greatest distance in mm between the drawn line and the true
	// one: 0 is the default of 0.05.
	Tolerance paths.Length `toml:"tolerance"`
	// Print is the paper that the pattern is printed on at full size, one of
	// [paper.SizeNames] or a roll; "" is none. PrintMargin is what the printer leaves
	// blank, PrinterScale what it makes of a length, and Overlap what neighbouring
	// sheets share in mm, 0 being the default of 15. PrintLine is how wide lines are
	// printed in mm, and PrintGrey how pale in per cent; 0 follows from the transfer.
	Print        string       `toml:"print,omitempty"`
	PrintMargin  string       `toml:"print-margin,omitempty"`
	PrinterScale string       `toml:"printer-scale,omitempty"`
	Overlap      paths.Length `toml:"overlap,omitempty"`
	PrintLine    paths.Length `toml:"print-line,omitempty"`
	PrintGrey    float64      `toml:"print-grey,omitempty"`
	// BorderOn says who draws the border: [BorderOnMachine] (also when empty) or
	// [BorderOnCloth]. Iron is the sole of the iron, such as "4x8in"; "" is a household
	// iron's where the pattern is ironed on.
	BorderOn string `toml:"border-on,omitempty"`
	Iron     string `toml:"iron,omitempty"`

	// Copies is how many rugs lie on one cloth, and Names a file of whom they are for, a
	// name on each line: 0 and "" are a single rug, see [Settings.IsKit]. Cloth is what there is between the selvedges, and
	// how long if that is said, such as "60in" or "60inx5yd"; "" is [ClothWidth]. Gap is
	// the cloth between two finished rugs; "" is twice the margin. Turn lets copies stand
	// turned by a quarter. MarksFor has the files of marks of later loads, by their numbers.
	Copies   int               `toml:"copies,omitempty"`
	Names    string            `toml:"names,omitempty"`
	Cloth    string            `toml:"cloth,omitempty"`
	Gap      string            `toml:"gap,omitempty"`
	Turn     bool              `toml:"turn,omitempty"`
	MarksFor map[string]string `toml:"marks-for,omitempty"`

	// Panels draws a rug that is larger than the machine in several loads. Lap is how far
	// the two parts of a stroke that is cut go past each other, in mm; 0 is the default of
	// 2, see [Settings.LapMM].
	Panels bool         `toml:"panels,omitempty"`
	Lap    paths.Length `toml:"lap,omitempty"`

	// First lists layers that each pen draws first, in this order; the border comes
	// before all that are not listed.
	First []string `toml:"first,omitempty"`
	// Effort is how long to look for a shorter order: quick, normal (also when
	// empty) or thorough. Least is what the order keeps small: [LeastTravel] (also
	// when empty) or [LeastTime].
	Effort string `toml:"effort"`
	Least  string `toml:"least,omitempty"`
	// KeepDoubles draws lines that stand twice in the design twice.
	KeepDoubles bool `toml:"keep-doubles,omitempty"`
	// ThroughCrossings lets the pen turn off where lines of a layer cross, where that
	// saves a lift. A blot may show at such a corner.
	ThroughCrossings bool `toml:"through-crossings,omitempty"`
	// Really makes a job that is refused because it looks wrong.
	Really bool `toml:"really,omitempty"`
}

// NoClearance is the Clearance of artwork that may touch the border.
const NoClearance = -1

// What becomes of spacings that repeat.
const (
	StripesEven    = "even"    // they get one count of rows wherever there is room
	StripesNearest = "nearest" // each line goes into the channel nearest to it
)

// What becomes of slanting lines that are meant to go through holes.
const (
	DiagonalsOn  = "on"  // their ends go on crossings of channels
	DiagonalsOff = "off" // they follow what is round them
)

// How the cloth lies on the machine.
const (
	Upright    = "upright" // as it is drawn
	LaidTurned = "turned"  // by a quarter, anticlockwise
)

// What the order of strokes keeps small.
const (
	LeastTravel = "travel" // the distance with the pen up
	LeastTime   = "time"   // the machine's own time for it
)

// SimulatedMachine is the machine of the built-in simulated plotter. A job for it is
// for no machine that there is.
const SimulatedMachine = "practice"

// Defaults returns the settings that hold where nothing is said.
func Defaults() Settings {
	return Settings{
		Craft: PunchNeedle, Transfer: Direct, Backing: "monks-cloth", Clearance: 2, Snap: 3,
		Machine: SimulatedMachine, Pen: "fine-marker", Tolerance: 0.05, Effort: order.Normal.String(),
	}
}

// Complete returns s with the defaults in place of zero values.
func (s Settings) Complete() Settings {
	d := Defaults()
	s.Craft = or(s.Craft, d.Craft)
	s.Transfer = or(s.Transfer, d.Transfer)
	s.Backing = or(s.Backing, d.Backing)
	s.Clearance = or(s.Clearance, d.Clearance)
	s.Snap = or(s.Snap, d.Snap)
	s.Machine = or(s.Machine, d.Machine)
	s.Pen = or(s.Pen, d.Pen)
	s.Tolerance = or(s.Tolerance, d.Tolerance)
	s.Effort = or(s.Effort, d.Effort)
	return s
}

// or returns v, or where that is the zero value, d.
func or[T comparable](v, d T) T {
	var zero T
	if v == zero {
		return d
	}
	return v
}

// StripesIn returns [StripesEven] or [StripesNearest] for a layer.
func (s Settings) StripesIn(layer string) string {
	if way, ok := s.StripesFor[layer]; ok {
		return way
	}
	return or(s.Stripes, StripesEven)
}

// ClearRows returns the rows that stay free between border and artwork.
func (s Settings) ClearRows() int {
	if s.Clearance == NoClearance {
		return 0
	}
	return or(s.Clearance, Defaults().Clearance)
}

// BorderRows reads the border: nil for none, an empty list for a line at the
// edge, else the rows of holes left empty before each further line. A border that
// cannot be read is a [fault.Input].
func (s Settings) BorderRows() ([]int, error) {
	switch s.Border {
	case "", "none":
		return nil, nil
	case "edge":
		return []int{}, nil
	}
	var rows []int
	for _, f := range strings.Split(s.Border, ",") {
		n, ok := rowsOfHoles(f)
		if !ok {
			return nil, fault.Bad("border", `write "edge", or the rows to leave empty, such as "4" or "4,2"`,
				"%q is not a border", s.Border)
		}
		rows = append(rows, n)
	}
	return rows, nil
}
