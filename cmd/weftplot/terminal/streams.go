package terminal

import (
	"context"
	"fmt"
	"io"
	"os"
	"strings"

	"golang.org/x/term"

	"weftplot/cmd/weftplot/desk"
	"weftplot/paths/fault"
	"weftplot/paths/label"
	"weftplot/plot/jobfolder"
	"weftplot/plot/report"
)

// Streams are what a command reads and writes, and the folder that relative file
// names start from.
type Streams struct {
	In       io.Reader
	Out, Err io.Writer
	Dir      string
	// TTY is the person's terminal, which the program restores when it ends; nil
	// makes a new one where one is needed.
	TTY *Terminal
	// Signals are those of the process; nil where it takes none. Ctrl-C goes there
	// too from terminals that make a key of it.
	Signals *Signals
	// Names returns what a person calls a setting that a library names in square
	// brackets; nil keeps the brackets.
	Names func(setting string) string
	// Steps is told of each step of long work as it begins. It may be nil.
	Steps func(step string)
	// Desk remembers the machine of this computer; "" remembers none.
	Desk desk.Desk
}

// Place is the folder that relative file names start from.
func (s Streams) Place() jobfolder.Place { return jobfolder.Place(s.Dir) }

// Path returns a file name as seen from the folder the program was started in.
func (s Streams) Path(name string) string { return s.Place().Path(name) }

// Words returns a library's text with the names of settings as the person says
// them.
func (s Streams) Words(text string) string { return fault.Rename(text, s.Names) }

// LookAt prints what a person should look at, and does not stop for.
func (s Streams) LookAt(message string) {
	const head = "look at: "
	text := label.Text(s.Words(message))
	if OnTerminal(s.Err) {
		fmt.Fprint(s.Err, label.Wrap(text, head, strings.Repeat(" ", len(head)), label.Columns))
		return
	}
	fmt.Fprintf(s.Err, "%s%s\n", head, text)
}

// Fit returns lines of text for w: on a terminal those that are too wide for it are
// wrapped between words, under what stands after their label.
func Fit(w any, text string) string {
	if !OnTerminal(w) {
		return strings.TrimSuffix(text, "\n") + "\n"
	}
	var b strings.Builder
	for _, line := range strings.Split(strings.TrimSuffix(text, "\n"), "\n") {
		b.WriteString(label.Fit(line, label.Columns))
	}
	return b.String()
}

// Row prints a line of a result that has a label; on a terminal it is wrapped.
func (s Streams) Row(format string, args ...any) {
	fmt.Fprint(s.Out, Fit(s.Out, label.Text(fmt.Sprintf(format, args...))))
}

// WriteJSON prints one JSON document.
func (s Streams) WriteJSON(v any) error {
	b, err := report.Encode(v)
	if err != nil {
		return err
	}
	_, err = s.Out.Write(b)
	return err
}

// Printf prints a result. What steers a terminal is left out of it, as names from
// files may hold anything.
func (s Streams) Printf(format string, args ...any) {
	fmt.Fprint(s.Out, label.Text(fmt.Sprintf(format, args...)))
}

// OnTerminal reports whether w is a terminal.
func OnTerminal(w any) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// Left is a person's wish to end, in words; it counts as an interrupt.
type Left string

// Error returns the words.
func (l Left) Error() string { return string(l) }

// Unwrap returns [context.Canceled].
func (Left) Unwrap() error { return context.Canceled }
