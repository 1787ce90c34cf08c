package profiles

import (
	"fmt"

	"weftplot/paths"
	"weftplot/paths/keyfile"
)

// Backing is a woven cloth a rug is worked on.
type Backing struct {
	Name  string `toml:"name"`
	About string `toml:"about"`
	// Count is the usual number of channels, across x along. A count measured
	// on the stretched cloth is always better.
	Count paths.Count `toml:"count"`
	// Margin is how much backing is left around the finished rug for frame and
	// hem.
	Margin paths.Length `toml:"margin"`
	// MaxSpeed is the greatest speed of a pen that does not drag the cloth.
	MaxSpeed paths.Speed `toml:"max_speed"`
	// Guide is the distance between woven guide threads, 0 where there are none.
	Guide paths.Length `toml:"guide"`
	Note  string       `toml:"note"`
}

// ParseBacking reads and validates the TOML text of a backing; see
// [ParseMachine].
func ParseBacking(file string, data []byte) (Backing, error) {
	var b Backing
	if err := keyfile.Decode(file, data, &b); err != nil {
		return Backing{}, err
	}
	c := checker{file: file}
	c.name(b.Name)
	if b.Count == (paths.Count{}) {
		c.fail("count", `a count such as "12x13/in"`, "nothing")
	}
	c.within("margin", float64(b.Margin), 0, 1000, "mm")
	c.within("max_speed", float64(b.MaxSpeed), 0.1, 2000, "mm/s")
	c.within("guide", float64(b.Guide), 0, 1000, "mm")
	return b, c.result()
}

// Pen is a tool that draws, or cuts.
type Pen struct {
	Name  string `toml:"name"`
	About string `toml:"about"`
	// Width is the width of the line it leaves on cloth.
	Width paths.Length `toml:"width"`
	// Colour is how its line is shown in proofs, "#rrggbb".
	Colour string `toml:"colour"`
	// MaxSpeed is the greatest speed at which its line has no breaks.
	MaxSpeed paths.Speed `toml:"max_speed"`
	// Permanent reports whether its line survives washing and steam.
	Permanent bool `toml:"permanent"`
	// Transfers reports whether its line is transferred to another cloth with
	// an iron.
	Transfers bool `toml:"transfers"`
	// Force is the force that suits it, in the steps of a plotter that has the
	// instruction; it overrides the machine's. 0 leaves it to the machine.
	Force int `toml:"force"`
	// WipeEvery is how much is drawn before the tip is wiped; 0 is never.
	WipeEvery paths.Length `toml:"wipe_every"`
	// Lasts is how much it draws on cloth before it is empty; 0 is not known.
	Lasts paths.Length `toml:"lasts"`
	// Blade reports whether it cuts; Offset is then how far its tip trails.
	Blade  bool         `toml:"blade"`
	Offset paths.Length `toml:"offset"`
	// Passes is how often each line is cut; 0 counts as 1.
	Passes int `toml:"passes"`
	// RunIn is the length of a cut beside the drawing that turns the blade
	// before the first one; with 0 a person turns the blade.
	RunIn paths.Length `toml:"run_in"`
	// Cautions are printed on the sheet whenever it is used.
	Cautions []string `toml:"cautions"`
}

// ParsePen reads and validates the TOML text of a pen; see [ParseMachine].
func ParsePen(file string, data []byte) (Pen, error) {
	var p Pen
	if err := keyfile.Decode(file, data, &p); err != nil {
		return Pen{}, err
	}
	c := checker{file: file}
	c.name(p.Name)
	c.within("width", float64(p.Width), 0.05, 10, "mm")
	c.colour("colour", p.Colour)
	c.within("max_speed", float64(p.MaxSpeed), 0.1, 2000, "mm/s")
	c.within("force", float64(p.Force), 0, MaxForce, "")
	if p.WipeEvery != 0 {
		c.within("wipe_every", float64(p.WipeEvery), 100, 1e6, "mm")
	}
	if p.Lasts != 0 {
		c.within("lasts", float64(p.Lasts), 100, 1e8, "mm")
	}
	c.within("offset", float64(p.Offset), 0, 5, "mm")
	p.validateBlade(&c)
	return p, c.result()
}

// Blades turn fully within a few offsets of cut: the tip of a tractrix nears its
// line by a factor of e for each, so that after ten its direction is known to a
// ten-thousandth.
const runInOffsets = 10

// validateBlade checks the settings that only a blade has.
func (p Pen) validateBlade(c *checker) {
	c.within("passes", float64(p.Passes), 0, 20, "")
	switch {
	case p.Blade:
		if p.RunIn != 0 {
			c.within("run_in", float64(p.RunIn), max(1, runInOffsets*float64(p.Offset)), 200, "mm")
		}
		if p.WipeEvery != 0 {
			c.fail("wipe_every", "left out for a blade", p.WipeEvery.String())
		}
	case p.Passes > 1:
		c.fail("passes", "1 without a blade: a marker that passes twice blots", fmt.Sprint(p.Passes))
	case p.RunIn != 0:
		c.fail("run_in", "left out without a blade", p.RunIn.String())
	}
}
