package job

import (
	"strconv"

	"weftplot/paths/fault"
)

// SnapOff is what SnapFor says of a layer whose lines are left out of channels.
const SnapOff = "off"

// SnapIn returns the greatest angle in degrees between the weave and a line of a layer
// that goes into a channel; 0 for none. An angle that cannot be is a [fault.Input].
func (s Settings) SnapIn(layer string) (float64, error) {
	text, ok := s.SnapFor[layer]
	switch {
	case !ok && s.NoSnap:
		return 0, nil
	case !ok:
		return or(s.Snap, Defaults().Snap), nil
	case text == SnapOff:
		return 0, nil
	}
	angle, err := strconv.ParseFloat(text, 64)
	if err != nil || !(angle > 0 && angle <= 20) {
		return 0, fault.Bad("snap-for", "give an angle above 0 and up to 20 degrees, or off", "%q is no angle for the layer %q", text, layer)
	}
	return angle, nil
}
