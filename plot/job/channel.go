package job

import (
	"strconv"
	"strings"

	"weftplot/paths/fault"
	"weftplot/paths/weave"
)

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
