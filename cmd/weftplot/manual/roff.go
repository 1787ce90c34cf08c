package manual

import (
	"fmt"
	"strings"
)

// Roff returns the manual page, in the man macros of roff (the form is that of
// man(7) in the Linux man-pages and mandoc).
func (p Program) Roff() string {
	var b strings.Builder
	fmt.Fprintf(&b, ".TH %s 1 %s %s\n", quote(strings.ToUpper(p.Name)), quote(p.Date), quote(p.Name+" "+p.Version))
	fmt.Fprintf(&b, ".SH NAME\n%s \\- %s\n", roff(p.Name), roff(p.Usage))
	fmt.Fprintf(&b, ".SH SYNOPSIS\n.B %s\n.I command\n[flags] [arguments]\n.SH DESCRIPTION\n", roff(p.Name))
	for i, par := range strings.Split(p.Text, "\n\n") {
		if i > 0 {
			b.WriteString(".PP\n")
		}
		b.WriteString(roffLine(par))
	}
	b.WriteString(".SH COMMANDS\n")
	for _, g := range p.Pages {
		g.roff(&b, p.Name)
	}
	return b.String()
}

// roff writes the part of one command, and of those below it.
func (g Page) roff(b *strings.Builder, program string) {
	fmt.Fprintf(b, ".SS %s\n", quote(strings.TrimRight(program+" "+g.Name+" "+g.Arguments, " ")))
	b.WriteString(roffLine(g.Usage + "."))
	if g.Text != "" {
		b.WriteString(".PP\n" + roffLine(g.Text))
	}
	for _, e := range g.Examples {
		fmt.Fprintf(b, ".PP\n.nf\n.B %s\n.fi\n%s", roff(e.Line), roffLine(e.What))
	}
	group := ""
	for _, f := range g.Flags {
		if f.Group != group {
			group = f.Group
			fmt.Fprintf(b, ".PP\n.I %s\n", roff(group))
		}
		fmt.Fprintf(b, ".TP\n.B %s\n%s", roff(f.head()), roffLine(f.says()))
	}
	for _, below := range g.Pages {
		below.roff(b, program)
	}
}

// roffLine is text as lines of roff.
func roffLine(text string) string { return roff(wrapped(text, "", "")) }

// roff keeps roff from taking text for requests: a backslash begins an escape, a
// point or an apostrophe at the beginning of a line a request, and a plain hyphen
// may be set as a dash that cannot be typed.
func roff(text string) string {
	text = strings.NewReplacer(`\`, `\e`, "-", `\-`).Replace(text)
	lines := strings.Split(text, "\n")
	for i, l := range lines {
		if strings.HasPrefix(l, ".") || strings.HasPrefix(l, "'") {
			lines[i] = `\&` + l
		}
	}
	return strings.Join(lines, "\n")
}

// quote is text as one argument of a request.
func quote(text string) string { return `"` + strings.ReplaceAll(roff(text), `"`, `\(dq`) + `"` }
