package device

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"time"

	"weftplot/device/line"
	"weftplot/paths"
	"weftplot/paths/fault"
)

// Journal keeps beside a program what is proved to be drawn of it, so that a job
// that broke off can be taken up again. It is a text file that only ever grows:
// a line for each record, with a checksum, on the disk before the work goes on.
//
//	weftplot-journal 3 program=<SHA-256> machine=<name> <version and hash> marks=<hash>
//	sent 14
//	drawn 12
//	left safe 104.250 88.000 14
//
// The first record says what the journal belongs to: the bytes of the program,
// what matters on the wire of the machine's profile, the registration. Before the
// machine is sent the beginning of a stroke, its number is entered; the first of
// these waits for the disk, the others only outlive the sender. The last record
// says where the machine stood when it was left, mm, and how many strokes it may
// have begun. Journals of the first form, which hashed the machine in another way,
// and of the second, which did not say what was sent, are still read.
//
// Acknowledged is not drawn, since a controller holds moves back: a stroke is
// entered as drawn when the machine has said that it stands still after it.
//
// The file is held against a second sender while the journal is open.
type Journal struct {
	file    *os.File
	strokes int       // of the program
	lengths []float64 // of them, mm
	drawn   int
	begun   int
	left    leaving
	at      paths.Point
	any     bool // something may have been sent, ever
	sending bool // and by this sender
	// Damaged tells that the file could not be read to its end; what could be
	// is used.
	Damaged bool
}

// leaving is how a job ended.
type leaving int

const (
	leftUnknown   leaving = iota // the sender did not live to say
	leftSafe                     // the machine knows its place
	leftLost                     // it does not
	leftDone                     // all is drawn, by the word of the machine or of a person
	leftSent                     // all was sent, and nobody has said that it is drawn
	leftUntouched                // nothing was sent
)

var leavings = map[string]leaving{"unknown": leftUnknown, "safe": leftSafe, "lost": leftLost, "done": leftDone, "sent": leftSent, "untouched": leftUntouched}

func (l leaving) String() string {
	return [...]string{"unknown", "safe", "lost", "done", "sent", "untouched"}[l]
}

// StartJournal begins the journal of a job anew, whatever stood in the file. One
// that another sender holds is an error of kind [InUse].
func StartJournal(path string, job Job) (*Journal, error) {
	f, err := held(path, os.O_CREATE)
	if err != nil {
		return nil, err
	}
	j := newJournal(f, job)
	err = f.Truncate(0)
	if err == nil {
		err = j.record(heading(job))
	}
	if err != nil {
		f.Close()
		return nil, err
	}
	return j, nil
}

// held opens a file to be written that no other sender holds.
func held(path string, flag int) (*os.File, error) {
	f, err := os.OpenFile(path, os.O_RDWR|flag, 0o666)
	if err != nil {
		return nil, err
	}
	// Somebody who only reads keeps it for a moment, to ask whether a sender has it.
	for range 20 {
		if line.Hold(f) {
			return f, nil
		}
		time.Sleep(10 * time.Millisecond)
	}
	f.Close()
	return nil, inUse(path)
}

func inUse(path string) error {
	return &fault.Error{Kind: InUse, Where: path, What: "this job is being drawn now: another sender holds its journal", Do: "wait until it is done, or stop it"}
}

// ReadJournal reads the journal of a job, and leaves the file as it is and to
// others: nothing can be entered. Its errors are those of [ResumeJournal].
func ReadJournal(path string, job Job) (*Journal, error) {
	f, err := opened(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, noJournal(path)
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if line.Held(f) {
		return nil, inUse(path)
	}
	data, err := readJournal(path, f)
	if err != nil {
		return nil, err
	}
	j := newJournal(nil, job)
	if _, err := j.read(path, data, headings(job)); err != nil {
		return nil, err
	}
	return j, nil
}

// opened opens a journal for reading only.
func opened(path string) (*os.File, error) {
	info, err := os.Stat(path)
	if err == nil && !info.Mode().IsRegular() {
		return nil, fault.Bad(path, "move it away", "this is a folder, a pipe or a device, and no journal")
	}
	return os.Open(path)
}

func noJournal(path string) error {
	return fault.Bad(path, anew, "there is no journal, so nothing to resume")
}

func newJournal(f *os.File, job Job) *Journal {
	j := &Journal{file: f}
	for _, s := range job.Program.Strokes() {
		j.lengths = append(j.lengths, s.Length())
	}
	j.strokes = len(j.lengths)
	return j
}

// ResumeJournal opens the journal of a job that broke off. A journal of another
// program, machine or registration is refused, and one that another sender holds;
// of a damaged one the readable part is used. The errors are [fault.Error]s.
func ResumeJournal(path string, job Job) (*Journal, error) {
	f, err := held(path, 0)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, noJournal(path)
	}
	if err != nil {
		return nil, err
	}
	j := newJournal(f, job)
	if err := j.resume(path, job); err != nil {
		f.Close()
		return nil, err
	}
	return j, nil
}

