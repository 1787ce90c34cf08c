package sending

import (
	"errors"
	"strings"

	"weftplot/device"
	"weftplot/paths/fault"
)

// withNext ends the advice of a job that broke off with the very command to give
// next, as its journal has it.
func withNext(err error, again []string, j *device.Journal) error {
	var f *fault.Error
	if !errors.As(err, &f) || fault.Request(err) != nil || errors.Is(err, device.InUse) || len(again) == 0 {
		return err
	}
	words := []string{"weftplot"}
	for _, w := range again {
		words = append(words, shellWord(w))
	}
	words = append(words, "--resume")
	if j.NeedsHome() {
		words = append(words, "--homed")
	}
	own := *f
	if own.Do != "" {
		own.Do += "; then "
	}
	own.Do += "give " + strings.Join(words, " ")
	return &own
}

// shellWord quotes a word of a command line if a shell would take it for more than
// one.
func shellWord(w string) string {
	if w != "" && !strings.ContainsAny(w, " \t\n\"'\\$&|;<>()*?[]#~`!{}") {
		return w
	}
	return "'" + strings.ReplaceAll(w, "'", `'\''`) + "'"
}
