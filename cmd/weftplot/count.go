package main

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"weftplot/cmd/weftplot/terminal"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave/cloth"
)

// countWeave turns a count made by hand into the line of a profile, and says how
// exact it is.
func countWeave(c *cli.Context, s terminal.Streams) error {
	across, err := counted("across", c.String("across"))
	if err != nil {
		return err
	}
	along, err := counted("along", c.String("along"))
	if err != nil {
		return err
	}
	size, err := sizeFlags(c, paths.Count{Across: across.Channels / across.Length, Along: along.Channels / along.Length})
	if err != nil {
		return err
	}
	m, err := cloth.Measure(across, along, float64(size[0]), float64(size[1]))
	if err != nil {
		return err
	}
	if c.Bool("json") {
		return s.WriteJSON(countReport(m))
	}
	for _, w := range m.Words {
		fmt.Fprintf(s.Out, "%s\n", w)
	}
	return nil
}

// sizeFlags returns the finished width and height that were given, else 0. Rows of holes
// are taken by the count.
func sizeFlags(c *cli.Context, count paths.Count) (size [2]paths.Length, err error) {
	across, along := count.Pitch()
	for i, flag := range []string{"width", "height"} {
		if text := c.String(flag); text != "" {
			size[i], err = paths.ParseRugLength(text, []float64{across, along}[i])
			if err == nil && size[i] <= 0 {
				err = fault.Bad("", `give a length above zero, such as "24in" or "61cm"`, "%s is no size", text)
			}
			if err != nil {
				return size, fault.At("--"+flag, err)
			}
		}
	}
	return size, nil
}

// counted reads a count over a length: 48/4in.
func counted(flag, text string) (cloth.Counted, error) {
	n, over, ok := strings.Cut(text, "/")
	channels, err := strconv.ParseFloat(strings.TrimSpace(n), 64)
	length, lengthErr := paths.ParseLength(over)
	if !ok || err != nil || lengthErr != nil {
		return cloth.Counted{}, fault.Bad("--"+flag, `write channels over the length they were counted in, such as "48/4in" or "47/10cm"`,
			"%q is no count over a length", text)
	}
	return cloth.Counted{Channels: channels, Length: float64(length)}, nil
}

// countWay is one way of the cloth in the answer to --json. Lengths are mm.
type countWay struct {
	Axis          string  `json:"axis"`
	DoubtPercent  float64 `json:"doubt_percent"`
	DriftMM       float64 `json:"drift_mm"`
	DriftChannels float64 `json:"drift_channels"`
	LeastMM       float64 `json:"least_mm"`
	Enough        bool    `json:"enough"`
}

func countReport(m cloth.Measured) any {
	var ways []countWay
	for _, w := range m.Ways {
		ways = append(ways, countWay{w.Axis.String(), 100 * w.Doubt, w.Drift, w.DriftChannels, w.Least, w.Enough})
	}
	return struct {
		Count string     `json:"count"`
		Ways  []countWay `json:"ways"`
		Words []string   `json:"words"`
	}{m.Count.String(), ways, m.Words}
}