// resume reads the file and readies it for what is added.
func (j *Journal) resume(path string, job Job) error {
	data, err := readJournal(path, j.file)
	if err != nil {
		return err
	}
	good, err := j.read(path, data, headings(job))
	if err != nil {
		return err
	}
	// What follows the readable part would hide what is added.
	if err := j.file.Truncate(int64(good)); err != nil {
		return err
	}
	_, err = j.file.Seek(0, io.SeekEnd)
	return err
}

// Drawn returns how many strokes of the program are proved to be drawn. The next
// may have been begun.
func (j *Journal) Drawn() int { return j.drawn }

// Done reports whether the whole job is drawn, by the word of the machine or of
// a person.
func (j *Journal) Done() bool { return j.left == leftDone }

// Sent reports whether the whole job was sent to a machine that does not say
// whether it is drawn, and nobody has said so either.
func (j *Journal) Sent() bool { return j.left == leftSent }

// Again returns how many strokes at most are drawn again, in whole or in part,
// when the job goes on: all that were sent and may have been begun. It is false if
// the sender did not live to say, so that the disk may know too few.
func (j *Journal) Again() (int, bool) {
	return max(0, j.begun-j.drawn), j.left != leftUnknown || !j.any
}

// AgainMM returns how long those strokes are together, mm: no more than that is
// drawn again.
func (j *Journal) AgainMM() float64 {
	sum := 0.0
	for _, l := range j.lengths[min(j.drawn, j.strokes):min(max(j.begun, j.drawn), j.strokes)] {
		sum += l
	}
	return sum
}

// NeedsHome reports whether the machine may have lost its place when the job broke
// off, so that it must be brought home before the job goes on. A machine that was
// left near its own 0,0 counts as that: one that restarts there says the same. So
// does a sender that did not live to say how it left the machine; then the
// machine's own word that it stands on the way where it was left is as good.
func (j *Journal) NeedsHome() bool {
	switch j.left {
	case leftSafe:
		return j.at.Len() <= nearHome
	case leftLost, leftSent:
		return true
	case leftUnknown:
		return j.any
	}
	return false
}

// Close closes the file, if it is kept open.
func (j *Journal) Close() error {
	if j.file == nil {
		return nil
	}
	return j.file.Close()
}

// Untouched enters that nothing was sent, if nothing ever was: the job was left
// before it began.
func (j *Journal) Untouched() error {
	if j == nil || j.any {
		return nil
	}
	return j.leave(leftUntouched, paths.Point{}, 0)
}

// note enters that so many strokes are drawn.
func (j *Journal) note(drawn int) error {
	if j == nil || drawn <= j.drawn {
		return nil
	}
	j.drawn, j.begun, j.left = drawn, max(j.begun, drawn), leftUnknown
	return j.record(fmt.Sprintf("drawn %d", drawn))
}

// sent enters that the beginning of stroke n is about to be sent; of 0, the way to
// the first. It must not be lost with the sender, and only that something was sent
// must not be lost with the computer.
func (j *Journal) sent(n int) error {
	if j == nil || j.sending && n <= j.begun {
		return nil
	}
	first := !j.sending
	j.begun, j.left, j.any, j.sending = max(j.begun, n), leftUnknown, true, true
	if first {
		return j.record(fmt.Sprintf("sent %d", n))
	}
	_, err := j.file.WriteString(seal(fmt.Sprintf("sent %d", n)) + "\n")
	return err
}

// leave enters how the machine was left, and where, with so many strokes begun.
func (j *Journal) leave(l leaving, at paths.Point, begun int) error {
	if j == nil {
		return nil
	}
	begun = max(j.begun, begun)
	j.left, j.at, j.begun, j.any, j.sending = l, at, begun, l != leftUntouched, false
	return j.record(fmt.Sprintf("left %v %.3f %.3f %d", l, at.X, at.Y, begun))
}

// record writes a record and waits until the disk has it.
func (j *Journal) record(text string) error {
	if _, err := j.file.WriteString(seal(text) + "\n"); err != nil {
		return err
	}
	return j.file.Sync()
}
