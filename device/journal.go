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

// anew is what to do about a journal that cannot be gone on with.
const anew = "begin the job anew"

// maxJournal is far more than the journal of any program grows to, bytes.
const maxJournal = 32 << 20

// readJournal reads the file, unless it is too long to be a journal.
func readJournal(path string, f io.Reader) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(f, maxJournal+1))
	if err == nil && len(data) > maxJournal {
		return nil, fault.Bad(path, anew, "this is no journal of a job: it is longer than %d MB", maxJournal>>20)
	}
	return data, err
}

// heading is the first record: what the journal belongs to.
func heading(job Job) string { return headingOf(3, job, machineHash(job.Machine)) }

// headings are those of the forms that are read, the one that is written first.
func headings(job Job) []string {
	return []string{heading(job), headingOf(2, job, machineHash(job.Machine)), headingOf(1, job, firstMachineHash(job.Machine))}
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
		if first {
			j.any = true // until it says that nothing was sent
		} else if !j.apply(text) {
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
	case len(f) == 2 && (f[0] == "drawn" || f[0] == "sent"):
		n, err := strconv.Atoi(f[1])
		if err != nil || n < 0 || n > j.strokes {
			return false
		}
		if f[0] == "drawn" {
			j.drawn = n
		}
		j.begun, j.left = max(j.begun, n), leftUnknown
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
	j.any = j.left != leftUntouched
	return true
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
