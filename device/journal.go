package device

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"io/fs"
	"os"
	"slices"
	"strconv"
	"strings"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/program"
)

// Journal keeps beside a program what is proved to be drawn of it, so that a job
// that broke off can be taken up again. It is a text file that only ever grows:
// a line for each record, with a checksum, on the disk before the work goes on.
//
//	weftplot-journal 2 program=<SHA-256> machine=<name> <version and hash> marks=<hash>
//	drawn 12
//	left safe 104.250 88.000 14
//
// The first record says what the journal belongs to: the bytes of the program,
// what matters on the wire of the machine's profile, the registration. The last
// one says where the machine stood when it was left, mm, and how many strokes
// had been begun. Journals of the first form, which hashed the machine in
// another way, are still read.
//
// Acknowledged is not drawn, since a controller holds moves back: a stroke is
// entered when the machine has said that it stands still after it.
type Journal struct {
	file    *os.File
	strokes int // of the program
	drawn   int
	begun   int
	left    leaving
	at      paths.Point
	// Damaged tells that the file could not be read to its end; what could be
	// is used.
	Damaged bool
}

// leaving is how a job ended.
type leaving int

const (
	leftUnknown leaving = iota // the sender did not live to say
	leftSafe                   // the machine knows its place
	leftLost                   // it does not
	leftDone                   // all is drawn
)

var leavings = map[string]leaving{"unknown": leftUnknown, "safe": leftSafe, "lost": leftLost, "done": leftDone}

func (l leaving) String() string { return [...]string{"unknown", "safe", "lost", "done"}[l] }

// StartJournal begins the journal of a job anew, whatever stood in the file.
func StartJournal(path string, job Job) (*Journal, error) {
	f, err := os.Create(path)
	if err != nil {
		return nil, err
	}
	j := &Journal{file: f}
	if err := j.record(heading(job)); err != nil {
		f.Close()
		return nil, err
	}
	return j, nil
}

// ResumeJournal opens the journal of a job that broke off. A journal of another
// program, machine or registration is refused; of a damaged one the readable
// part is used. The errors are [fault.Error]s.
func ResumeJournal(path string, job Job) (*Journal, error) {
	data, err := readJournal(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fault.Bad(path, anew, "there is no journal, so nothing to resume")
	}
	if err != nil {
		return nil, err
	}
	j := &Journal{strokes: program.Total(job.Program).Strokes}
	good, err := j.read(path, data, headings(job))
	if err != nil {
		return nil, err
	}
	if j.file, err = os.OpenFile(path, os.O_WRONLY, 0); err != nil {
		return nil, err
	}
	// What follows the readable part would hide what is added.
	if err := j.file.Truncate(int64(good)); err != nil {
		j.file.Close()
		return nil, err
	}
	_, err = j.file.Seek(0, 2)
	return j, err
}

// anew is what to do about a journal that cannot be gone on with.
const anew = "begin the job anew"

// maxJournal is far more than the journal of any program grows to, bytes.
const maxJournal = 32 << 20

// readJournal reads the file, unless it is too long to be a journal.
func readJournal(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxJournal+1))
	if err == nil && len(data) > maxJournal {
		return nil, fault.Bad(path, anew, "this is no journal of a job: it is longer than %d MB", maxJournal>>20)
	}
	return data, err
}

// heading is the first record: what the journal belongs to.
func heading(job Job) string { return headingOf(2, job, machineHash(job.Machine)) }

// headings are those of the forms that are read, the one that is written first.
func headings(job Job) []string {
	return []string{heading(job), headingOf(1, job, firstMachineHash(job.Machine))}
}

func headingOf(form int, job Job, machine string) string {
	return fmt.Sprintf("weftplot-journal %d program=%x machine=%s %s marks=%s", form, sha256.Sum256(job.Text), job.Machine.Name, machine, job.Marks)
}

