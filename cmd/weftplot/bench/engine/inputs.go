package engine

import (
	"bytes"
	"fmt"
	"sync"

	"weftplot/plot/disk"
	"weftplot/plot/job"
)

// keptInputs holds the inputs of a job as they were read last, so that a change
// of size or border reads nothing again: reading a large drawing takes longer
// than laying it out.
type keptInputs struct {
	mu   sync.Mutex
	last []*inputsRead // the newest first
}

// inputsRead is one reading: of which files, by which settings, and what came of
// it.
type inputsRead struct {
	by    string
	files []job.File // as they were read
	in    job.Inputs
	out   job.Settings
	extra []job.File
}

// readingsKept is how many readings are kept: that of the job on the bench, and of what
// was asked for last.
const readingsKept = 2

// read is [job.ReadInputs], which reads the files only where they, or the
// settings that say how they are read, are others than before.
func (k *keptInputs) read(read disk.Reader, s job.Settings) (job.Inputs, job.Settings, []job.File, error) {
	by := readBy(s)
	k.mu.Lock()
	last := k.last
	k.mu.Unlock()
	for _, r := range last {
		if r.by == by && r.same(read) {
			return r.in, r.named(s), r.extra, nil
		}
	}
	r := &inputsRead{by: by}
	noting := func(name string, most int) ([]byte, error) {
		data, err := read(name, most)
		r.files = append(r.files, job.File{Name: name, Data: data})
		return data, err
	}
	var err error
	if r.in, r.out, r.extra, err = job.ReadInputs(noting, s); err != nil {
		return job.Inputs{}, job.Settings{}, nil, err
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	k.last = append([]*inputsRead{r}, k.last[:min(len(k.last), readingsKept-1)]...)
	return r.in, r.out, r.extra, nil
}

// readBy writes down the settings that say what is read and how.
func readBy(s job.Settings) string {
	// A drawing without a unit may be read where a size is given.
	sized := s.Sized()
	return fmt.Sprintf("%q %q %t %q %t %q %q %t %q %q %q %q %q %q %q %d %q %q",
		s.Design, s.Name, s.Dashes, s.Units, s.Unite, s.Font, s.Skip, sized, s.Backing, s.Marks, s.Machine, s.Language, s.Pen, s.PenFor, s.Names, s.Copies, s.MarksFor, s.Alphabet)
}

// same reports whether all files are still as they were read.
func (r *inputsRead) same(read disk.Reader) bool {
	for _, f := range r.files {
		if data, err := read(f.Name, disk.MaxFile); err != nil || !bytes.Equal(data, f.Data) {
			return false
		}
	}
	return true
}

// named returns settings with the names that reading gives to what they name.
func (r *inputsRead) named(s job.Settings) job.Settings {
	s = s.Complete()
	s.Design, s.Name, s.Font = r.out.Design, r.out.Name, r.out.Font
	s.Machine, s.Backing, s.Pen, s.PenFor, s.Marks = r.out.Machine, r.out.Backing, r.out.Pen, r.out.PenFor, r.out.Marks
	s.Names, s.MarksFor = r.out.Names, r.out.MarksFor
	return s
}
