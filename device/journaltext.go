package device

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"hash/crc32"
	"io"
	"slices"
	"strconv"
	"strings"

	"weftplot/paths"
	"weftplot/paths/fault"
)

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
