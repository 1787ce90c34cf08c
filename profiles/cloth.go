package profiles

import (
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
	// Margin is what is left round the finished rug for frame and hem.
	Margin paths.Length `toml:"margin"`
	// MaxSpeed is the fastest a pen may be drawn over it without dragging it.
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

// Pen is what draws, or cuts.
type Pen struct {
	Name  string `toml:"name"`
	About string `toml:"about"`
	// Width is the line it leaves on cloth.
	Width paths.Length `toml:"width"`
	// Colour is how its line is shown in proofs, "#rrggbb".
	Colour string `toml:"colour"`
	// MaxSpeed is the fastest it leaves a whole line.
	MaxSpeed paths.Speed `toml:"max_speed"`
	// Permanent reports that its line survives washing and steam.
	Permanent bool `toml:"permanent"`
	// Transfers reports that its line is for an iron to turn over.
	Transfers bool `toml:"transfers"`
	// Blade reports that it cuts: Offset is how far its tip trails.
	Blade  bool         `toml:"blade"`
	Offset paths.Length `toml:"offset"`
	// Cautions are said on the sheet whenever it is used.
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
	c.within("offset", float64(p.Offset), 0, 5, "mm")
	return p, c.result()
}
