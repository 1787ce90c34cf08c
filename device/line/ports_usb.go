//go:build !darwin || cgo

package line

import (
	"strings"

	"go.bug.st/serial/enumerator"
)

// descriptions returns what the system knows of each port, without opening any.
func descriptions() map[string]string {
	out := map[string]string{}
	ports, err := enumerator.GetDetailedPortsList()
	if err != nil {
		return out // the names are enough
	}
	for _, p := range ports {
		if !p.IsUSB {
			continue
		}
		words := []string{p.Manufacturer, p.Product, "USB " + p.VID + ":" + p.PID}
		if p.SerialNumber != "" {
			words = append(words, "serial number "+p.SerialNumber)
		}
		out[p.Name] = strings.Join(strings.Fields(strings.Join(words, " ")), " ")
	}
	return out
}
