package profiles

import (
	"fmt"

	"weftplot/paths"
)

// Plotter holds the keys of a profile that only the two HP-GL languages use.
type Plotter struct {
	Unit paths.Length `toml:"unit"` // one plotter unit
	// Bits is how many bits of a byte reach the plotter, 8 or 7. With 7,
	// encoded polylines of HP-GL/2 are written in base 32, otherwise in base
	// 64.
	Bits int `toml:"bits"`
	// Swap says that the plotter's own x runs along the machine's y, and its y
	// along the machine's x: seen from the front, its x points away and its y
	// to the right. A plotter that is merely turned needs no swap; take another
	// side of it as the front.
	Swap bool `toml:"swap"`
	// Force is the pen force that FS sets, in the plotter's own steps, often 1
	// to 8; 0 leaves the instruction out, because not every plotter knows it.
	Force int `toml:"force"`
	// NotReady says that the plotter has NR, which stops it until a person takes it
	// on line again. Not every plotter has it; others go on.
	NotReady bool `toml:"not_ready"`
}

// MaxForce is the greatest pen force that a profile may have. Plotters count it
// in steps from 1 to 8, cutters also in grams (from memory).
const MaxForce = 1000

func (p Plotter) validate(c *checker, l Language) {
	c.within("hpgl.unit", float64(p.Unit), 0.001, 1, "mm")
	c.within("hpgl.bits", float64(p.Bits), 7, 8, "")
	c.within("hpgl.force", float64(p.Force), 0, MaxForce, "")
	switch {
	case l != GCode:
	case p.Swap:
		c.fail("hpgl.swap", "left out for G-code, where the controller's own settings say it", "true")
	case p.NotReady:
		c.fail("hpgl.not_ready", "left out for G-code, which has M0 to stop for a person", "true")
	case p.Force != 0:
		c.fail("hpgl.force", "left out for G-code, which has no instruction for it", fmt.Sprint(p.Force))
	}
}

// FractionBits returns how many bits after the point are written for a plotter
// unit: none but in HP-GL/2, and none there if a unit is already as fine as a pen
// can show, a fortieth of a mm.
func (m Machine) FractionBits() int {
	bits := 0
	if m.Language == HPGL2 {
		for unit := float64(m.HPGL.Unit); unit > 0.026; unit /= 2 {
			bits++
		}
	}
	return bits
}

// Units returns the map from the machine frame, in true mm, to the plotter units
// of the two HP-GL languages: the calibration divided out, over the size of a
// unit, the axes exchanged where the profile says so.
func (m Machine) Units() paths.Affine {
	u := float64(m.HPGL.Unit)
	to := paths.Scale(1/(u*m.Calib.Scale[0]), 1/(u*m.Calib.Scale[1]))
	if m.HPGL.Swap {
		to = to.Then(paths.Affine{B: 1, C: 1})
	}
	return to
}
