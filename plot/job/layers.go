package job

import (
	"strconv"
	"strings"

	"weftplot/paths/fault"
	"weftplot/paths/weave"
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

// A NamedLine is the line of a layer that goes into a channel because a person says so.
type NamedLine struct {
	Layer   string
	Axis    weave.Axis
	Channel int // from the rug's lower left corner as drawn
}

// NamedLines reads Channel. What cannot be read is a [fault.Input].
func (s Settings) NamedLines() ([]NamedLine, error) {
	var out []NamedLine
	for _, text := range s.Channel {
		// A layer's name may hold "=" itself.
		i := max(0, strings.LastIndex(text, "="))
		axis, channel, _ := strings.Cut(text[min(i+1, len(text)):], ":")
		n := NamedLine{Layer: text[:i]}
		c, err := strconv.Atoi(channel)
		n.Channel = c
		if axis == weave.Along.String() {
			n.Axis = weave.Along
		}
		if axis != n.Axis.String() || n.Layer == "" || err != nil || c < 0 || c > 100_000 {
			return nil, fault.Bad("channel", `write LAYER=across:CHANNEL for a line that runs up the rug, or LAYER=along:CHANNEL for one that runs across it, such as "post=across:40"`,
				"%q names no layer and channel", text)
		}
		out = append(out, n)
	}
	return out, nil
}

func addPenFor(s *Settings, texts []string) error {
	return addFor(&s.PenFor, texts, `write LAYER=NAME, such as "lettering=extra-fine-marker"`, "pen")
}

func addSnapFor(s *Settings, texts []string) error {
	return addFor(&s.SnapFor, texts, `write LAYER=DEGREES or LAYER=off, such as "leaves=off"`, "angle")
}

func addStripesFor(s *Settings, texts []string) error {
	return addFor(&s.StripesFor, texts, `write LAYER=even or LAYER=nearest, such as "waves=nearest"`, "way")
}

// addFor adds what texts say of layers, each LAYER=WHAT.
func addFor(to *map[string]string, texts []string, do, what string) error {
	for _, v := range texts {
		layer, said, ok := strings.Cut(v, "=")
		if !ok || layer == "" || said == "" {
			return fault.Bad("", do, "%q names no layer and %s", v, what)
		}
		if *to == nil {
			*to = map[string]string{}
		}
		(*to)[layer] = said
	}
	return nil
}
