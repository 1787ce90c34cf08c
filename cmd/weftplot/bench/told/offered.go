package told

import (
	"weftplot/cmd/weftplot/bench/memory"
)

// Offered is what the choices of the page hold.
type Offered struct {
	Machines   []Option     `json:"machines"`
	Backings   []Option     `json:"backings"`
	Pens       []Option     `json:"pens"`
	Ports      []Option     `json:"ports"`
	Papers     []string     `json:"papers"` // sizes that are printed on
	Remembered memory.Shown `json:"remembered"`
	Jobs       []string     `json:"jobs"` // job folders below the folder of jobs
}

// An Option is one of several to choose from; Own tells that it was set up on this computer.
type Option struct {
	Name  string `json:"name"`
	About string `json:"about"`
	Own   bool   `json:"own"`
}
