package device

import (
	"fmt"
	"os"
	"strconv"
	"strings"

	"weftplot/paths/fault"
)

// Begun reports whether a journal says that a stroke was begun, whatever job it
// belongs to: ink is on a cloth then. It opens the file for reading only. A file
// that cannot be read, or is no journal, is an error.
func Begun(path string) (bool, error) {
	info, err := os.Stat(path)
	if err == nil && !info.Mode().IsRegular() {
		return false, fault.Bad(path, "move it away", "this is a folder, a pipe or a device, and no journal")
	}
	data, err := readJournal(path)
	if err != nil {
		return false, fmt.Errorf("the journal %s cannot be read: %w", path, err)
	}
	for line := range strings.Lines(string(data)) {
		text, ok := unseal(strings.TrimSuffix(line, "\n"))
		if !ok {
			continue // a damaged record says nothing; those after it may
		}
		f := strings.Split(text, " ")
		if (f[0] == "drawn" || f[0] == "left") && len(f) > 1 {
			if n, err := strconv.Atoi(f[len(f)-1]); err == nil && n > 0 {
				return true, nil
			}
		}
	}
	return false, nil
}
