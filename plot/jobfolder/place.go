package jobfolder

import (
	"path/filepath"

	"weftplot/plot/disk"
)

// A Place is the folder that the names of files start from; "" is the one that the
// process runs in.
type Place string

// Path returns a name that starts from the place as one that starts from the
// folder that the process runs in.
func (p Place) Path(name string) string {
	if filepath.IsAbs(name) {
		return name
	}
	return filepath.Join(string(p), name)
}

// Read reads a file as [disk.Read] does; it is a [disk.Reader].
func (p Place) Read(name string, most int) ([]byte, error) { return disk.Read(p.Path(name), most) }
