package manual

import (
	"fmt"
	"slices"
	"strings"

	"weftplot/paths/label"
)

// Screen returns the help of the whole program for a terminal.
func (p Program) Screen() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s %s\n\n  %s COMMAND [flags] [arguments]\n\n", p.Name, p.Usage, p.Name)
	var rows [][2]string
	for _, g := range p.Pages {
		rows = append(rows, [2]string{g.Name, g.Usage})
	}
	table(&b, rows)
	b.WriteString("\n")
	for _, par := range strings.Split(p.Text, "\n\n") {
		b.WriteString(wrapped(par, "", "") + "\n")
	}
	b.WriteString(wrapped(fmt.Sprintf(`"%s help COMMAND" says more, with examples; "%s man" prints the manual.`, p.Name, p.Name), "", ""))
	return b.String()
}

// Screen returns the help of a command for a terminal: where its flags are in groups,
// the most used ones and the names of the others, or all of them.
func (g Page) Screen(program string, all bool) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n%s", strings.TrimRight(program+" "+g.Name+" [flags] "+g.Arguments, " "), wrapped(g.Usage, "  ", "  "))
	if g.Text != "" {
		b.WriteString("\n" + wrapped(g.Text, "", ""))
	}
	if len(g.Pages) > 0 {
		b.WriteString("\ncommands\n")
		var rows [][2]string
		for _, p := range g.Pages {
			rows = append(rows, [2]string{strings.TrimSpace(strings.TrimPrefix(p.Name, g.Name) + " " + p.Arguments), p.Usage})
		}
		table(&b, rows)
	}
	switch groups := g.groups(); {
	case len(groups) == 0:
		b.WriteString("\nflags\n")
		table(&b, rowsOf(g.Flags))
	case all:
		for _, group := range groups {
			b.WriteString("\n" + group + "\n")
			table(&b, rowsOf(slices.DeleteFunc(slices.Clone(g.Flags), func(f Flag) bool { return f.Group != group })))
		}
	default:
		b.WriteString("\nthe flags used most\n")
		table(&b, rowsOf(g.mostUsed()))
		fmt.Fprintf(&b, "\nmore flags, explained by \"%s help %s all\"\n", program, g.Name)
		table(&b, g.others())
	}
	if len(g.Examples) > 0 {
		b.WriteString("\nfor example\n")
		for _, e := range g.Examples {
			fmt.Fprintf(&b, "  %s\n%s", e.Line, wrapped(e.What, "      ", "      "))
		}
	}
	return b.String()
}

// mostUsed are the flags that are used most, in the order of [MostUsed].
func (g Page) mostUsed() []Flag {
	var out []Flag
	for _, name := range MostUsed {
		if f, ok := g.Flag(name); ok && f.First {
			out = append(out, f)
		}
	}
	return out
}

// others are the names of the flags that are used less, by their groups.
func (g Page) others() [][2]string {
	var rows [][2]string
	for _, group := range g.groups() {
		var names []string
		for _, f := range g.Flags {
			if f.Group == group && !f.First {
				names = append(names, "--"+f.Names[0])
			}
		}
		if len(names) > 0 {
			rows = append(rows, [2]string{group, strings.Join(names, " ")})
		}
	}
	return rows
}

// rowsOf are flags as rows of a table.
func rowsOf(flags []Flag) [][2]string {
	var rows [][2]string
	for _, f := range flags {
		rows = append(rows, [2]string{f.head(), f.says()})
	}
	return rows
}

// head is a flag as it is typed: "--width LENGTH".
func (f Flag) head() string {
	var names []string
	for _, n := range f.Names {
		names = append(names, dashed(n))
	}
	return strings.TrimRight(strings.Join(names, ", ")+" "+f.Value, " ")
}

// dashed is a flag's name with its dashes.
func dashed(name string) string {
	if len(name) == 1 {
		return "-" + name
	}
	return "--" + name
}

// says is what a flag is for, with its default.
func (f Flag) says() string {
	if f.Default == "" {
		return f.Usage
	}
	return fmt.Sprintf("%s (default: %s)", f.Usage, f.Default)
}

// table writes rows of a word and what it means. A word that is too long for its
// column stands in a line by itself.
func table(b *strings.Builder, rows [][2]string) {
	const widest = 24
	wide := 0
	for _, r := range rows {
		if n := len([]rune(r[0])); n <= widest {
			wide = max(wide, n)
		}
	}
	rest := strings.Repeat(" ", wide+4)
	for _, r := range rows {
		first := fmt.Sprintf("  %-*s  ", wide, r[0])
		if len([]rune(r[0])) > widest {
			b.WriteString("  " + r[0] + "\n")
			first = rest
		}
		b.WriteString(wrapped(r[1], first, rest))
	}
}

// wrapped breaks text into lines of at most [label.Columns] characters, the first one
// after first and the others after rest.
func wrapped(text, first, rest string) string { return label.Wrap(text, first, rest, label.Columns) }

func joined(words []string) string { return strings.Join(words, " ") }
