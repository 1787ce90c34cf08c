package device

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"weftplot/paths/fault"
)

// Begun reports whether, going by a journal, a stroke may have been begun,
// whatever job it belongs to: ink may be on a cloth then. It opens the file for reading only. A file
// that cannot be read, or is no journal, is an error.
func Begun(path string) (bool, error) {
	f, err := opened(path)
	if errors.Is(err, fault.Input) {
		return false, err
	}
	if err != nil {
		return false, fmt.Errorf("the journal %s cannot be read: %w", path, err)
	}
	defer f.Close()
	data, err := readJournal(path, f)
	if err != nil {
		return false, fmt.Errorf("the journal %s cannot be read: %w", path, err)
	}
	// Before its third form a journal did not say what was sent: without a record
	// of how it was left, a stroke may have been begun.
	begun := false
	for line := range strings.Lines(string(data)) {
		text, ok := unseal(strings.TrimSuffix(line, "\n"))
		if !ok {
			continue // a damaged record says nothing; those after it may
		}
		f := strings.Fields(text)
		switch {
		case len(f) < 2:
		case f[0] == "weftplot-journal":
			begun = f[1] == "1" || f[1] == "2"
		case f[0] == "sent", f[0] == "drawn", f[0] == "left":
			if n, err := strconv.Atoi(f[len(f)-1]); err == nil && n > 0 {
				return true, nil
			}
			begun = begun && f[0] != "left"
		}
	}
	return begun, nil
}
