package manual

import (
	"fmt"
	"runtime/debug"
	"strings"
)

// Build is of what source and by what a program was built.
type Build struct {
	Commit  string `json:"commit"` // "" where it is not known
	Date    string `json:"date"`   // of the commit, as 2006-01-02
	Changed bool   `json:"changed"`
	Go      string `json:"go"`
	System  string `json:"system"` // such as linux/amd64
}

// BuildOf reads what the Go tool wrote into the program: the commit and its time,
// where it was built in a clone of the source.
func BuildOf(info *debug.BuildInfo) Build {
	if info == nil {
		return Build{}
	}
	b, set := Build{Go: info.GoVersion}, map[string]string{}
	for _, s := range info.Settings {
		set[s.Key] = s.Value
	}
	b.Commit, b.Changed = set["vcs.revision"], set["vcs.modified"] == "true"
	b.Date, _, _ = strings.Cut(set["vcs.time"], "T")
	if set["GOOS"] != "" {
		b.System = set["GOOS"] + "/" + set["GOARCH"]
	}
	return b
}

// Short is the commit in twelve letters, or words for one that is not known.
func (b Build) Short() string {
	switch {
	case b.Commit == "":
		return "of an unknown commit"
	case b.Changed:
		return fmt.Sprintf("%.12s, changed", b.Commit)
	}
	return fmt.Sprintf("%.12s", b.Commit)
}

// String is the whole in one line, after the program's name.
func (b Build) String() string {
	s := b.Short()
	if b.Date != "" {
		s += " of " + b.Date
	}
	if b.System != "" {
		s += ", " + b.System
	}
	return strings.TrimSuffix(s+", "+b.Go, ", ")
}
