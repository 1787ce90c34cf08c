package profiles

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"weftplot/paths"
	"weftplot/paths/fault"
)

// checker keeps the first thing found wrong in a profile.
type checker struct {
	file string
	err  *fault.Error
}

// fail records that key must be allowed and is got.
func (c *checker) fail(key, allowed, got string) {
	if c.err == nil {
		c.err = fault.Bad(c.file+": "+key, "it must be "+allowed, "%s is not allowed here", got)
	}
}

func (c *checker) result() error {
	if c.err == nil {
		return nil // not a typed nil
	}
	return c.err
}

var nameForm = regexp.MustCompile(`^[a-z0-9][a-z0-9-]{0,39}$`)

func (c *checker) name(s string) {
	if !nameForm.MatchString(s) {
		c.fail("name", "small letters, digits and hyphens, 40 at most", fmt.Sprintf("%q", s))
	}
}

var colourForm = regexp.MustCompile(`^#[0-9a-fA-F]{6}$`)

func (c *checker) colour(key, s string) {
	if !colourForm.MatchString(s) {
		c.fail(key, `a colour such as "#1a1a1a"`, fmt.Sprintf("%q", s))
	}
}

// within checks lo <= v <= hi; a missing value is 0 and fails a positive lo.
func (c *checker) within(key string, v, lo, hi float64, unit string) {
	if !(lo <= v && v <= hi) {
		c.fail(key, fmt.Sprintf("from %g%s to %g%s", lo, unit, hi, unit), fmt.Sprintf("%g%s", v, unit))
	}
}

func (c *checker) lengths(key string, v []paths.Length, lo, hi float64) {
	for _, l := range v {
		c.within(key, float64(l), lo, hi, "mm")
	}
}

// oneOf checks that v is one of the allowed words.
func oneOf[S ~string](c *checker, key string, v S, allowed []S) {
	if slices.Contains(allowed, v) {
		return
	}
	names := make([]string, len(allowed))
	for i, a := range allowed {
		names[i] = string(a)
	}
	c.fail(key, "one of "+strings.Join(names, ", "), fmt.Sprintf("%q", v))
}