// read takes in the records and returns how many bytes of them are sound.
func (j *Journal) read(path string, data []byte, heads []string) (int, error) {
	good := 0
	for first := true; ; first = false {
		end := bytes.IndexByte(data[good:], '\n')
		if end < 0 {
			break
		}
		text, ok := unseal(string(data[good : good+end]))
		if !ok {
			break
		}
		if first && !slices.Contains(heads, text) {
			return 0, mismatch(path, text, heads)
		}
		if !first && !j.apply(text) {
			break
		}
		good += end + 1
	}
	if good == 0 {
		return 0, fault.Bad(path, anew, "the journal is damaged from its first line on")
	}
	j.Damaged = good < len(data)
	return good, nil
}

// mismatch says what the journal belongs to instead.
func mismatch(path, got string, heads []string) error {
	g := strings.Fields(got)
	for _, head := range heads {
		w := strings.Fields(head)
		if len(g) != len(w) || g[0] != w[0] || g[1] != w[1] {
			continue
		}
		what := "another registration of the cloth"
		switch {
		case g[2] != w[2]:
			what = "another program"
		case g[3] != w[3] || g[4] != w[4]:
			what = "another machine, or another profile of it"
		}
		return fault.Bad(path, anew, "the journal belongs to %s", what)
	}
	if len(g) > 1 && g[0] == strings.Fields(heads[0])[0] {
		return fault.Bad(path, "go on with the version of the program that began the job, or begin it anew",
			"the journal is of form %s, which this version does not know", g[1])
	}
	return fault.Bad(path, "", "this is no journal of a job")
}

// apply takes in a record.
func (j *Journal) apply(text string) bool {
	f := strings.Split(text, " ")
	switch {
	case len(f) == 2 && f[0] == "drawn":
		n, err := strconv.Atoi(f[1])
		if err != nil || n < 0 || n > j.strokes {
			return false
		}
		j.drawn, j.begun, j.left = n, n, leftUnknown
	case len(f) == 5 && f[0] == "left":
		x, err1 := strconv.ParseFloat(f[2], 64)
		y, err2 := strconv.ParseFloat(f[3], 64)
		n, err3 := strconv.Atoi(f[4])
		at := paths.Point{X: x, Y: y}
		how, known := leavings[f[1]]
		if err1 != nil || err2 != nil || err3 != nil || !known || !at.IsFinite() {
			return false
		}
		j.left, j.at, j.begun = how, at, n
	default:
		return false
	}
	return true
}

// Drawn returns how many strokes of the program are proved to be drawn. The next
// may have been begun.
func (j *Journal) Drawn() int { return j.drawn }

// Done reports whether the whole job is drawn.
func (j *Journal) Done() bool { return j.left == leftDone }

// Again returns how many strokes that may have been begun are drawn again when
// the job goes on, and false if that is not known.
func (j *Journal) Again() (int, bool) {
	return max(0, j.begun-j.drawn), j.left != leftUnknown
}

// NeedsHome reports whether the machine lost its place when the job broke off,
// so that it must be brought home before the job goes on.
func (j *Journal) NeedsHome() bool { return j.left == leftLost }

// Close closes the file.
func (j *Journal) Close() error { return j.file.Close() }

// note enters that so many strokes are drawn.
func (j *Journal) note(drawn int) error {
	if j == nil || drawn <= j.drawn {
		return nil
	}
	j.drawn, j.begun, j.left = drawn, drawn, leftUnknown
	return j.record(fmt.Sprintf("drawn %d", drawn))
}

// leave enters how the machine was left, and where, with so many strokes begun.
func (j *Journal) leave(l leaving, at paths.Point, begun int) error {
	if j == nil {
		return nil
	}
	j.left, j.at, j.begun = l, at, begun
	return j.record(fmt.Sprintf("left %v %.3f %.3f %d", l, at.X, at.Y, begun))
}

// record writes a record and waits until the disk has it.
func (j *Journal) record(text string) error {
	if _, err := j.file.WriteString(seal(text) + "\n"); err != nil {
		return err
	}
	return j.file.Sync()
}

// seal puts a checksum behind a record, unseal takes it off.
func seal(text string) string {
	return fmt.Sprintf("%s #%08x", text, crc32.ChecksumIEEE([]byte(text)))
}

func unseal(line string) (string, bool) {
	i := strings.LastIndex(line, " #")
	if i < 0 || seal(line[:i]) != line {
		return "", false
	}
	return line[:i], true
}
