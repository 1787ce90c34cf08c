package line

import (
	"slices"
	"strings"
	"weftplot/paths/fault"

	"go.bug.st/serial"
)

// PortInfo is a serial port of this computer.
type PortInfo struct {
	// Name is the name for [Open].
	Name string
	// About describes what is plugged in, as far as the system knows; it may
	// be empty.
	About string
}

// Ports lists the serial ports of this computer by name. Having none is not an
// error.
func Ports() ([]PortInfo, error) {
	names, err := serial.GetPortsList()
	if err != nil {
		return nil, &fault.Error{Kind: NoPort, What: "the system does not list its serial ports: " + err.Error(), Err: err}
	}
	slices.Sort(names)
	about := descriptions()
	out := make([]PortInfo, 0, len(names))
	for _, n := range slices.Compact(names) {
		out = append(out, PortInfo{Name: n, About: about[n]})
	}
	return out, nil
}

// portsThereAre returns advice that names the available ports.
func portsThereAre() string {
	ports, err := Ports()
	if err != nil || len(ports) == 0 {
		return "no serial port is connected to this computer: look at plug and power"
	}
	names := make([]string, len(ports))
	for i, p := range ports {
		names[i] = p.Name
	}
	return "the ports there are: " + strings.Join(names, ", ")
}
