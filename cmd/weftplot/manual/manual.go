// Package manual holds what is to be said about the commands, and says it in three
// forms: help for a terminal, a manual page, and the completion of a line that is
// being typed. All come from one description, a [Program], so that they agree.
package manual

import "slices"

// Program is all there is to say about a program.
type Program struct {
	Name, Usage string
	// Text is about all commands, in paragraphs.
	Text string
	// Version and Date say of what source it was built, for the manual page.
	Version, Date string
	Pages         []Page // of its commands
}

// Page is what there is to say about one command.
type Page struct {
	Name      string // with the names of the commands above it: "profiles show"
	Arguments string
	Usage     string // in one line
	Text      string // more, in paragraphs
	Flags     []Flag
	Examples  []Example
	Pages     []Page // of the commands below it
}

// Flag is what there is to say about one flag.
type Flag struct {
	Names   []string // the first one is the usual one
	Value   string   // the word for its value; "" for a switch
	Usage   string
	Default string // "" where there is none to tell
	Group   string // what it is about; "" where a command's flags are in no groups
	First   bool   // one of the most used
	Repeats bool   // may be given several times
	Choices []string
}

// Example is a line that can be typed, and what it does.
type Example struct{ Line, What string }

// Page returns the page of the command named by words, or false.
func (p Program) Page(words []string) (Page, bool) {
	var found Page
	pages := p.Pages
	for i := range words {
		name := joined(words[:i+1])
		at := slices.IndexFunc(pages, func(g Page) bool { return g.Name == name })
		if at < 0 {
			return Page{}, false
		}
		found, pages = pages[at], pages[at].Pages
	}
	return found, len(words) > 0
}

// Flag returns the flag of a name, without its dashes.
func (g Page) Flag(name string) (Flag, bool) {
	for _, f := range g.Flags {
		if slices.Contains(f.Names, name) {
			return f, true
		}
	}
	return Flag{}, false
}

// groups are what a page's flags are about, in the order in which they come.
func (g Page) groups() []string {
	var out []string
	for _, f := range g.Flags {
		if f.Group != "" && !slices.Contains(out, f.Group) {
			out = append(out, f.Group)
		}
	}
	return out
}
