package device

import (
	"crypto/sha256"
	"fmt"
	"os"
	"slices"
	"strings"
)

// Recorded reports whether a journal was kept for the program of these bytes,
// whatever the machine and the cloth, and whether it says that all of it is
// drawn. Of a program that was begun and is not done ink may be on a cloth, and
// only the same bytes go on with it. It opens the file for reading only.
func Recorded(path string, text []byte) (ours, done bool, err error) {
	f, err := os.Open(path)
	if err != nil {
		return false, false, fmt.Errorf("the journal %s cannot be read: %w", path, err)
	}
	defer f.Close()
	data, err := readJournal(path, f)
	if err != nil {
		return false, false, fmt.Errorf("the journal %s cannot be read: %w", path, err)
	}
	for line := range strings.Lines(string(data)) {
		said, ok := unseal(strings.TrimSuffix(line, "\n"))
		if !ok {
			continue // a damaged record says nothing
		}
		words := strings.Fields(said)
		switch {
		case len(words) > 0 && words[0] == "weftplot-journal":
			ours = slices.Contains(words, fmt.Sprintf("program=%x", sha256.Sum256(text)))
		case len(words) > 1 && words[0] == "left":
			done = words[1] == leftDone.String()
		case len(words) > 0 && (words[0] == "drawn" || words[0] == "sent"):
			done = false
		}
	}
	return ours, ours && done, nil
}
