package keyfile

import (
	"encoding"
	"fmt"
	"reflect"
	"strings"
	"weftplot/paths/fault"

	"github.com/pelletier/go-toml/v2"
)

// The TOML library accepts a bare number for any type whose underlying type is
// a number, even one that unmarshals from text with a unit. A length without
// its unit must never get through, so the raw values are checked too.

var textUnmarshaler = reflect.TypeFor[encoding.TextUnmarshaler]()

// refuseBareNumbers returns a fault for the first key of the TOML text whose
// value is a bare number where into needs text with a unit.
func refuseBareNumbers(file string, data []byte, into any) error {
	var raw map[string]any
	if err := toml.Unmarshal(data, &raw); err != nil {
		return decodeFault(file, err)
	}
	key, value := bareNumber(raw, reflect.TypeOf(into).Elem())
	if key == "" {
		return nil
	}
	return fault.Bad(file+": "+key, `write it as text with its unit, such as "24in", "40mm/s" or "0.2s"`,
		"the number %s has no unit", value)
}

// here is the key reported for the value itself, which has none of its own.
const here = "."

// bareNumber looks for a bare number in a raw value that is decoded into type
// t, and returns its key.
func bareNumber(raw any, t reflect.Type) (key, value string) {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if reflect.PointerTo(t).Implements(textUnmarshaler) {
		switch raw.(type) {
		case int64, float64:
			return here, fmt.Sprint(raw)
		}
		return "", ""
	}
	switch v := raw.(type) {
	case map[string]any:
		return bareField(v, t)
	case []any:
		if t.Kind() == reflect.Slice || t.Kind() == reflect.Array {
			for i, e := range v {
				key, value = bareNumber(e, t.Elem())
				switch {
				case key == here:
					return here, value
				case key != "":
					return fmt.Sprintf("%d.%s", i+1, key), value
				}
			}
		}
	}
	return "", ""
}

// bareField looks through the fields of a table.
func bareField(table map[string]any, t reflect.Type) (key, value string) {
	if t.Kind() != reflect.Struct {
		return "", ""
	}
	for i := range t.NumField() {
		if f := t.Field(i); f.Anonymous { // its fields are keys of the same table
			if key, value = bareField(table, f.Type); key != "" {
				return key, value
			}
			continue
		}
		name, _, _ := strings.Cut(t.Field(i).Tag.Get("toml"), ",")
		raw, ok := table[name]
		if !ok {
			continue
		}
		if k, value := bareNumber(raw, t.Field(i).Type); k != "" {
			if k == here {
				return name, value
			}
			return name + "." + k, value
		}
	}
	return "", ""
}
