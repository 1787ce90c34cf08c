// Package keyfile reads TOML files of a fixed set of keys strictly: profiles,
// jobs, marks. It takes text, not files, and it does not judge what a value
// means: that is left to the types and to its callers. The time grows with the
// length of the text.
package keyfile

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"strings"
	"weftplot/paths/fault"

	"github.com/pelletier/go-toml/v2"
)

// Decode reads the TOML text into the struct that into points to. A key that
// the struct does not have, or a bare number where the value needs a unit, is a
// [fault.Error]; every fault names file and key, and the line where it is
// known.
func Decode(file string, data []byte, into any) error {
	if err := refuseBareNumbers(file, data, into); err != nil {
		return err
	}
	dec := toml.NewDecoder(bytes.NewReader(data)).DisallowUnknownFields()
	if err := dec.Decode(into); err != nil {
		return decodeFault(file, err)
	}
	return nil
}

// decodeFault puts the library's errors in words: file, line, key, what is
// allowed.
func decodeFault(file string, err error) error {
	var strict *toml.StrictMissingError
	if errors.As(err, &strict) && len(strict.Errors) > 0 {
		e := strict.Errors[0]
		row, _ := e.Position()
		return &fault.Error{
			Kind: fault.Input, Where: fmt.Sprintf("%s: line %d", file, row),
			What: fmt.Sprintf("there is no key %q in such a file", strings.Join(e.Key(), ".")),
			Do:   "take the key out, or correct its name", Err: err,
		}
	}
	var at *toml.DecodeError
	if errors.As(err, &at) {
		row, _ := at.Position()
		where := fmt.Sprintf("%s: line %d", file, row)
		if key := strings.Join(at.Key(), "."); key != "" {
			where += ": " + key
		}
		var bad *fault.Error
		if errors.As(err, &bad) {
			return &fault.Error{Kind: fault.Input, Where: where, What: bad.What, Do: bad.Do, Err: err}
		}
		return &fault.Error{Kind: fault.Input, Where: where, What: plainly(at), Do: "write it as the other files of its kind have it", Err: err}
	}
	return &fault.Error{Kind: fault.Input, Where: file, What: err.Error(), Err: err}
}

// plainly returns the text of a library error, reworded for people where it
// names Go types.
func plainly(err error) string {
	said := strings.TrimPrefix(err.Error(), "toml: ")
	kinds := regexp.MustCompile(`^cannot decode TOML (\w+) into .*$`).FindStringSubmatch(said)
	if kinds == nil {
		return said
	}
	name, ok := map[string]string{
		"string": "text", "integer": "a whole number", "float": "a number with decimals", "boolean": "true or false",
		"array": "a list", "table": "a table",
	}[kinds[1]]
	if !ok {
		name = "a " + kinds[1]
	}
	return "the value is " + name + ", which this key does not take"
}
