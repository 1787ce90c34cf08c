package keyfile

import (
	"encoding"
	"fmt"
	"reflect"
	"strings"
	"weftplot/paths/fault"

	"github.com/pelletier/go-toml/v2"
)

// The TOML library takes a bare number for any type that is a number underneath,
// though the type reads itself from text with a unit. A length without its unit
// must never get through, so the raw values are looked at as well.

var textUnmarshaler = reflect.TypeFor[encoding.TextUnmarshaler]()

// refuseBareNumbers returns a fault for the first key of the TOML text whose
// value is a number where into wants text with a unit.
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

// here stands for the value itself, which has no key of its own.
const here = "."

// bareNumber looks for such a key in a raw value that is decoded into type t.
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
