package figures

import (
	"fmt"
	"strings"
)

// Quoted returns names in quotation marks, with commas between them.
func Quoted(names []string) string {
	words := make([]string, len(names))
	for i, n := range names {
		words[i] = fmt.Sprintf("%q", n)
	}
	return strings.Join(words, ", ")
}
