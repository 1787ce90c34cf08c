package job

import (
	"bytes"
	"fmt"

	"github.com/pelletier/go-toml/v2"

	"weftplot/paths/fault"
	"weftplot/paths/keyfile"
)

// ParseSettings reads the text of a job.toml over the defaults. What is wrong
// with it is a [fault.Input] that names the file, the line and the key.
func ParseSettings(file string, data []byte) (Settings, error) {
	said := struct {
		Settings
		Width  side `toml:"width"`
		Height side `toml:"height"`
	}{Settings: Defaults()}
	if err := keyfile.Decode(file, data, &said); err != nil {
		return Settings{}, err
	}
	s := said.Settings
	s.Width, s.WidthRows = said.Width.length, said.Width.rows
	s.Height, s.HeightRows = said.Height.length, said.Height.rows
	if s.Design == "" {
		return Settings{}, fault.Bad(file, `say which design to draw: design = "mat.svg"`, "the key \"design\" is missing")
	}
	if err := s.emptySaid(); err != nil {
		return Settings{}, err
	}
	return s.withNoClearance(), nil
}

// withNoClearance returns settings as a person says them, where a clearance of 0
// is none.
func (s Settings) withNoClearance() Settings {
	if s.Clearance == 0 {
		s.Clearance = NoClearance
	}
	return s
}

// Format returns the text of a job.toml that reads back to s, with the defaults
// in it.
func (s Settings) Format() ([]byte, error) {
	s = s.Complete()
	s.Clearance = s.ClearRows()
	var b bytes.Buffer
	b.WriteString("# A weftplot job. \"weftplot prepare job.toml\" makes the same folder again.\n")
	enc := toml.NewEncoder(&b)
	if err := enc.Encode(s); err != nil {
		return nil, fmt.Errorf("job.toml: %w", err)
	}
	return b.Bytes(), nil
}
