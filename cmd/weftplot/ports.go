package main

import (
	"fmt"

	"github.com/urfave/cli/v2"

	"weftplot/device"
)

// simPort is the name of the built-in simulated plotter as a port.
const simPort = "sim"

func portsCommand(s streams) *cli.Command {
	return &cli.Command{
		Name:  "ports",
		Usage: "what is connected",
		Flags: outputFlags(),
		Action: func(c *cli.Context) error {
			ports, err := device.Ports()
			if err != nil {
				return err
			}
			type line struct {
				Name  string `json:"name"`
				About string `json:"about"`
			}
			lines := []line{}
			for _, p := range ports {
				lines = append(lines, line{p.Name, p.About})
			}
			lines = append(lines, line{simPort, "the built-in simulated plotter"})
			if c.Bool("json") {
				return writeJSON(s.out, lines)
			}
			for _, l := range lines {
				fmt.Fprintf(s.out, "%-24s %s\n", l.Name, l.About)
			}
			return nil
		},
	}
}
