package plot

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/keyfile"
	"weftplot/paths/order"
	"weftplot/profiles"
)

// Craft is how the rug is worked, which says from which side.
type Craft string

const (
	PunchNeedle Craft = "punch-needle" // worked from the back
	Hooking     Craft = "hooking"      // worked from the front
)

// Transfer is how the drawing gets onto the backing.
type Transfer string

const (
	Direct  Transfer = "direct"  // drawn straight on the backing
	Tracing Transfer = "tracing" // a paper to trace through the backing
	IronOn  Transfer = "iron-on" // a paper that the iron turns over
)

// Units are those a design may be said to be drawn in.
var Units = []string{"mm", "cm", "m", "in", "ft"}

// Mirrored reports whether what is drawn is the mirror image of the finished
// rug: when it is worked from the back, unless the transfer turns it over.
func Mirrored(c Craft, t Transfer) bool { return (c == PunchNeedle) != (t == IronOn) }

// Settings are everything that decides a job beside its inputs' own content:
// the flags of "prepare", and the keys of job.toml.
type Settings struct {
	Design    string            `toml:"design"`
	Name      string            `toml:"name"`
	Dashes    bool              `toml:"dashes,omitempty"` // dashed lines drawn as dashes, else whole
	Units     string            `toml:"units,omitempty"`  // what a design without a unit is drawn in
	Unite     bool              `toml:"unite,omitempty"`  // overlapping fills drawn as what is seen of them
	Font      []string          `toml:"font,omitempty"`   // files of fonts for text, or FAMILY=FILE
	Skip      []string          `toml:"skip,omitempty"`   // layers that are not drawn
	Width     paths.Length      `toml:"width,omitempty"`
	Height    paths.Length      `toml:"height,omitempty"`
	Craft     Craft             `toml:"craft"`
	Transfer  Transfer          `toml:"transfer"`
	Backing   string            `toml:"backing"`
	Count     string            `toml:"count,omitempty"`
	Margin    string            `toml:"margin,omitempty"`
	Border    string            `toml:"border,omitempty"`
	Clearance int               `toml:"clearance"`
	Snap      float64           `toml:"snap"`
	NoSnap    bool              `toml:"no-snap"`
	Marks     string            `toml:"marks,omitempty"`
	Fit       string            `toml:"fit,omitempty"` // how to fit the marks; "" chooses
	At        []paths.Length    `toml:"at,omitempty"`
	Machine   string            `toml:"machine"`
	Language  profiles.Language `toml:"language,omitempty"`
	Pen       string            `toml:"pen"`
	PenFor    map[string]string `toml:"pen-for,omitempty"`
	Tolerance paths.Length      `toml:"tolerance"`
	Effort    string            `toml:"effort"`
	// Least is what the order keeps small: "travel" (also when empty), the
	// pen-up distance, or "time", the machine's own for each hop.
	Least string `toml:"least,omitempty"`
	// KeepDoubles draws lines that stand twice in the design twice.
	KeepDoubles bool `toml:"keep-doubles,omitempty"`
}

// What the order of strokes keeps small.
const (
	LeastTravel = "travel"
	LeastTime   = "time"
)

// Defaults returns the settings that hold where nothing is said.
func Defaults() Settings {
	return Settings{
		Craft: PunchNeedle, Transfer: Direct, Backing: "monks-cloth", Clearance: 2, Snap: 3,
		Machine: "practice", Pen: "fine-marker", Tolerance: 0.05, Effort: order.Normal.String(),
	}
}

// ParseSettings reads a job.toml over the defaults. Errors are [fault.Error]s
// that name the file, the line and the key.
func ParseSettings(file string, data []byte) (Settings, error) {
	s := Defaults()
	if err := keyfile.Decode(file, data, &s); err != nil {
		return Settings{}, err
	}
	if s.Design == "" {
		return Settings{}, fault.Bad(file, `say which design to draw: design = "mat.svg"`, "the key \"design\" is missing")
	}
	return s, nil
}

// Format returns the text of a job.toml that reads back to s.
func (s Settings) Format() ([]byte, error) {
	var b bytes.Buffer
	b.WriteString("# A weftplot job. \"weftplot prepare job.toml\" makes the same folder again.\n")
	enc := toml.NewEncoder(&b)
	if err := enc.Encode(s); err != nil {
		return nil, fmt.Errorf("job.toml: %w", err)
	}
	return b.Bytes(), nil
}

// Validate checks every value that can be judged by itself.
func (s Settings) Validate() error {
	for _, c := range []struct {
		where string
		bad   bool
		do    string
		what  string
	}{
		{"width", s.Width < 0 || s.Width > 1e5, `give a size above zero, such as "24in"`, "a rug cannot be " + s.Width.String() + " wide"},
		{"height", s.Height < 0 || s.Height > 1e5, `give a size above zero, such as "24in"`, "a rug cannot be " + s.Height.String() + " high"},
		{"units", s.Units != "" && !slices.Contains(Units, s.Units), "use " + strings.Join(Units, ", "), fmt.Sprintf("there is no unit called %q here", s.Units)},
		{"craft", s.Craft != PunchNeedle && s.Craft != Hooking, "use punch-needle or hooking", fmt.Sprintf("there is no craft called %q here", s.Craft)},
		{"transfer", s.Transfer != Direct && s.Transfer != Tracing && s.Transfer != IronOn, "use direct, tracing or iron-on", fmt.Sprintf("there is no transfer called %q here", s.Transfer)},
		{"clearance", s.Clearance < 0 || s.Clearance > 1000, "give a number of rows from 0 to 1000", fmt.Sprintf("%d rows cannot be kept free", s.Clearance)},
		{"snap", !(s.Snap > 0 && s.Snap <= 20), "give an angle above 0 and up to 20 degrees, or --no-snap", fmt.Sprintf("an angle of %g degrees is no use for snapping", s.Snap)},
		{"tolerance", !(s.Tolerance >= 0.005 && s.Tolerance <= 2), "give a length from 0.005mm to 2mm", fmt.Sprintf("a tolerance of %s is not possible", s.Tolerance)},
		{"language", s.Language != "" && !slices.Contains(profiles.Languages, s.Language), "use gcode, hpgl or hpgl2", fmt.Sprintf("there is no language called %q here", s.Language)},
		{"least", s.Least != "" && s.Least != LeastTravel && s.Least != LeastTime, "use travel or time", fmt.Sprintf("an order cannot be kept short of %q", s.Least)},
		{"at", len(s.At) != 0 && len(s.At) != 2, `give two lengths, such as "50mm,60mm"`, fmt.Sprintf("a place takes two lengths, not %d", len(s.At))},
		{"at", len(s.At) == 2 && s.Marks != "", "leave one of the two out", "the marks already say where the rug lies"},
	} {
		if c.bad {
			return fault.Bad(c.where, c.do, "%s", c.what)
		}
	}
	_, err := order.ParseEffort(s.Effort)
	return err
}

// BorderRows reads the border: nil for none, an empty list for a line at the
// edge, else the rows of holes left empty before each further line.
func (s Settings) BorderRows() ([]int, error) {
	switch s.Border {
	case "", "none":
		return nil, nil
	case "edge":
		return []int{}, nil
	}
	var rows []int
	for _, f := range strings.Split(s.Border, ",") {
		n, err := strconv.Atoi(strings.TrimSpace(f))
		if err != nil || n < 0 || n > 1000 {
			return nil, fault.Bad("border", `write "edge", or the rows to leave empty, such as "4" or "4,2"`,
				"%q is not a border", s.Border)
		}
		rows = append(rows, n)
	}
	return rows, nil
}
