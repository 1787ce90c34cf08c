package panels

import (
	"fmt"

	"weftplot/paths"
	"weftplot/paths/fault"
)

// Point is a corner or a crossing of ink in channels, which a person can find before a load
// is drawn.
type Point struct {
	// Name says what to look for. No two points of a load have the same.
	Name string
	// Across and Along count channels from the lower left corner of the drawing.
	Across, Along int
	At            paths.Point // the same in mm of the frame drawn
}

// Findable returns the corners and crossings of ink in channels that lie on the cloth and
// within the window before a load is drawn, by its number from 0: all, or some of many that
// lie well apart. Ink that is drawn in the load itself or later is none of them.
func (p Plan) Findable(load int) ([]Point, error) {
	if load < 0 || load >= len(p.Loads) {
		return nil, fault.Bad("", "", "there is no load %d", load+1)
	}
	f := finder{plan: p, load: load}
	return f.name(f.collect()), nil
}

// name gives points their names: what they are and where in the load.
func (f *finder) name(list []Point) []Point {
	window := f.plan.Loads[f.load].Window
	for i := range list {
		p := &list[i]
		p.Name = fmt.Sprintf("%s at %d across and %d along, %s", p.Name, p.Across, p.Along, whereIn(window, p.At))
	}
	return list
}
