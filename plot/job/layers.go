package job

import (
	"strconv"
	"strings"

	"weftplot/paths/fault"
	"weftplot/paths/weave"
)

// mostChannel is far beyond any cloth.
const mostChannel = 1_000_000

// ChannelsOf returns the channels that are said for lines of a layer, by axis, counted
// from the rug's lower left corner as drawn. One that cannot be read, or two for one
// axis, are a [fault.Input].
func (s Settings) ChannelsOf(layer string) (map[weave.Axis]int, error) {
	const do = `write across:N for a line at one place across the cloth, along:N for one at one place along it`
	said := s.Channel[layer]
	if said == "" {
		return nil, nil
	}
	out := map[weave.Axis]int{}
	for text := range strings.SplitSeq(said, ",") {
		way, number, ok := strings.Cut(strings.TrimSpace(text), ":")
		n, err := strconv.Atoi(number)
		if !ok || err != nil || n < -mostChannel || n > mostChannel {
			return nil, fault.Bad("channel", do, "%q is no channel for the layer %q", text, layer)
		}
		axis := weave.Across
		switch way {
		case weave.Across.String():
		case weave.Along.String():
			axis = weave.Along
		default:
			return nil, fault.Bad("channel", do, "%q is no channel for the layer %q", text, layer)
		}
		if before, twice := out[axis]; twice && before != n {
			return nil, fault.Bad("channel", "leave one of them out", "the line of %q cannot lie in channels %d and %d", layer, before, n)
		}
		out[axis] = n
	}
	return out, nil
}

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
