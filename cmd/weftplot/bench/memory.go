package bench

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"

	"github.com/natefinch/atomic"
	"github.com/pelletier/go-toml/v2"

	"weftplot/paths/fault"
	"weftplot/profiles"
)

// memory is what is remembered on this computer, in the user's own configuration
// folder: what was chosen last, in bench.toml, and the machines, backings and
// pens that a person set up, a file each. Plain files, which a person may read,
// change and remove.
type memory struct {
	mu   sync.Mutex
	dir  string // "" where the system has no such folder: nothing is remembered
	last lastChosen
}

type lastChosen struct {
	Job     string `toml:"job,omitempty"` // the job folder that was open last
	Machine string `toml:"machine,omitempty"`
	Backing string `toml:"backing,omitempty"`
	Pen     string `toml:"pen,omitempty"`
	Port    string `toml:"port,omitempty"`
}

const memoryFile = "bench.toml"

// openMemory reads what is remembered. A file that is damaged counts as none: it
// holds nothing that cannot be chosen again.
func openMemory(dir string) *memory {
	m := &memory{dir: dir}
	if dir == "" {
		return m
	}
	data, err := os.ReadFile(filepath.Join(dir, memoryFile))
	if err == nil && toml.Unmarshal(data, &m.last) != nil {
		m.last = lastChosen{}
	}
	return m
}

// userMemory is the folder of this user on this computer.
func userMemory() string {
	dir, err := os.UserConfigDir()
	if err != nil {
		return ""
	}
	return filepath.Join(dir, "weftplot")
}

// update changes what was chosen last and writes it down. What cannot be written
// is forgotten when the program ends, and nothing worse.
func (m *memory) update(change func(*lastChosen)) {
	m.mu.Lock()
	defer m.mu.Unlock()
	was := m.last
	change(&m.last)
	if m.last == was || m.dir == "" {
		return
	}
	var b bytes.Buffer
	b.WriteString("# What the page of weftplot remembers on this computer. It may be changed or removed.\n")
	if toml.NewEncoder(&b).Encode(m.last) == nil && os.MkdirAll(m.dir, 0o700) == nil {
		_ = atomic.WriteFile(filepath.Join(m.dir, memoryFile), &b)
	}
}

func (m *memory) choose(kind profiles.Kind, name string) {
	m.update(func(l *lastChosen) {
		switch kind {
		case profiles.MachineKind:
			l.Machine = name
		case profiles.BackingKind:
			l.Backing = name
		case profiles.PenKind:
			l.Pen = name
		}
	})
}

func (m *memory) choosePort(name string) { m.update(func(l *lastChosen) { l.Port = name }) }
func (m *memory) jobAt(dir string)       { m.update(func(l *lastChosen) { l.Job = dir }) }

type choice struct {
	kind profiles.Kind
	name string
}

// chosen lists what was chosen last.
func (m *memory) chosen() []choice {
	m.mu.Lock()
	defer m.mu.Unlock()
	var out []choice
	for _, c := range []choice{{profiles.MachineKind, m.last.Machine}, {profiles.BackingKind, m.last.Backing}, {profiles.PenKind, m.last.Pen}} {
		if c.name != "" {
			out = append(out, c)
		}
	}
	return out
}

// remembered is what the page shows of it.
type remembered struct {
	Folder string   `json:"folder"`
	Last   []string `json:"last"` // as in bench.toml, one a line
	Own    []own    `json:"own"`
	Port   string   `json:"port"`
	Job    string   `json:"job"`
}

// own is a profile that a person set up.
type own struct {
	Kind profiles.Kind `json:"kind"`
	Name string        `json:"name"`
}

func (m *memory) show() remembered {
	m.mu.Lock()
	l := m.last
	m.mu.Unlock()
	r := remembered{Folder: m.dir, Own: []own{}, Last: []string{}, Port: l.Port, Job: l.Job}
	for _, p := range []struct{ what, v string }{{"job", l.Job}, {"machine", l.Machine}, {"backing", l.Backing}, {"pen", l.Pen}, {"port", l.Port}} {
		if p.v != "" {
			r.Last = append(r.Last, p.what+": "+p.v)
		}
	}
	for _, k := range profiles.Kinds {
		for _, n := range m.names(k) {
			r.Own = append(r.Own, own{k, n})
		}
	}
	return r
}

var properName = regexp.MustCompile(`^[a-z0-9][a-z0-9-]{0,40}$`)

func (m *memory) file(kind profiles.Kind, name string) string {
	return filepath.Join(m.dir, string(kind)+"s", name+".toml")
}

// names lists the profiles of a kind that a person set up.
func (m *memory) names(kind profiles.Kind) []string {
	if m.dir == "" {
		return nil
	}
	entries, _ := os.ReadDir(filepath.Join(m.dir, string(kind)+"s")) // none is no error
	var out []string
	for _, e := range entries {
		if name, ok := strings.CutSuffix(e.Name(), ".toml"); ok && properName.MatchString(name) {
			out = append(out, name)
		}
	}
	slices.Sort(out)
	return out
}

// profile returns the text of a profile that a person set up.
func (m *memory) profile(kind profiles.Kind, name string) ([]byte, bool) {
	if m.dir == "" || !properName.MatchString(name) {
		return nil, false
	}
	data, err := os.ReadFile(m.file(kind, name))
	return data, err == nil
}

// save checks a profile and keeps it under its own name.
func (m *memory) save(kind profiles.Kind, text []byte) (string, error) {
	name, err := checkProfile(kind, text)
	if err != nil {
		return "", err
	}
	switch {
	case m.dir == "":
		return "", errors.New("this system has no folder for what a user keeps")
	case !properName.MatchString(name):
		return "", fault.Bad("name", "use small letters, figures and hyphens, such as studio-plotter", "%q cannot be the name of a file", name)
	case slices.Contains(profiles.Names(kind), name):
		return "", fault.Bad("name", "give it a name of its own, such as my-"+name, "%s is the name of a built-in %s", name, kind)
	}
	file := m.file(kind, name)
	if err := os.MkdirAll(filepath.Dir(file), 0o700); err != nil {
		return "", fmt.Errorf("the folder %s cannot be made: %w", filepath.Dir(file), cause(err))
	}
	return name, atomic.WriteFile(file, bytes.NewReader(text))
}

// checkProfile reads a profile and returns its name.
func checkProfile(kind profiles.Kind, text []byte) (string, error) {
	const file = "the profile"
	switch kind {
	case profiles.MachineKind:
		m, err := profiles.ParseMachine(file, text)
		return m.Name, err
	case profiles.BackingKind:
		b, err := profiles.ParseBacking(file, text)
		return b.Name, err
	case profiles.PenKind:
		p, err := profiles.ParsePen(file, text)
		return p.Name, err
	}
	return "", fault.Bad("", "", "there is no kind of profile called %q", kind)
}

// forget removes a profile that a person set up, or with an empty kind what was
// chosen last.
func (m *memory) forget(kind profiles.Kind, name string) error {
	if kind == "" {
		m.update(func(l *lastChosen) { *l = lastChosen{} })
		return nil
	}
	if m.dir == "" || !slices.Contains(profiles.Kinds, kind) || !properName.MatchString(name) {
		return fault.Bad("", "", "nothing is remembered under this name")
	}
	if err := os.Remove(m.file(kind, name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("it cannot be removed: %w", cause(err))
	}
	return nil
}
