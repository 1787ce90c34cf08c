package device

import (
	"weftplot/plot/language"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// rehearsal returns the job with the pen held up throughout: the same ways, at
// the same speeds where the language allows. Pauses and pen changes are left
// out.
func rehearsal(job Job) (Job, error) {
	l, err := language.Of(job.Machine.Language)
	if err != nil {
		return Job{}, err
	}
	p, text, err := l.WithoutPen(job.Program, job.Machine)
	return Job{Program: p, Text: text, Machine: job.Machine}, err
}

// edge returns a job that takes the pen, held up, once round all that the job
// draws, and parks it.
func edge(job Job) (Job, error) {
	p, err := language.Edge(job.Program, job.Machine)
	if err != nil {
		return Job{}, err
	}
	return rewritten(job.Machine, p)
}

// rewritten returns the job of a program that has no text yet.
func rewritten(m profiles.Machine, p program.Program) (Job, error) {
	back, text, err := language.Rewrite(p, m)
	return Job{Program: back, Text: text, Machine: m}, err
}
