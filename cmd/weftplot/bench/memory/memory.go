// Package memory keeps what the page remembers on this computer, in the user's own
// configuration folder: plain files, which a person may read, change and remove.
package memory

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
	"weftplot/plot/disk"
	"weftplot/plot/language"
	"weftplot/profiles"
)

// Memory is what is remembered on this computer, in the user's own configuration
// folder: what was chosen last, in bench.toml, and the machines, backings and
// pens that a person set up, a file each. Plain files, which a person may read,
// change and remove.
type Memory struct {
	mu   sync.Mutex
	dir  string // "" where the system has no such folder: nothing is remembered
	last last
}

type last struct {
	Job     string `toml:"job,omitempty"` // the job folder that was open last
	Machine string `toml:"machine,omitempty"`
	Backing string `toml:"backing,omitempty"`
	Pen     string `toml:"pen,omitempty"`
	Port    string `toml:"port,omitempty"`
}

const memoryFile = "bench.toml"

// Open reads what is remembered. A file that is damaged counts as none: it
// holds nothing that cannot be chosen again.
func Open(dir string) *Memory {
	m := &Memory{dir: dir}
	if dir == "" {
		return m
	}
	data, err := os.ReadFile(filepath.Join(dir, memoryFile))
	if err == nil && toml.Unmarshal(data, &m.last) != nil {
		m.last = last{}
	}
	return m
}

// User is the folder of this user on this computer.
func User() string {
	dir, err := os.UserConfigDir()
	if err != nil {
		return ""
	}
	return filepath.Join(dir, "weftplot")
}

// update changes what was chosen last and writes it down. What cannot be written
// is forgotten when the program ends, and nothing worse.
func (m *Memory) update(change func(*last)) {
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

func (m *Memory) Choose(kind profiles.Kind, name string) {
	m.update(func(l *last) {
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

func (m *Memory) ChoosePort(name string) { m.update(func(l *last) { l.Port = name }) }
func (m *Memory) JobAt(dir string)       { m.update(func(l *last) { l.Job = dir }) }

type Choice struct {
	Kind profiles.Kind
	Name string
}

// Chosen lists what was chosen last.
func (m *Memory) Chosen() []Choice {
	m.mu.Lock()
	defer m.mu.Unlock()
	var out []Choice
	for _, c := range []Choice{{profiles.MachineKind, m.last.Machine}, {profiles.BackingKind, m.last.Backing}, {profiles.PenKind, m.last.Pen}} {
		if c.Name != "" {
			out = append(out, c)
		}
	}
	return out
}

// Shown is what the page shows of it.
type Shown struct {
	Folder string   `json:"folder"`
	Last   []string `json:"last"` // as in bench.toml, one a line
	Own    []Own    `json:"own"`
	Port   string   `json:"port"`
	Job    string   `json:"job"`
}

// Own is a profile that a person set up.
type Own struct {
	Kind profiles.Kind `json:"kind"`
	Name string        `json:"name"`
}

func (m *Memory) Show() Shown {
	m.mu.Lock()
	l := m.last
	m.mu.Unlock()
	r := Shown{Folder: m.dir, Own: []Own{}, Last: []string{}, Port: l.Port, Job: l.Job}
	for _, p := range []struct{ what, v string }{{"job", l.Job}, {"machine", l.Machine}, {"backing", l.Backing}, {"pen", l.Pen}, {"port", l.Port}} {
		if p.v != "" {
			r.Last = append(r.Last, p.what+": "+p.v)
		}
	}
	for _, k := range profiles.Kinds {
		for _, n := range m.Names(k) {
			r.Own = append(r.Own, Own{k, n})
		}
	}
	return r
}

var properName = regexp.MustCompile(`^[a-z0-9][a-z0-9-]{0,40}$`)

func (m *Memory) file(kind profiles.Kind, name string) string {
	return filepath.Join(m.dir, string(kind)+"s", name+".toml")
}

// Names lists the profiles of a kind that a person set up.
func (m *Memory) Names(kind profiles.Kind) []string {
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

// Profile returns the text of a profile that a person set up.
func (m *Memory) Profile(kind profiles.Kind, name string) ([]byte, bool) {
	if m.dir == "" || !properName.MatchString(name) {
		return nil, false
	}
	data, err := os.ReadFile(m.file(kind, name))
	return data, err == nil
}

// Save checks a profile and keeps it under its own name.
func (m *Memory) Save(kind profiles.Kind, text []byte) (string, error) {
	name, err := Check(kind, text)
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
		return "", fmt.Errorf("the folder %s cannot be made: %w", filepath.Dir(file), disk.Cause(err))
	}
	return name, atomic.WriteFile(file, bytes.NewReader(text))
}

// Check reads a profile and returns its name.
func Check(kind profiles.Kind, text []byte) (string, error) {
	const file = "the profile"
	switch kind {
	case profiles.MachineKind:
		m, err := language.ParseMachine(file, text)
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

// Forget removes a profile that a person set up, or with an empty kind what was
// chosen last.
func (m *Memory) Forget(kind profiles.Kind, name string) error {
	if kind == "" {
		m.update(func(l *last) { *l = last{} })
		return nil
	}
	if m.dir == "" || !slices.Contains(profiles.Kinds, kind) || !properName.MatchString(name) {
		return fault.Bad("", "", "nothing is remembered under this name")
	}
	if err := os.Remove(m.file(kind, name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("it cannot be removed: %w", disk.Cause(err))
	}
	return nil
}
